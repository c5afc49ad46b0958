"""A catalogue folder as a workbook to fill in: a sheet for each table, one that explains."""

from __future__ import annotations

import datetime
import io
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, Final

from openpyxl import Workbook
from openpyxl.comments import Comment
from openpyxl.styles import Font, PatternFill
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet

from rigopt.catalogue.columns import COLUMNS, Column
from rigopt.catalogue.workbook import KEY
from rigopt.files.amounts import number
from rigopt.files.csv import read_table
from rigopt.files.faults import Gathered
from rigopt.files.toml import read_toml

SPARE_ROWS: Final = 200
"""Rows below the last one that are made ready to be filled in."""

FORMATS: Final = {"number": "General", "money": "0.00", "text": "@", "day": "yyyy-mm-dd"}
"""Number formats by the form of a column. In a cell that is text, 2/1 does not become a day."""

HEAD_FILL: Final = PatternFill("solid", fgColor="FFD9E2EC")
PRICE_FILL: Final = PatternFill("solid", fgColor="FFFFF2B3")
BOLD: Final = Font(bold=True)

KEYS: Final = {
    "title": "what this catalogue is called",
    "currency": "the currency of your prices, an ISO 4217 code such as EUR",
    "note": "a remark for every answer; may be left out",
}

TEXT: Final = (
    "How to fill in this workbook",
    "",
    "1. catalog: put in your currency.",
    "2. devices: a row for each box that you could buy or own, as its data sheet has it. Fill "
    "in the yellow column, price. A row without a price is used only if you own it.",
    "3. cables: the same. These two sheets and catalog have to be there.",
    "4. The other sheets may stay empty. formats: digital links of many channels on one cable. "
    "offers and sellers: who sells what, for how much. extras: what is bought by the count, "
    "such as stands. sources: what is recorded, one by one.",
    "",
    "Point at the head of a column to read what it means. What a blank cell stands for is in "
    "brackets. Where only some words will do, the cell offers them.",
    "Leave the names of the sheets and the heads of the columns as they are. Sheets of other "
    "names are yours, and are not read.",
    "",
    "Then ask: rigopt plan --catalog FILE --mic 16",
)


def workbook(folder: Path) -> bytes:
    """The files of a catalogue folder as an .xlsx file."""
    book = Workbook()
    book.remove(book.worksheets[0])
    _explain(book.create_sheet("read me"))
    _head(book.create_sheet("catalog"), folder / "catalog.toml")
    for name, columns in COLUMNS.items():
        file = folder / f"{name}.csv"
        _table(book.create_sheet(name), columns, _rows(file, columns))
    book.active = book.worksheets.index(book["devices"])
    made = io.BytesIO()
    book.save(made)
    return made.getvalue()


def _explain(sheet: Worksheet) -> None:
    for number_of, line in enumerate(TEXT, start=1):
        sheet.cell(number_of, 1, line)
    sheet["A1"].font = BOLD


def _head(sheet: Worksheet, file: Path) -> None:
    said = read_toml(file, Gathered(file.name)) or {}
    sheet.append(KEY)
    for key, meaning in KEYS.items():
        sheet.append([key, said.get(key), meaning])
    for place, width in zip("ABC", (12, 60, 60), strict=True):
        sheet.column_dimensions[place].width = width
        sheet[f"{place}1"].font, sheet[f"{place}1"].fill = BOLD, HEAD_FILL
    for row in (2, 3, 4):
        sheet.cell(row, 2).number_format = FORMATS["text"]


def _rows(file: Path, columns: Sequence[Column]) -> Sequence[Mapping[str, str]]:
    """The cells of a file that comes with the program; none where it is not there."""
    if not file.exists():
        return []
    names = [column.name for column in columns]
    text = file.read_text("utf-8")
    return [row.cells for row in read_table(text, names, [], Gathered(file.name))]


def _table(
    sheet: Worksheet, columns: Sequence[Column], rows: Sequence[Mapping[str, str]]
) -> None:
    last = len(rows) + 1 + SPARE_ROWS
    for place, column in enumerate(columns, start=1):
        head = sheet.cell(1, place, column.name)
        head.font, head.fill = BOLD, PRICE_FILL if column.name == "price" else HEAD_FILL
        head.comment = Comment(column.meaning, "rigopt", width=320, height=110)
        letter = get_column_letter(place)
        sheet.column_dimensions[letter].width = _width(column)
        _choices(sheet, column, f"{letter}2:{letter}{last}")
        for row in range(2, last + 1) if column.form != "number" else ():
            cell = sheet.cell(row, place)
            cell.number_format = FORMATS[column.form]
            if column.name == "price":
                cell.fill = PRICE_FILL
    for row, cells in enumerate(rows, start=2):
        for place, column in enumerate(columns, start=1):
            if column.name in cells:
                sheet.cell(row, place).value = _typed(column, cells[column.name])
    sheet.freeze_panes = "B2"


def _width(column: Column) -> int:
    return {"label": 50, "note": 40}.get(column.name, max(10, len(column.name) + 3))


def _choices(sheet: Worksheet, column: Column, cells: str) -> None:
    """Offer the words that a cell may hold; refuse others where there are none."""
    if not column.choices:
        return
    words = ",".join(column.choices)
    offered = DataValidation("list", formula1=f'"{words}"', allow_blank=True)
    offered.showErrorMessage = not column.others
    offered.error = f"{column.name}: {words.replace(',', ', ')}, or blank"
    sheet.add_data_validation(offered)
    offered.add(cells)


def _typed(column: Column, cell: str) -> Any:
    """A cell as a spreadsheet keeps it: numbers and days as such, the rest as text."""
    if column.form == "day":
        return datetime.date.fromisoformat(cell)
    if column.form == "text" or cell.casefold() == "all":
        return cell
    found = number(cell)
    return int(found) if found == int(found) else float(found)
