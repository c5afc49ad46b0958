"""Lines and tables for a terminal of 80 columns, whatever characters the labels hold.

Widths are columns of the terminal: an ideograph or an emoji takes two, a combining accent
none. Which takes how many is wcwidth's to know.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Final

import wcwidth
from tabulate import tabulate
from wcwidth import width

from rigopt.output.words.clean import clean

if TYPE_CHECKING:  # a plain answer does not wait for it
    from rigopt.output.words.grids import Grid

COLUMNS: Final = 80
_GAP: Final = 2
_NARROWEST: Final = (12, 8)
"""Columns to which a soft column gives way, and then any column."""

_MOST_LINES: Final = 3
"""Lines that one cell or title may take."""

_BREAK: Final = re.compile("(?<![0-9]) ")
"""A space at which a line may end."""

_HELD: Final = "\N{NO-BREAK SPACE}"
"""Stands for any other space while lines are made; none is left in text that is clean."""


def wrap(text: str, columns: int = COLUMNS) -> list[str]:
    """`text` cleaned and cut into lines of at most `columns`, at spaces where possible.

    A number stays with the word after it: '48 V' is not torn. A word longer than a line
    begins a line of its own.
    """
    pieces = [
        piece.replace(" ", _HELD)
        for word in _BREAK.split(_shown(text))
        for piece in _lines(word, columns)
    ]
    return [line.replace(_HELD, " ") for line in _lines(" ".join(pieces), columns)]


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
    rows = [headers, *rows]
    natural = _widths([[[_shown(cell)] for cell in row] for row in rows])
    limits = _limits(natural, [header in soft.split("|") for header in headers])
    cells = [[cut(cell, limits[i]) for i, cell in enumerate(row)] for row in rows]
    rule = [["-" * columns] for columns in _widths(cells)]
    lines = [cells[0], rule, *(row or rule for row in cells[1:])]
    drawn = tabulate(
        [["\n".join(cell) for cell in row] for row in lines],
        tablefmt="plain",
        disable_numparse=True,
        colalign=["right" if header in right.split("|") else "left" for header in headers],
    )
    return "\n".join(line.rstrip() for line in drawn.splitlines())


def grid(told: Grid) -> str:
    """A table with what belongs to it."""
    parts = []
    if told.rows:
        parts.append(table(told.headers, told.rows, "|".join(told.soft), "|".join(told.right)))
    parts += [paragraph(line, "- ") for line in told.known]
    return "\n".join([*parts, *(paragraph(line) for line in told.lines)])


def cut(text: str, columns: int = COLUMNS) -> list[str]:
    """`text` wrapped into three lines at most; an ellipsis shows where it goes on."""
    lines = wrap(text, columns)
    if len(lines) > _MOST_LINES:
        lines = [*lines[: _MOST_LINES - 1], ended(lines[_MOST_LINES - 1], columns)]
    return lines


def ended(text: str, columns: int) -> str:
    """The beginning of `text` with an ellipsis after it, in at most `columns`."""
    return wcwidth.clip(text, 0, columns - 1).rstrip() + "…"


def _shown(text: str) -> str:
    """`text` cleaned; a sign without a width that begins a word gets a dotted circle.

    So the Unicode Standard shows marks by themselves. It would sit on whatever stands to
    the left.
    """
    words = clean(text).split(" ")
    return " ".join(word if not word or width(word[0]) else "◌" + word for word in words)


def _lines(text: str, columns: int) -> list[str]:
    if width(text) <= columns:
        return [text]
    return wcwidth.wrap(text, columns, break_on_hyphens=False)


def _widths(rows: Iterable[Sequence[Sequence[str]]]) -> list[int]:
    """The widest line of each column; a cell is a list of lines, and a row may have none."""
    columns = zip(*(row for row in rows if row), strict=True)
    return [max(width(line) for cell in column for line in cell) for column in columns]


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
