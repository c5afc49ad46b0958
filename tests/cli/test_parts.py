"""Small parts of the commands, called by themselves."""

from __future__ import annotations

import io
import os
import sys
from decimal import Decimal
from pathlib import Path

import click
import pytest

from rigopt.catalogue import shipped
from rigopt.catalogue.questions import Question as AboutBox
from rigopt.cli import main as cli
from rigopt.cli import options, prices, progress
from rigopt.cli.answering import Piped, Typed, answer_source
from rigopt.cli.compare import MOST_COLUMNS, _Grid, _title
from rigopt.cli.main import run
from rigopt.errors import InputError
from rigopt.files.values import BadValueError
from rigopt.needs.types import Question
from rigopt.optimiser.solver.watch import Watch
from tests.reading.folders import SMALL

SHOP = Path(__file__).parents[1] / "golden" / "catalogues" / "small"
ASKED = AboutBox("mics", "How many")


# --- prices that are typed ----------------------------------------------------------------


def test_prices_that_are_typed_stand_as_if_in_the_file() -> None:
    shop = prices._typed(SMALL, ["lead=7", "desk-8=100-120", "lead=8", "pre-8=?"])
    assert (shop.extras["lead"].price, shop.extras["lead"].least) == (800, None)
    assert (shop.devices["desk-8"].price, shop.devices["desk-8"].least) == (12000, 10000)
    assert [*shop.unknown] == ["pre-8"]
    assert prices._typed(SMALL, []) is SMALL


def test_every_slip_among_typed_prices_is_told() -> None:
    with pytest.raises(InputError) as caught:
        prices._typed(SMALL, ["desk-9=5", "lead", "pre-8=x", "lead=1"])
    assert [str(fault) for fault in caught.value.faults] == [
        "--price: there is no such device, cable or extra (found 'desk-9'); did you mean "
        "'desk-8'?",
        "--price, lead: is not a number (found '')",
        "--price, pre-8: is not a number (found 'x')",
    ]
    with pytest.raises(InputError, match=r"^--within: is not a number \(found 'x'\)$"):
        prices._money("x", SMALL)
    assert prices._money("1.50", SMALL) == 150


def test_a_price_at_the_prompt() -> None:
    assert [prices._checked("GBP", typed) for typed in (" ", " 5 ", "1-2")] == ["", "5", "1-2"]
    with pytest.raises(click.BadParameter, match="'x' is not a number"):
        prices._checked("GBP", "x")


# --- options ------------------------------------------------------------------------------


def test_percents() -> None:
    read = options._percent
    context, param = click.Context(click.Command("x")), click.Option(["--more"])
    assert read(context, param, None) is None
    assert read(context, param, "12,5 %") == Decimal("12.5")
    assert read(context, param, "1000") == 1000
    with pytest.raises(click.BadParameter, match="'1001' must be a number from 0 to 1000 with"):
        read(context, param, "1001")


@pytest.mark.parametrize(
    ("args", "told"),
    [
        (["curve", "--from", "9", "--to", "8"], "--from is 9, which is more than --to, 8"),
        (["curve", "--to", "10000", "--step", "1"], "counts, and "),
        (["stretch", "at 96k"], "say how much money there is, for example --budget 600"),
        (["grow", "8 mics"], "say the stages: in a file, a [[stage]] table for each, or as"),
        (["compare", "8 mics"], "that is one column; give more files, or --rate, --master or"),
        (["compare"], "say what you need: a file, or for example --mic 16"),
        (["compare", *["8 mics"] * 61], "that is 61 columns, and 60 are the most"),
        (["plan", "8 mics", "--alternative", "1", "--why"], "are of the cheapest rig alone"),
        (["plan", "8 mics", "--alternative", "1", "--checks"], "are of the cheapest rig alone"),
        (["plan", "8 mics", "--alternative", "1", "--more", "0"], "of the cheapest rig alone"),
        (
            ["plan", "8 mics", "--alternative", "1", "--second-opinion"],
            "of the cheapest rig alone",
        ),
        (
            ["plan", "8 mics", "--alternative", "1", "--alternatives", "1"],
            "of the cheapest rig alone",
        ),
        (["plan", "8 mics", "--alternative", "0"], "--alternative"),
        (["plan", "8 mics", "--alternatives", "101"], "--alternatives"),
        (["prices", "at 96k"], "say what you need: a file, or for example --mic 16"),
        (["new", "gear.ODS"], "a workbook begins as .xlsx; your office program saves .ods"),
    ],
)
def test_what_is_refused_before_anything_is_asked(
    args: list[str],
    told: str,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(shipped, "demo_catalogue", lambda: SHOP)
    assert run(args) == 2
    shown = capsys.readouterr()
    assert shown.out == ""
    assert told in " ".join(shown.err.split())
    assert list(tmp_path.iterdir()) == []


def test_the_columns_of_a_comparison() -> None:
    grid = _Grid((None, None), (None,), ("48", "96", "192"), ("host", "any"))
    assert (len(grid), MOST_COLUMNS) == (12, 60)
    assert [_title(one) for one in (Path("a/live.toml"), Question("8 mics"), None)] == [
        *("live", "8 mics", ""),
    ]


# --- answers ------------------------------------------------------------------------------


def test_lines_from_a_pipe_are_answers_one_by_one() -> None:
    lines = Piped(io.BytesIO("8\r\n\r\né\r\n \r\n".encode()))
    assert [lines.take(ASKED) for _ in range(3)] == ["8", "", "é"]
    with pytest.raises(InputError) as caught:
        lines.refuse(ASKED, BadValueError("is odd"))
    assert str(caught.value) == "standard input, row 3: 'How many?': is odd (found 'é')"
    with pytest.raises(InputError) as caught:
        lines.refuse(ASKED, BadValueError("is odd", piece="x"))
    assert str(caught.value).endswith("is odd (found 'x')")
    lines.finish()
    assert lines.show("row") == "row\n"


def test_a_line_that_is_left_over_is_named() -> None:
    lines = Piped(io.BytesIO(b"8\n\nmore\n"))
    lines.take(ASKED)
    with pytest.raises(InputError) as caught:
        lines.finish()
    assert str(caught.value) == (
        "standard input, row 3: stands after the last answer; nothing was written"
    )
    empty = Piped(io.BytesIO(b""))
    with pytest.raises(InputError, match=r"ends before the question 'How many\?'; nothing"):
        empty.take(ASKED)


@pytest.mark.parametrize("more", [0, 1])
def test_as_many_bytes_as_answers_may_have(more: int) -> None:
    data = io.BytesIO(b"x" * (100_000 + more))
    if more:
        with pytest.raises(InputError, match="is more than 100000 bytes: one answer a line"):
            Piped(data)
    else:
        assert len(Piped(data).take(ASKED)) == 100_000


class _Input(io.BytesIO):
    def __init__(self, data: bytes, terminal: bool) -> None:
        super().__init__(data)
        self._terminal = terminal

    def isatty(self) -> bool:
        return self._terminal


def test_a_person_is_told_at_once(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    for terminal, kind in ((True, Typed), (False, Piped)):
        stream = io.TextIOWrapper(_Input(b"8\n\x81\n" if terminal else b"8", terminal))
        monkeypatch.setattr(sys, "stdin", stream)
        source = answer_source()
        assert type(source) is kind
        if terminal:
            capsys.readouterr()
            assert source.take(ASKED) == "8\n"
            assert source.take(ASKED) == ""
            with pytest.raises(click.Abort):
                source.take(ASKED)
            assert capsys.readouterr().err == "\nHow many? [0]\n> " * 3
            source.hint("")
            source.hint("It would change.")
            source.refuse(ASKED, BadValueError("is odd"))
            assert source.show("row") == ""
            assert capsys.readouterr() == ("row\n", "  It would change.\n  That is odd.\n")


# --- the line of a long search ------------------------------------------------------------


def test_a_terminal_that_does_not_say_its_width(monkeypatch: pytest.MonkeyPatch) -> None:
    stream = io.StringIO()
    assert progress._columns(stream) == 80
    with open(os.devnull, encoding="ascii") as null:
        for said, found in ((132, 132), (0, 80)):
            size = os.terminal_size((said, 24))
            monkeypatch.setattr(os, "get_terminal_size", lambda _fd, size=size: size)
            assert progress._columns(null) == found


def test_a_bound_is_told_only_where_it_says_something() -> None:
    watch = Watch("GBP")
    watch.bounded(0)
    assert progress.line(watch, 0.4) == "rigopt: no rig yet, 0 s"
    watch.bounded(250)
    assert progress.line(watch, 9.6) == "rigopt: no rig yet, none under 2.50, 10 s"


# --- errors of the program itself ---------------------------------------------------------


def test_a_caret_stays_under_its_place() -> None:
    assert cli._cleaned("    ^ \x1b") == "    ^ ␛"
    assert cli._cleaned("a\n") == "a"


def test_what_an_error_followed_from() -> None:
    inner, outer = KeyboardInterrupt(), ValueError()
    outer.__cause__ = OSError()
    outer.__cause__.__context__ = inner
    assert cli._chain(outer, KeyboardInterrupt)
    assert cli._chain(inner, KeyboardInterrupt)
    assert not cli._chain(ValueError(), KeyboardInterrupt)


def test_a_fault_names_the_three_last_places() -> None:
    def deep(levels: int) -> None:
        if not levels:
            raise ValueError("odd")
        deep(levels - 1)

    with pytest.raises(ValueError, match="odd") as caught:
        deep(5)
    first, second, third = cli._own_fault(caught.value).splitlines()
    assert first == "a fault of this program, not of your files. Please report it:"
    assert second == "ValueError: odd"
    assert [place.partition(":")[0] for place in third.split(", ")] == [
        *("at test_parts.py", "test_parts.py", "test_parts.py"),
    ]
