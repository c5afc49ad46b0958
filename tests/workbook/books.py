"""A workbook that is filled in on every sheet, with what an office program could mistake."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook, load_workbook

from rigopt.catalogue import shipped
from rigopt.catalogue.read import read_folder
from rigopt.catalogue.types import Catalogue
from rigopt.errors import InputError
from rigopt.output.data.workbook import workbook

ROWS: Mapping[str, Sequence[Mapping[str, Any]]] = {
    "devices": [
        {
            "id": "box",
            "label": "Gerät – groß; 8 in",
            "role": "host",
            "price": 1234.5,
            "mic_line": 8,
            "phantom_bank": "4;2;2",
            "optical_in": 2,
            "optical_out": 1,
            "optical_1x": "2/1",
            "optical_4x": "1/0",
            "clock_in": "optical 1",
            "rates_khz": "44.1;48;88.2",
            "watts": 2.5,
            "max_in_2x": "all",
        }
    ],
    "cables": [{"id": "opt-1.5m", "kind": "optical", "length_m": 1.5, "price": 6.99}],
    "formats": [{"id": "many", "cable": "thick", "channels_1x": 64, "max_m": 7.5}],
    "sellers": [{"seller": "Corner", "delivery": 4.9, "free_over": 500, "tax_percent": "20%"}],
    "offers": [
        {
            "item": "box",
            "seller": "Corner",
            "price": 1100,
            "stock": 2,
            "condition": "b-stock",
            "as_of": datetime.date(2025, 3, 2),
        }
    ],
    "extras": [{"id": "stand", "price": 20.25, "per": "mic", "pack": 2}],
    "sources": [{"name": "1/2", "phantom": "on"}, {"name": "=1+1", "kind": "line"}],
}
"""Rows that are added to those of a template, by sheet."""


def filled_in(path: Path, template: str = "full-rack") -> Path:
    """A workbook of a template with a price for each row, and `ROWS`."""
    path.write_bytes(workbook(shipped.template(template)))
    book = load_workbook(path)
    book["catalog"]["B3"] = "EUR"
    for sheet in ("devices", "cables"):
        add_prices(book, sheet)
    for sheet, rows in ROWS.items():
        for row in rows:
            add(book, sheet, row)
    book.save(path)
    return path


def heads(book: Workbook, sheet: str) -> dict[str, int]:
    """The place of each column by its head."""
    return {str(cell.value): place for place, cell in enumerate(book[sheet][1], start=1)}


def last_row(book: Workbook, sheet: str) -> int:
    return max(cell.row for cell in book[sheet]["A"] if cell.value is not None)


def add(book: Workbook, sheet: str, row: Mapping[str, Any]) -> None:
    number, places = last_row(book, sheet) + 1, heads(book, sheet)
    for column, value in row.items():
        cell = book[sheet].cell(number, places[column])
        cell.value = value
        if isinstance(value, str):
            cell.data_type = "s"  # typed into a cell that is text: no formula


def add_prices(book: Workbook, sheet: str) -> None:
    price = heads(book, sheet)["price"]
    for number in range(2, last_row(book, sheet) + 1):
        book[sheet].cell(number, price).value = 100 + number * 1.25


def made(path: Path, sheets: Mapping[str, Sequence[Sequence[Any]]]) -> Path:
    """A workbook of a small sound catalogue, `sheets` over it; an empty one is left out."""
    sound: dict[str, Sequence[Sequence[Any]]] = {
        "catalog": [["key", "value"], ["currency", "GBP"]],
        "devices": [["id", "role", "price"], ["box", "host", 100]],
        "cables": [["id", "kind", "length_m", "price"], ["opt", "optical", 1, 5]],
    }
    book = Workbook()
    book.remove(book.worksheets[0])
    book.create_sheet("my own").append(["anything", 1])
    for name, rows in {**sound, **sheets}.items():
        if rows:
            sheet = book.create_sheet(name)
            for row in rows:
                sheet.append(row)
    book.save(path)
    return path


def faults(path: Path) -> list[str]:
    with pytest.raises(InputError) as raised:
        read_folder(path)
    return [str(fault).replace(f"{path.parent}/", "") for fault in raised.value.faults]


def read(path: Path) -> Catalogue:
    return read_folder(path)
