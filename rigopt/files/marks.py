"""Which mark is the decimal one in a file, and cells that only that can tell.

`1.300` beside cells such as `12,50` is 1300; beside `12.50` it is 1.3. Where no cell tells,
or two tell different things, such a cell stays as it is, and its reader refuses it.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable
from typing import Final

from rigopt.files.csv import Row

_NUMBER: Final = r"(?<![\d.,]){}(?![\d.,])"
_CLEAR: Final = {
    # A number that has this decimal mark for sure.
    mark: re.compile(_NUMBER.format(rf"(\d*{mark}(\d{{1,2}}|\d{{4,}})|0{mark}\d+|{grouped})"))
    for mark, grouped in ((",", r"\d{1,3}(\.\d{3})+,\d+"), (r"\.", r"\d{1,3}(,\d{3})+\.\d+"))
}
_UNCLEAR: Final = re.compile(_NUMBER.format(r"([1-9]\d{0,2})([.,])(\d{3})"))


def settled(rows: Iterable[Row], numbers: Collection[str], money: Collection[str]) -> list[Row]:
    """`rows` with the cells settled that the others tell of.

    `numbers` are the columns that hold numbers, `money` those of them that hold amounts: there
    three digits behind the decimal mark are more likely a slip, and stay as they are.
    """
    rows = list(rows)
    mark = decimal_mark(
        cell for row in rows for name, cell in row.cells.items() if name in numbers
    )
    if mark is None:
        return rows
    return [
        Row(
            row.number,
            {
                name: _settle(cell, mark, name in money) if name in numbers else cell
                for name, cell in row.cells.items()
            },
        )
        for row in rows
    ]


def decimal_mark(cells: Iterable[str]) -> str | None:
    """The decimal mark of a file, if its cells tell and agree."""
    text = " | ".join(cells)
    found = [mark for mark, pattern in _CLEAR.items() if pattern.search(text)]
    return found.pop()[-1] if len(found) == 1 else None


def _settle(cell: str, mark: str, is_money: bool) -> str:
    def one(found: re.Match[str]) -> str:
        whole, its_mark, parts = found.groups()
        if its_mark != mark:
            return whole + parts
        if is_money and not parts.endswith("0"):
            return found[0]
        return f"{whole}.{parts[:-1]}" if parts.endswith("0") else f"{whole}.{parts}"

    return _UNCLEAR.sub(one, cell)
