"""How wide text is at the most, without a font at hand, and text cut to a width.

Nobody knows which font the reader's browser takes, so each character counts as wide as in
the broadest of the usual sans-serif fonts. Sizes and widths are in pixels of the picture.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from wcwidth import iter_graphemes

from rigopt.output.words.clean import clean

ELLIPSIS: Final = "…"

# Hundredths of an em, read off the widths in DejaVu Sans, of which broad fonts are kin.
_SLIM: Final = frozenset("fijlrtIJ.,:;'\"|!`()[]/\\- ")
_BROAD: Final = frozenset("mwMWOQ%@&+=<>~^#…—")
_ROUND_UP: Final = 116
"""Bold letters in hundredths of plain ones."""

_MARKS: Final = ("Mn", "Me")
"""Unicode categories of signs without a width of their own."""

_MOST_MARKS: Final = 2
"""Accents kept on one letter; a pile of them would grow out of its line."""


@dataclass(frozen=True, slots=True)
class Style:
    """A way to set text: the class in the style sheet, and what it means for the width."""

    name: str
    size: int
    bold: bool = False


def width(text: str, style: Style) -> int:
    """The most pixels that `text` takes in `style`, rounded up."""
    hundredths = sum(_advance(char) for char in text) * style.size
    if style.bold:
        hundredths = hundredths * _ROUND_UP // 100
    return -(-hundredths // 100)


def tame(text: str) -> str:
    """`text` cleaned, and with no more than two accents on one letter."""
    kept, marks = "", 0
    for char in clean(text):
        marks = marks + 1 if unicodedata.category(char) in _MARKS else 0
        kept += char if marks <= _MOST_MARKS else ""
    return kept


def fit(text: str, style: Style, room: int) -> str:
    """`text` cleaned, and cut with an ellipsis where it is wider than `room`."""
    return lines(text, style, room, 1)[0]


def lines(text: str, style: Style, room: int, most: int) -> tuple[str, ...]:
    """`text` cleaned and in at most `most` lines, the last cut with an ellipsis.

    Lines end at spaces where possible.
    """
    words = tame(text).split(" ")
    found: list[str] = []
    while words and len(found) < most:
        last = len(found) == most - 1
        found.append(_last(words, style, room) if last else _take(words, style, room))
    return tuple(found)


def _take(words: list[str], style: Style, room: int) -> str:
    """Words off the front of `words` that fit, or what fits of the first."""
    line = words.pop(0)
    if width(line, style) > room:
        line, rest = _split(line, style, room)
        if rest:
            words.insert(0, rest)
        return line
    while words and width(f"{line} {words[0]}", style) <= room:
        line += f" {words.pop(0)}"
    return line


def _last(words: list[str], style: Style, room: int) -> str:
    """All that is left, cut where it is too much."""
    whole = " ".join(words)
    if width(whole, style) <= room:
        return whole
    return _split(whole, style, room - width(ELLIPSIS, style))[0].rstrip() + ELLIPSIS


def _split(text: str, style: Style, room: int) -> tuple[str, str]:
    """The longest beginning of `text` within `room`, at least one character; and the rest.

    A letter of several characters, such as one with a vowel sign, is cut only where it is
    wider than the room by itself.
    """
    kept = _beginning(iter_graphemes(text), style, room) or _beginning(text, style, room)
    kept = kept or text[:1]
    return kept, text[len(kept) :]


def _beginning(parts: Iterable[str], style: Style, room: int) -> str:
    """As many of `parts` as fit into `room`."""
    kept = ""
    for part in parts:
        if width(kept + part, style) > room:
            break
        kept += part
    return kept


def _advance(char: str) -> int:
    """Hundredths of an em."""
    char = unicodedata.normalize("NFD", char)[0]
    if char in _SLIM:
        return 47
    if char in _BROAD:
        return 100
    if char.isascii():
        return 79 if char.isupper() else 64
    if unicodedata.category(char) in _MARKS:
        return 0
    if unicodedata.east_asian_width(char) in "WF":
        return 140
    return 110
