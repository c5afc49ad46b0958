"""What stands above, beside or instead of the head of a table is one fault, or none."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

import pytest

from rigopt.catalogue.read import read_folder
from rigopt.files.csv import read_grid
from rigopt.files.faults import Gathered
from tests.reading.folders import catalogue, faults_of

HEAD = "id,role,price"
BOX = "box,host,100"


@pytest.mark.parametrize(
    "above", ["sep=,", "sep=;", "My gear", "My gear,,", "Preise;Stand 2025"]
)
@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_a_line_above_the_head_is_one_fault(tmp_path: Path, above: str, separator: str) -> None:
    table = "\n".join([HEAD, *[BOX] * 20]).replace(",", separator)
    assert faults_of(tmp_path, {"devices.csv": f"{above}\n\n{table}\n"}) == [
        "devices.csv, row 1: is not the head of the table: the columns are named in row 3; "
        "delete what stands above that"
    ]


def test_so_it_is_in_a_sheet() -> None:
    faults = Gathered("shop.xlsx, sheet devices")
    grid = [[], ["My gear", ""], ["id", "role"], ["box", "host"]]
    assert read_grid(grid, ["id", "role", "price"], ["id"], faults) == []
    (told,) = map(str, faults.faults)
    assert told.startswith("shop.xlsx, sheet devices, row 2: is not the head of the table")
    assert "named in row 3" in told


def test_a_table_without_a_head_is_no_late_one(tmp_path: Path) -> None:
    told = faults_of(tmp_path, {"devices.csv": f"{BOX}\nid,host,5\n"})
    assert "devices.csv, id: this column is missing" in told


@pytest.mark.parametrize(
    "head", ["#", "# bought", "#1", "note", "Note to self", "notes", "NOTE"]
)
def test_columns_of_ones_own_are_skipped(tmp_path: Path, head: str) -> None:
    text = f"id,kind,length_m,price,{head},# more\nopt,optical,1,5,=what I think,\n"
    assert catalogue(tmp_path, {"cables.csv": text}).cables["opt"].price == 500


def test_several_of_one_name_are_skipped(tmp_path: Path) -> None:
    text = f"{HEAD},#,#\n{BOX},a,b\n"
    assert "box" in catalogue(tmp_path, {"devices.csv": text}).devices


def test_the_column_note_of_a_device_is_still_read(tmp_path: Path) -> None:
    text = f"{HEAD},note\n{BOX},by the door\n"
    assert catalogue(tmp_path, {"devices.csv": text}).devices["box"].note == "by the door"


def test_an_unknown_column_says_how_to_have_one(tmp_path: Path) -> None:
    assert faults_of(tmp_path, {"devices.csv": f"{HEAD},shelf\n{BOX},3\n"}) == [
        "devices.csv, row 1, shelf: there is no such column; one of your own begins with # or "
        "note (found 'shelf')"
    ]


def test_a_workbook_under_the_name_of_a_table_is_named(tmp_path: Path) -> None:
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w") as book:
        book.writestr("xl/workbook.xml", "<workbook/>")
    for content in (data.getvalue(), b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(99)):
        (told,) = faults_of(tmp_path, {"devices.csv": content})
        assert told.startswith(
            "devices.csv: is a workbook under the name of a text file; export"
        )


def test_a_million_blank_rows_above_are_not_looked_at(tmp_path: Path) -> None:
    (tmp_path / "catalog.toml").write_text('currency = "GBP"\n')
    (tmp_path / "cables.csv").write_text("id,kind,length_m,price\n")
    (tmp_path / "devices.csv").write_text("\n" * 500 + f"{HEAD}\n{BOX}\n")
    assert "box" in read_folder(tmp_path).devices
