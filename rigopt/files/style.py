"""How a CSV file is written: what a list must be like to open right beside it."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from pathlib import Path
from typing import Final, NamedTuple

from rigopt.files.csv import read_table, separator_of
from rigopt.files.faults import Gathered
from rigopt.files.marks import decimal_mark
from rigopt.files.text import LARGEST_MB, decode, read_bytes, with_line_feeds


class Style(NamedTuple):
    """`marked`: the file begins with a byte-order mark, by which spreadsheets know UTF-8."""

    separator: str = ","
    decimal: str = "."
    marked: bool = False


PLAIN: Final = Style()


def style_of(path: Path, columns: Sequence[str], numbers: Collection[str]) -> Style:
    """The style of a table with `columns`, of which these hold numbers; plain if there is none.

    Where no number tells the decimal mark, it is the one that goes with the separator. A file
    from a spreadsheet that is not UTF-8 for sure gives a list with a mark, too.
    """
    data = read_bytes(path, Gathered(""), LARGEST_MB) or b""
    text, encoding = decode(data) or ("", "utf-8")
    text = with_line_feeds(text)
    separator = separator_of(text, columns)
    rows = read_table(text, columns, (), Gathered(""))
    cells = (cell for row in rows for name, cell in row.cells.items() if name in numbers)
    mark = decimal_mark(cells) or ("," if separator == ";" else ".")
    unsure = separator == ";" and data.isascii()
    return Style(separator, mark, marked=encoding != "utf-8" or unsure)
