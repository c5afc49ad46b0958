"""Lines and tables for a terminal of 80 columns, whatever characters the labels hold.

Widths are columns of the terminal: an ideograph or an emoji takes two, a combining
accent none (Unicode Standard Annex 11).
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from tabulate import tabulate

from rigopt.output.words.clean import clean

COLUMNS: Final = 80
_GAP: Final = 2
_NARROWEST: Final = (12, 8)
"""Columns to which a soft column gives way, and then any column."""

_MOST_LINES: Final = 3
"""Lines that one cell or title may take."""

_BREAK: Final = re.compile("(?<![0-9]) ")
"""A space at which a line may end."""

_FIRST_STAND_IN: Final = 0x100000
_FILLER: Final = chr(_FIRST_STAND_IN - 3)


def clusters(text: str) -> list[str]:
    """`text` cut into base characters, each with the zero-width ones that follow it.

    A mark with nothing before it gets a dotted circle, as the Unicode Standard shows marks
    by themselves; it would sit on whatever stands to the left of the text.
    """
    found: list[str] = []
    for char in text:
        mark = unicodedata.category(char) in ("Mn", "Me")
        if mark and found:
            found[-1] += char
        else:
            found.append("◌" + char if mark else char)
    return found


def width(text: str) -> int:
    """Terminal columns that `text` takes."""
    if text.isascii() and text.isprintable():
        return len(text)
    return sum(
        2 if unicodedata.east_asian_width(cluster[0]) in "WF" else 1
        for cluster in clusters(text)
    )


def wrap(text: str, columns: int = COLUMNS) -> list[str]:
    """`text` cleaned and cut into lines of at most `columns`, at spaces where possible.

    A number stays with the word after it: '48 V' is not torn.
    """
    lines = [""]
    for word in _words(clean(text), columns):
        for number, piece in enumerate(_pieces(word, columns)):
            joined = f"{lines[-1]} {piece}" if lines[-1] else piece
            if number == 0 and width(joined) <= columns:
                lines[-1] = joined
            else:
                lines.append(piece)
    return lines


def paragraph(text: str, first: str = "", rest: str | None = None) -> str:
    """`text` wrapped, with `first` before its first line and `rest` before the others."""
    hanging = " " * width(first) if rest is None else rest
    lines = wrap(text, COLUMNS - width(first))
    return "\n".join([first + lines[0], *(hanging + line for line in lines[1:])])


def table(
    headers: Sequence[str], rows: Iterable[Sequence[str]], soft: str, right: str = ""
) -> str:
    """A table that fits the terminal.

    `soft` and `right` name headers, separated by `|`: of the columns that are wrapped
    before any other, and of those aligned right. A row without cells is drawn as a line
    under the columns, as the headers have one.
    """
    gives_way = [header in soft.split("|") for header in headers]
    cells = [[clean(cell) for cell in row] for row in [headers, (), *rows]]
    limits = _limits([_widest(cells, i) for i in range(len(headers))], gives_way)
    book: dict[str, int] = {}
    shown = [
        [_stand_in("\n".join(cut(cell, limits[i])), book) for i, cell in enumerate(row)]
        for row in cells
    ]
    lines = ["-" * _widest(shown, i) for i in range(len(headers))]
    drawn = tabulate(
        [row or lines for row in shown],
        tablefmt="plain",
        disable_numparse=True,
        colalign=["right" if header in right.split("|") else "left" for header in headers],
    )
    return "\n".join(line.rstrip() for line in _put_back(drawn, book).splitlines())


def cut(text: str, columns: int = COLUMNS) -> list[str]:
    """`text` wrapped into three lines at most; an ellipsis shows where it goes on."""
    lines = wrap(text, columns)
    if len(lines) > _MOST_LINES:
        last = _pieces(lines[_MOST_LINES - 1], columns - 1)[0]
        lines = [*lines[: _MOST_LINES - 1], f"{last}…"]
    return lines


def _widest(rows: Sequence[Sequence[str]], column: int) -> int:
    return max(width(line) for row in rows if row for line in row[column].split("\n"))


def _words(text: str, columns: int) -> Iterator[str]:
    for words in _BREAK.split(text):
        yield from [words] if width(words) <= columns else words.split()


def _pieces(word: str, columns: int) -> list[str]:
    """`word` in pieces of at most `columns`."""
    if width(word) <= columns:
        return [word]
    pieces = [""]
    for cluster in clusters(word):
        if pieces[-1] and width(pieces[-1] + cluster) > columns:
            pieces.append("")
        pieces[-1] += cluster
    return pieces


def _limits(natural: list[int], soft: list[bool]) -> list[int]:
    """Column widths of which the widest have given way until all fit, soft ones first."""
    limits = [min(columns, COLUMNS) for columns in natural]
    room = COLUMNS - _GAP * (len(limits) - 1)
    for least, may in zip(_NARROWEST, (soft, [True] * len(soft)), strict=True):
        while sum(limits) > room:
            widest = max((limits[i], -i) for i in range(len(limits)) if may[i])
            if widest[0] <= least:
                break
            limits[-widest[1]] -= 1
    return limits


def _stand_in(text: str, book: dict[str, int]) -> str:
    """`text` with as many characters as it takes columns, for a tool that counts those.

    Each cluster of another width than one is noted in `book`, and a private-use
    character (which `clean` lets no label hold) with fillers stands in for it.
    """
    if text.isascii():
        return text
    out = ""
    for cluster in clusters(text):
        if len(cluster) == 1 and width(cluster) == 1:
            out += cluster
        else:
            number = book.setdefault(cluster, len(book))
            out += chr(_FIRST_STAND_IN + number) + _FILLER * (width(cluster) - 1)
    return out


def _put_back(text: str, book: dict[str, int]) -> str:
    names = {_FIRST_STAND_IN + number: cluster for cluster, number in book.items()}
    return text.translate({**names, ord(_FILLER): ""})
