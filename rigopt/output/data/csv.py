"""Rows and records as CSV for a spreadsheet; a record is a mapping, all with the same keys.

Lines end in CR LF and cells are quoted as RFC 4180 has it.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping, Sequence

from rigopt.files.values import FORMULA
from rigopt.output.words.clean import clean
from rigopt.output.words.phrases import together


def csv_text(header: Iterable[str], rows: Iterable[Iterable[str]]) -> str:
    """A header, and rows whose cells no spreadsheet takes for formulas."""
    return _written(header, (map(harmless, row) for row in rows))


def records_text(records: Sequence[Mapping[str, object]]) -> str:
    """A header and a row for each record; counts by name are one cell."""
    return _written(
        records[0], ([_cell(value) for value in record.values()] for record in records)
    )


def harmless(text: str) -> str:
    """`text` as a cell that no spreadsheet takes for a formula.

    Tabs and carriage returns, which can hide one, are gone after cleaning.
    """
    cell = clean(text)
    return f"'{cell}" if cell.startswith(FORMULA) else cell


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
