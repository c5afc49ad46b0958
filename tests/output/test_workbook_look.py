"""How a workbook to fill in looks: widths, colours, forms of cells, and what is in them."""

from __future__ import annotations

import datetime
import io
import zipfile
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook, load_workbook
from openpyxl.utils import get_column_letter

from rigopt.output.data import workbook as module

HEAD, PRICE, NONE = "FFD9E2EC", "FFFFF2B3", "00000000"


def made(folder: Path) -> bytes:
    """Two devices and an offer, with two rows more to be filled in."""
    (folder / "catalog.toml").write_text('title = "Mine"\ncurrency = "EUR"\n')
    devices = "id,label,role,price,mic_line,optical_1x,max_in_2x,watts\n"
    devices += 'box,Box,host,99,8,2/1,All,2.5\nother,,host,"1,234.50",4,,,\n'
    (folder / "devices.csv").write_text(devices)
    (folder / "offers.csv").write_text("item,seller,price,as_of\nbox,Corner,9,2025-03-02\n")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(module, "SPARE_ROWS", 2)
        return module.workbook(folder)


def column(sheet: Any, name: str) -> int:
    return next(cell.column for cell in sheet[1] if cell.value == name)


def _the_catalogue_has_a_row_for_each_key(book: Workbook) -> None:
    sheet: Any = book["catalog"]
    assert [[cell.value for cell in row[:2]] for row in sheet.iter_rows()] == [
        ["key", "value"],
        ["title", "Mine"],
        ["currency", "EUR"],
        ["note", None],
    ]
    assert sheet["C3"].value.startswith("the currency of your prices")
    widths = [sheet.column_dimensions[letter].width for letter in "ABC"]
    assert widths == [12, 60, 60]
    assert [sheet[f"{letter}1"].font.b for letter in "ABC"] == [True] * 3
    assert [sheet[f"{letter}1"].fill.fgColor.rgb for letter in "ABC"] == [HEAD] * 3
    assert [sheet[f"B{row}"].number_format for row in range(1, 5)] == ["General", *"@@@"]


def _the_first_sheet_explains(book: Workbook) -> None:
    sheet: Any = book["read me"]
    assert sheet["A1"].value == module.TEXT[0]
    assert sheet[f"A{len(module.TEXT)}"].value == module.TEXT[-1]
    assert sheet["A1"].font.b
    assert not sheet["A3"].font.b
    assert book.sheetnames[:2] == ["read me", "catalog"]
    assert book.active is book["devices"]


def _cells_are_numbers_texts_and_days(book: Workbook) -> None:
    """So that 2/1 stays what it is, and a price can be added up."""
    sheet: Any = book["devices"]

    def value(row: int, name: str) -> object:
        return sheet.cell(row, column(sheet, name)).value

    assert [value(2, name) for name in ("id", "price", "mic_line", "optical_1x")] == [
        *("box", 99, 8, "2/1"),
    ]
    assert (value(2, "max_in_2x"), value(2, "watts")) == ("All", 2.5)
    assert (value(3, "price"), value(3, "watts"), value(4, "id")) == (1234.5, None, None)
    offers: Any = book["offers"]
    day = offers.cell(2, column(offers, "as_of"))
    assert (day.value, day.number_format) == (datetime.datetime(2025, 3, 2), "yyyy-mm-dd")


def _what_is_to_be_filled_in_is_yellow_down_to_the_last_row(book: Workbook) -> None:
    """Two rows of devices, and two to spare."""
    sheet: Any = book["devices"]
    price = column(sheet, "price")
    colours = [sheet.cell(row, price).fill.fgColor.rgb for row in range(1, 7)]
    assert colours == [PRICE] * 5 + [NONE]
    forms = [sheet.cell(row, price).number_format for row in range(1, 7)]
    assert forms == ["General", *["0.00"] * 4, "General"]
    text = column(sheet, "optical_1x")
    assert [sheet.cell(row, text).number_format for row in (2, 5, 6)] == ["@", "@", "General"]
    whole = sheet.cell(2, column(sheet, "mic_line"))
    assert (whole.number_format, whole.fill.fgColor.rgb) == ("General", NONE)
    label = sheet.cell(1, column(sheet, "label"))
    assert (label.fill.fgColor.rgb, label.font.b) == (HEAD, True)
    assert sheet.freeze_panes == "B2"


def _columns_are_as_wide_as_what_is_in_them(book: Workbook) -> None:
    sheet: Any = book["devices"]

    def wide(name: str) -> float:
        width: float = sheet.column_dimensions[get_column_letter(column(sheet, name))].width
        return width

    assert [wide(name) for name in ("label", "note", "id", "mic_line_inst")] == [50, 40, 10, 16]


def _words_are_offered_where_only_some_will_do(book: Workbook) -> None:
    sheet: Any = book["devices"]
    rules = {str(rule.sqref): rule for rule in sheet.data_validations.dataValidation}
    letter = get_column_letter(column(sheet, "role"))
    (role,) = [rule for cells, rule in rules.items() if cells.startswith(f"{letter}2:")]
    assert str(role.sqref) == f"{letter}2:{letter}5"
    assert role.allowBlank
    assert role.error.startswith("role: host, ")
    assert role.error.endswith(", or blank")


def _a_note_has_room_for_what_a_column_means(data: bytes) -> None:
    with zipfile.ZipFile(io.BytesIO(data)) as parts:
        drawn = [
            parts.read(name).decode() for name in parts.namelist() if "vml" in name.lower()
        ]
    assert drawn
    assert all("width:320px;height:110px" in text for text in drawn)


def test_how_a_workbook_looks(tmp_path: Path) -> None:
    """It is made once, since that takes half a second."""
    data = made(tmp_path)
    book = load_workbook(io.BytesIO(data))
    for look in (
        _the_catalogue_has_a_row_for_each_key,
        _the_first_sheet_explains,
        _cells_are_numbers_texts_and_days,
        _what_is_to_be_filled_in_is_yellow_down_to_the_last_row,
        _columns_are_as_wide_as_what_is_in_them,
        _words_are_offered_where_only_some_will_do,
    ):
        look(book)
    _a_note_has_room_for_what_a_column_means(data)


def test_a_folder_without_files_makes_an_empty_workbook(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "SPARE_ROWS", 1)
    book = load_workbook(io.BytesIO(module.workbook(tmp_path)))
    sheet: Any = book["catalog"]
    assert [sheet[f"B{row}"].value for row in (2, 3, 4)] == [None] * 3
    devices: Any = book["devices"]
    assert devices.cell(2, 1).value is None
