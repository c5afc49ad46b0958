"""Single values as people and spreadsheets write them."""

from __future__ import annotations

import datetime
import subprocess
import sys
from collections.abc import Sequence

import pytest

from rigopt.files import values
from rigopt.files.faults import LONGEST_LIST, nearest
from rigopt.files.values import BadValueError


@pytest.mark.parametrize(
    ("written", "hertz"),
    [
        ("48", 48000),
        (48, 48000),
        ("48k", 48000),
        ("48K", 48000),
        ("48 kHz", 48000),
        ("48kHz", 48000),
        ("48000", 48000),
        (48000, 48000),
        ("48000 Hz", 48000),
        ("48 000", 48000),
        ("48'000", 48000),
        ("48.0", 48000),
        ("44.1", 44100),
        (44.1, 44100),
        ("44,1", 44100),
        ("44,1 kHz", 44100),
        ("44k1", 44100),
        ("44.1k", 44100),
        ("44100", 44100),
        ("44,100", 44100),
        ("44.100", 44100),
        (" 88.2 ", 88200),
        ("176,4", 176400),
        ("192", 192000),
        ("32", 32000),
        ("４８", 48000),
        ("٤٨", 48000),
        ("48\u00a0kHz", 48000),
    ],
)
def test_a_rate_is_read_as_people_write_it(written: object, hertz: int) -> None:
    assert values.rate(written) == hertz


@pytest.mark.parametrize(
    ("written", "close"),
    [
        ("44", "44.1"),
        ("88", "88.2"),
        ("47", None),
        ("0", None),
        ("-48", None),
        ("fast", None),
        ("48 MHz", None),
        ("48 Hz", None),
        ("48000 kHz", None),
        ("", None),
        ("nan", None),
        ("1e5", None),
        ("4 8", None),
        (True, None),
    ],
)
def test_what_is_no_rate_is_refused(written: object, close: str | None) -> None:
    with pytest.raises(BadValueError) as raised:
        values.rate(written)
    if close:
        assert nearest(str(written), raised.value.allowed) == close


def test_a_list_of_rates_is_ascending_and_without_doubles() -> None:
    assert values.rates("96; 44,1;48 kHz;48;") == (44100, 48000, 96000)


@pytest.mark.parametrize(
    ("written", "piece"), [("48;47", "47"), ("48;44 kHz", "44"), ("48,96", "48.96"), ("x", "x")]
)
def test_a_list_with_a_bad_rate_names_it(written: str, piece: str) -> None:
    with pytest.raises(BadValueError, match="separated by ';'") as raised:
        values.rates(written)
    assert raised.value.piece == piece


def test_a_list_that_repeats_itself_is_read_once(monkeypatch: pytest.MonkeyPatch) -> None:
    read: list[object] = []
    rate, one_of = values.rate, values.one_of

    def noted_rate(part: object) -> int:
        read.append(part)
        return rate(part)

    def noted_word(words: Sequence[str], part: object) -> str:
        read.append(part)
        return one_of(words, part)

    monkeypatch.setattr(values, "rate", noted_rate)
    monkeypatch.setattr(values, "one_of", noted_word)
    assert values.rates("48;" * 600 + "96") == (48000, 96000)
    assert read == ["48", "96"]
    assert values.some_of(("usb", "pcie"), "usb;" * 600) == ("usb",)
    assert read == ["48", "96", "usb"]


def test_a_list_of_no_rate_is_refused() -> None:
    with pytest.raises(BadValueError, match="at least one"):
        values.rates(" ; ")


@pytest.mark.parametrize("written", ["yes", " Yes\t", "Y", "TRUE", "1", 1, True])
def test_yes(written: object) -> None:
    assert values.yes(written)


@pytest.mark.parametrize("written", ["no", "N", "false", "0", 0, False])
def test_no(written: object) -> None:
    assert not values.yes(written)


def test_neither_yes_nor_no() -> None:
    with pytest.raises(BadValueError, match="must be yes or no"):
        values.yes("perhaps")


@pytest.mark.parametrize("text", ["a", "desk-8", "opt-1.5m", "A_b+c", "8x", "é9", "x" * 64])
def test_ids_that_are_allowed(text: str) -> None:
    assert values.short_id(f" {text} ") == text


@pytest.mark.parametrize(
    "text", ["", "-a", "=a", "+1", "a b", "a,b", "a/b", "@a", "x" * 65, "a\x1bb", None, ["a"]]
)
def test_ids_that_are_refused(text: object) -> None:
    with pytest.raises(BadValueError):
        values.short_id(text)


@pytest.mark.parametrize(
    ("text", "tidied"),
    [
        ("  a   b ", "a b"),
        ("a\r\n\tb", "a b"),
        ("a\u00a0b\u2028c", "a b c"),
        ("\ufeffa\u200bb\u202ec", "abc"),
        ("e\u0301", "é"),
        ("a\u200db", "a\u200db"),
        (1.5, "1.5"),
        (7, "7"),
    ],
)
def test_text_is_tidied(text: object, tidied: str) -> None:
    assert values.tidy(text) == tidied


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("a\x1b[31m", r"control character \(U\+001B\)"),
        ("\x7f", r"U\+007F"),
        ("\x9b", r"U\+009B"),
        ("\ud800", r"U\+D800"),
        (True, "must be a text or a number"),
        (None, "must be a text or a number"),
        (datetime.date(2025, 1, 1), "must be a text or a number"),
    ],
)
def test_text_that_is_refused(text: object, problem: str) -> None:
    with pytest.raises(BadValueError, match=problem):
        values.tidy(text)


def test_labels_have_a_limit_and_names_are_not_blank() -> None:
    assert values.label("x" * 500) == "x" * 500
    with pytest.raises(BadValueError, match="longer than 500 characters"):
        values.label("x" * 501)
    with pytest.raises(BadValueError, match="must not be blank"):
        values.name("  ")


def test_words_are_found_whatever_the_case_and_listed_where_not() -> None:
    assert values.one_of(("host", "clock"), "HOST") == "host"
    with pytest.raises(BadValueError, match=r"^must be host, expander or clock$"):
        values.one_of(("host", "expander", "clock"), "x")
    with pytest.raises(BadValueError, match=r"^must be host$"):
        values.one_of(("host",), "x")


@pytest.mark.parametrize(
    ("written", "found"),
    [("b; A", ("a", "b")), ("none", ()), ("None", ()), ("", ()), ("a;a", ("a",))],
)
def test_some_words_of_a_list(written: str, found: tuple[str, ...]) -> None:
    assert values.some_of(("a", "b"), written) == found


def test_a_list_with_a_bad_word_names_it() -> None:
    with pytest.raises(BadValueError, match="must be some of a, b") as raised:
        values.some_of(("a", "b"), "a;none")
    assert raised.value.piece == "none"


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (10**39, str(10**39)),
        (10**40 - 1, str(10**40 - 1)),
        (-(10**40), "a number of more than 40 digits"),
        pytest.param(10**6000, "a number of more than 40 digits", id="huge"),
        pytest.param(-(10**6000), "a number of more than 40 digits", id="very negative"),
        ({"a": 1}, "a table"),
        ([1], "a list"),
        ("\ud800", "\\ud800"),
        ("x" * 60, "x" * 60),
        ("x" * 61, "x" * 59 + "…"),
    ],
)
def test_values_are_shown_short_and_safe(value: object, text: str) -> None:
    assert values.shown(value) == text


def test_control_characters_are_escaped() -> None:
    assert values.escaped("a\x1b\né") == "a\\x1b\\né"


@pytest.mark.parametrize(
    ("word", "allowed", "found"),
    [
        ("mics", ["line", "mic", "inst"], "mic"),
        ("HOST", ["host"], "host"),
        ("inst", ["mic", "instrument"], "instrument"),
        ("gbp", ["EUR", "GBP"], "GBP"),
        ("GPB", ["PAB", "GBP", "EGP"], "GBP"),
        ("zebra", ["mic"], None),
        ("i", ["instrument"], None),
        ("in", ["mic", "instrument"], "instrument"),
        ("name-1", [f"name-{n}" for n in range(LONGEST_LIST)], "name-1"),
        ("x" * 78 + "ba", ["x" * 78 + "ab", "x" * 78 + "bz"], "x" * 78 + "ab"),
        ("x" * 78 + "abc", ["x" * 78 + "abd", "x" * 78 + "ba"], "x" * 78 + "ba"),
        ("a", [], None),
        ("abcx", ["abcd", "abce"], "abce"),
        ("abcx", ["abce", "abcd"], "abce"),
        ("name-1", [f"name-{n}" for n in range(LONGEST_LIST + 1)], None),
    ],
)
def test_the_nearest_name(word: str, allowed: list[str], found: str | None) -> None:
    assert nearest(word, allowed) == found


def test_parsers_of_values_do_not_wait_for_large_packages() -> None:
    code = (
        "import sys, rigopt.files.amounts, rigopt.files.faults, rigopt.files.toml\n"
        "sys.exit(bool({'pandas', 'pydantic', 'ortools'} & sys.modules.keys()))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


@pytest.mark.parametrize(
    "written",
    ["2025-11-20", "20.11.2025", "20/11/2025", "11/20/2025", "20-11-2025", "2025/11/20"],
)
def test_a_day_that_can_be_only_one(written: str) -> None:
    assert values.day(written) == datetime.date(2025, 11, 20)


@pytest.mark.parametrize("written", ["05.11.2025", "5.11.2025", "2025-11-05", "2025-11-5"])
def test_with_points_the_month_is_second(written: str) -> None:
    assert values.day(written) == datetime.date(2025, 11, 5)


def test_a_day_that_could_be_two_is_refused_with_both() -> None:
    with pytest.raises(BadValueError, match=r"^could be 2025-05-11 or 2025-11-05; write it"):
        values.day("05/11/2025")
    assert values.day("11/11/2025") == datetime.date(2025, 11, 11)


@pytest.mark.parametrize("written", ["31.02.2025", "20.11.25", "20.11/2025", "today", ""])
def test_what_is_no_day_is_refused(written: str) -> None:
    with pytest.raises(BadValueError, match="must be a date such as"):
        values.day(written)
