"""Text measured and cut without a font."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigopt.output.page.lettering import ELLIPSIS, Style, fit, lines, width
from rigopt.output.words.clean import clean

PLAIN, BOLD = Style("plain", 10), Style("bold", 10, bold=True)
TEXT = st.text(st.sampled_from("ab -é漢🎤\u0301W\x1b\n") | st.characters(), max_size=80)


@pytest.mark.parametrize(
    ("text", "pixels"),
    [
        ("", 0),
        ("i", 5),
        ("a", 7),
        ("A", 8),
        ("W", 10),
        ("é", 7),
        ("e\u0301", 7),
        ("漢", 14),
        ("ж", 11),
    ],
)
def test_width(text: str, pixels: int) -> None:
    assert width(text, PLAIN) == pixels


def test_bold_is_wider() -> None:
    assert width("a" * 10, BOLD) == 75 > width("a" * 10, PLAIN)


# Advance widths of DejaVu Sans 2.37, in hundredths of an em, rounded up; read off the font.
BROAD_FONT = {
    "a": 62,
    "m": 98,
    "W": 99,
    "i": 28,
    "t": 40,
    " ": 32,
    "0": 64,
    "%": 96,
    "O": 79,
    "N": 75,
    "…": 100,
    '"': 46,
    "{": 64,
    "$": 64,
    "_": 50,
    "r": 42,
}


@pytest.mark.parametrize("char", BROAD_FONT)
def test_no_letter_of_a_broad_font_is_wider_than_counted(char: str) -> None:
    assert width(char * 100, Style("x", 10)) >= BROAD_FONT[char] * 10


def test_what_fits_is_whole() -> None:
    assert fit("expander-1", PLAIN, 100) == "expander-1"


def test_what_does_not_fit_ends_in_an_ellipsis() -> None:
    assert fit("eight preamps", PLAIN, 50) == "eight p…"
    assert fit("eight preamps", PLAIN, 46) == "eight…"
    assert lines("eight preamps and two light-pipes", PLAIN, 60, 2) == ("eight", "preamps…")


def test_a_word_longer_than_a_line_is_cut() -> None:
    assert lines("aaaaaaaaaa", PLAIN, 33, 3) == ("aaaaa", "aaaaa")
    assert lines("漢 a", PLAIN, 10, 3) == ("漢", "a")  # One letter stays, however wide.


def test_a_letter_wider_than_a_line_is_cut() -> None:
    assert lines("<<\u094900", PLAIN, 30, 2) == ("<", "<…")  # A vowel sign joins the second.


def test_a_pile_of_accents_is_cut_down() -> None:
    assert fit("x" + "\u0334" * 50, PLAIN, 50) == "x\u0334\u0334"


@given(TEXT, st.sampled_from([PLAIN, BOLD]), st.integers(30, 200), st.integers(1, 3))
def test_lines_fit_and_lose_nothing_unsaid(
    text: str, style: Style, room: int, most: int
) -> None:
    found = lines(text, style, room, most)
    assert 1 <= len(found) <= most
    assert all(width(line, style) <= room for line in found)
    shown = "".join(found).replace(" ", "")
    whole = clean(text).replace(" ", "")
    if not shown.endswith(ELLIPSIS) and "\u0301\u0301\u0301" not in text:
        assert len(shown) >= len(whole) - sum(map(whole.count, _marks(whole)))


def _marks(text: str) -> set[str]:
    return {char for char in text if width(char, PLAIN) == 0}
