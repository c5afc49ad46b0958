"""Rows and records as CSV for a spreadsheet; a record is a mapping, all with the same keys.

Lines end in CR LF and cells are quoted as RFC 4180 has it.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Final

from rigopt.files.style import PLAIN, Style
from rigopt.files.values import FORMULA
from rigopt.output.words.clean import clean
from rigopt.output.words.phrases import together

_BEGINS: Final = re.compile(rf'(^|[,;][ "]*)(?=[{re.escape("".join(FORMULA))}])')
"""Where a spreadsheet may see a cell begin, with a formula in it."""


def csv_text(header: Iterable[str], rows: Iterable[Iterable[str]]) -> str:
    """A header, and rows whose cells no spreadsheet takes for formulas."""
    return _written(header, (map(harmless, row) for row in rows))


def records_text(records: Sequence[Mapping[str, object]]) -> str:
    """A header and a row for each record; counts by name are one cell."""
    return _written(
        records[0], ([_cell(value) for value in record.values()] for record in records)
    )


def styled(text: str, style: Style) -> str:
    """A list as `csv_text` makes it, written as the user's own files are."""
    if style == PLAIN:
        return text
    rows = csv.reader(io.StringIO(text, newline=""))
    out = io.StringIO("\ufeff" if style.marked else "")
    out.seek(0, io.SEEK_END)
    writer = csv.writer(out, delimiter=style.separator, lineterminator="\r\n")
    for row in rows:
        writer.writerow([_DECIMAL.sub(rf"\1{style.decimal}\2", cell) for cell in row])
    return out.getvalue()


_DECIMAL: Final = re.compile(r"^(-?[0-9]+)\.([0-9]+)$")
"""A cell that is a number with decimals."""


def harmless(text: str) -> str:
    """`text` as a cell that no spreadsheet takes for a formula.

    Nor does one that cuts the line at another mark, in the middle of the cell. Tabs and
    carriage returns, which can hide a formula, are gone after cleaning.
    """
    return _BEGINS.sub(r"\1'", clean(text))


def _written(header: Iterable[str], rows: Iterable[Iterable[str]]) -> str:
    out = io.StringIO()
    csv.writer(out, lineterminator="\r\n").writerows([header, *rows])
    return out.getvalue()


def _cell(value: object) -> str:
    if isinstance(value, dict):
        return harmless(together(value))
    if value is None or isinstance(value, bool):
        return {None: "", True: "yes", False: "no"}[value]
    text = str(value)
    # A difference below zero is a number, not a formula.
    return text if _is_number(text) else harmless(text)


def _is_number(text: str) -> bool:
    return text.removeprefix("-").replace(".", "", 1).isdecimal() and text.isascii()
