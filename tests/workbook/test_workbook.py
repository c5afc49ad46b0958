"""A catalogue in one workbook: what is written to fill in, and what is read back."""

from __future__ import annotations

import datetime
import zipfile
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from openpyxl import load_workbook
from openpyxl.utils import get_column_letter

from rigopt.catalogue import shipped
from rigopt.catalogue.columns import COLUMNS
from rigopt.catalogue.read import read_folder
from rigopt.catalogue.rows import (
    CableRow,
    DeviceRow,
    ExtraRow,
    FormatRow,
    OfferRow,
    RowModel,
    SellerRow,
    SourceRow,
)
from rigopt.catalogue.types import InOut, Offer, Seller, SourceLine
from rigopt.cli import main as cli
from rigopt.files.csv import MOST_COLUMNS, MOST_LINES
from rigopt.files.sheets import as_text
from tests.workbook.books import faults, filled_in, heads, made, read

MODELS: dict[str, type[RowModel]] = {
    "devices": DeviceRow,
    "cables": CableRow,
    "formats": FormatRow,
    "offers": OfferRow,
    "sellers": SellerRow,
    "extras": ExtraRow,
    "sources": SourceRow,
}


def test_every_column_of_every_table_has_a_meaning() -> None:
    assert {name: [c.name for c in columns] for name, columns in COLUMNS.items()} == {
        name: list(model.model_fields) for name, model in MODELS.items()
    }
    assert all(column.meaning for columns in COLUMNS.values() for column in columns)


@pytest.mark.parametrize("name", list(MODELS))
def test_the_words_offered_are_those_that_are_read(name: str) -> None:
    """Each word is taken; where no others may be right, a strange one is refused."""
    for column in COLUMNS[name]:
        for word in column.choices:
            assert not refused(name, column.name, word), (column.name, word)
        if column.choices and not column.others:
            assert refused(name, column.name, "strange")


def refused(name: str, column: str, word: str) -> bool:
    from pydantic import ValidationError

    try:
        MODELS[name].model_validate({column: word}, context={"currency": "GBP"})
    except ValidationError as error:
        return any(
            fault["loc"] == (column,) and fault["type"] != "missing" for fault in error.errors()
        )
    return False


@pytest.mark.parametrize("template", shipped.template_names())
def test_a_template_is_the_same_as_a_workbook_and_as_a_folder(
    tmp_path: Path, template: str, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "my-gear.xlsx"
    assert cli.run(["new", str(file), "--template", template]) == 0
    assert f"rigopt plan --catalog {file} --mic 16" in capsys.readouterr().out
    folder = read_folder(shipped.template(template))
    assert read(file) == replace(folder, name="my-gear.xlsx")


def test_heads_are_explained_and_words_are_offered(tmp_path: Path) -> None:
    file = tmp_path / "my-gear.xlsx"
    assert cli.run(["new", str(file)]) == 0
    book = load_workbook(file)
    assert book.sheetnames == ["read me", "catalog", *COLUMNS]
    assert any("yellow column, price" in str(cell.value) for cell in book["read me"]["A"])
    for name, columns in COLUMNS.items():
        sheet = book[name]
        assert [cell.value for cell in sheet[1]] == [column.name for column in columns]
        assert [getattr(cell.comment, "text", "") for cell in sheet[1]] == [
            c.meaning for c in columns
        ]
        offered = {
            str(rule.sqref).split(":")[0]: rule
            for rule in sheet.data_validations.dataValidation
        }
        for place, column in enumerate(columns, start=1):
            rule = offered.get(f"{get_column_letter(place)}2")
            assert (rule is not None) == bool(column.choices)
            if rule is not None:
                assert rule.formula1 == f'"{",".join(column.choices)}"'
                assert rule.showErrorMessage != column.others
    price = heads(book, "devices")["price"]
    assert book["devices"].cell(1, price).fill.fgColor.rgb == "FFFFF2B3"
    assert book["devices"].cell(9, price).fill.fgColor.rgb == "FFFFF2B3"
    assert book["devices"].cell(1, price + 1).fill.fgColor.rgb != "FFFFF2B3"


def test_what_is_filled_in_is_read(tmp_path: Path) -> None:
    shop = read(filled_in(tmp_path / "my-gear.xlsx"))
    box = shop.devices["box"]
    assert (shop.currency, box.price, box.label) == ("EUR", 123450, "Gerät – groß; 8 in")
    assert (box.phantom_bank, box.optical_1x, box.watts) == (
        (4, 2, 2),
        InOut(2, 1),
        Decimal("2.5"),
    )
    assert (box.rates_hz, box.max_in_2x) == ((44100, 48000, 88200), None)
    assert (shop.cables["opt-1.5m"].length_mm, shop.cables["opt-1.5m"].price) == (1500, 699)
    assert (shop.formats["many"].channels, shop.formats["many"].max_mm) == ((64, 0, 0), 7500)
    assert shop.sellers == {"Corner": Seller("Corner", "EUR", 490, 50000, Decimal(20))}
    day = datetime.date(2025, 3, 2)
    assert shop.offers == (Offer("box", "Corner", 110000, 1, 2, "b-stock", day),)
    assert (shop.extras["stand"].price, shop.extras["stand"].pack) == (2025, 2)
    assert shop.sources == (SourceLine("1/2", phantom="on"), SourceLine("=1+1", "line"))


def test_a_workbook_answers_as_a_folder_does(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = str(
        made(
            tmp_path / "shop.xlsx",
            {"devices": [["id", "role", "price", "mic"], ["box", "host", 99, 4]]},
        )
    )
    assert cli.run(["plan", "4 mics", "--catalog", file]) == 0
    assert "99.00 GBP" in capsys.readouterr().out
    assert cli.run(["plan", "4 mics", "--catalog", file, "--json", file]) == 2
    assert "would overwrite an input file" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("sheets", "wanted"),
    [
        (
            {"devices": [["id", "role", "price"], [], ["box", "hst", -1]]},
            [
                "shop.xlsx, sheet devices, row 3, role: must be host, expander, either, "
                "clock, preamp, di or headphones (found 'hst'); did you mean 'host'?",
                "shop.xlsx, sheet devices, row 3, price: must not be negative (found '-1')",
            ],
        ),
        (
            {"cables": [["id", "kind", "lenght_m"], ["box", "optical", 1]]},
            [
                "shop.xlsx, sheet cables, row 1, lenght_m: there is no such column; one of "
                "your own begins with # or note (found "
                "'lenght_m'); did you mean 'length_m'?",
                "shop.xlsx, sheet cables, row 2, id: is taken already, by row 2 of sheet "
                "devices (found 'box')",
            ],
        ),
        (
            {"devices": [], "cables": [], "cabels": [["id"]]},
            [
                "shop.xlsx: there is no sheet devices; a catalogue needs catalog, devices, "
                "cables",
                "shop.xlsx: there is no sheet cables; a catalogue needs catalog, devices, "
                "cables; did you mean 'cabels'?",
            ],
        ),
        (
            {"extras": [[], [], ["id", "per"], ["x", "mics"]]},
            [
                "shop.xlsx, sheet extras, row 4, per: must be mic, source, unit, rack_unit, "
                "mains or rig (found 'mics'); did you mean 'mic'?"
            ],
        ),
        (
            {"offer": [["item", "seller"]]},
            [
                "shop.xlsx, sheet offer: a sheet of this name is not read; did you mean "
                "'offers'?"
            ],
        ),
        (
            {"catalog": [["key", "value"], ["currenzy", "GBP"]]},
            [
                "shop.xlsx, sheet catalog, currency: this is missing; give an ISO 4217 code",
                "shop.xlsx, sheet catalog, currenzy: there is no such key (found 'currenzy'); "
                "did you mean 'currency'?",
            ],
        ),
        (
            {"catalog": [["key"]]},
            ["shop.xlsx, sheet catalog, value: this column is missing"],
        ),
        (
            {"sources": [["name"], ["A"], ["A"]]},
            ["shop.xlsx, sheet sources, row 3, name: is the name of row 2 already (found 'A')"],
        ),
        (
            {"extras": [["id", "per"], *[["x", "mic"]] * MOST_LINES]},
            [
                f"shop.xlsx, sheet extras: has {MOST_LINES + 1} rows; {MOST_LINES} are the "
                "most that is read"
            ],
        ),
        (
            {"extras": [["x"] * (MOST_COLUMNS + 1)]},
            [
                f"shop.xlsx, sheet extras: has a row of {MOST_COLUMNS + 1} cells; "
                f"{MOST_COLUMNS} are the most that is read"
            ],
        ),
    ],
)
def test_faults_name_sheet_row_and_column(
    tmp_path: Path, sheets: dict[str, list[list[object]]], wanted: list[str]
) -> None:
    assert faults(made(tmp_path / "shop.xlsx", sheets)) == wanted


def test_names_of_sheets_may_be_in_capitals_and_other_sheets_are_the_users(
    tmp_path: Path,
) -> None:
    sheets = {"devices": [], " Devices ": [["ID", "Role"], ["box", "HOST"]]}
    assert list(read(made(tmp_path / "shop.xlsx", sheets)).devices) == ["box"]


def test_what_is_no_workbook(tmp_path: Path) -> None:
    for name, data in (
        ("text.xlsx", b"id,role\n"),
        ("bad.ods", b"PK\x03\x04"),
        ("no.xlsx", b""),
    ):
        (tmp_path / name).write_bytes(data)
        assert faults(tmp_path / name) == [
            f"{name}: cannot be read as a workbook; save it as .xlsx or .ods, without a "
            "password"
        ]
    with zipfile.ZipFile(tmp_path / "zip.xlsx", "w") as parts:
        parts.writestr("readme.txt", "nothing")
    assert "cannot be read as a workbook" in faults(tmp_path / "zip.xlsx")[0]
    assert faults(tmp_path / "gone.xlsx") == ["gone.xlsx: there is no such file"]
    (tmp_path / "folder.xlsx").mkdir()
    assert faults(tmp_path / "folder.xlsx") == ["folder.xlsx: is a folder, not a file"]


def test_a_workbook_that_unpacks_to_too_much(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("rigopt.files.sheets.MOST_UNPACKED", 1_000_000)
    with zipfile.ZipFile(tmp_path / "big.xlsx", "w", zipfile.ZIP_DEFLATED) as parts:
        parts.writestr("xl/workbook.xml", b" " * 1_000_001)
    assert faults(tmp_path / "big.xlsx") == ["big.xlsx: is larger than 1 MB unpacked"]
    with zipfile.ZipFile(tmp_path / "big.xlsx", "w", zipfile.ZIP_DEFLATED) as parts:
        parts.writestr("xl/workbook.xml", b" " * 1_000_000)
    assert "cannot be read as a workbook" in faults(tmp_path / "big.xlsx")[0]


@pytest.mark.parametrize(
    ("cell", "text"),
    [
        (8.0, "8"),
        (44.1, "44.1"),
        (0.1 + 0.2, "0.3"),
        (1234567.89, "1234567.89"),
        (True, "yes"),
        (False, "no"),
        (datetime.date(2025, 3, 2), "2025-03-02"),
        (datetime.datetime(2025, 3, 2), "2025-03-02"),
        (datetime.datetime(2025, 3, 2, 12), "2025-03-02 12:00:00"),
        (datetime.time(12), "12:00:00"),
        ("", ""),
        ("4;2;2", "4;2;2"),
    ],
)
def test_a_cell_as_it_would_be_typed(cell: object, text: str) -> None:
    assert as_text(cell) == text


def test_nothing_is_overwritten(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "my-gear.xlsx"
    file.write_bytes(b"mine")
    assert cli.run(["new", str(file)]) == 2
    assert "it is there already" in capsys.readouterr().err
    assert file.read_bytes() == b"mine"
    assert cli.run(["new", str(tmp_path / "my-gear.ods")]) == 2
    assert "begins as .xlsx" in capsys.readouterr().err
    assert cli.run(["new", str(tmp_path / "no" / "my-gear.xlsx")]) == 2


def test_a_fault_in_the_head_hides_none_of_what_is_said_there(tmp_path: Path) -> None:
    head = [["key", "value", "colour"], ["currency", "XYZW", "red"], ["title", "Mine", ""]]
    told = faults(made(tmp_path / "shop.xlsx", {"catalog": head}))
    assert any("colour" in fault for fault in told)
    assert any("currency" in fault and "XYZW" in fault for fault in told)
