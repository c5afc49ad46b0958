"""Lists are written as the user's own tables are: the same spreadsheet opens them right."""

from __future__ import annotations

import codecs
import csv
import io
from pathlib import Path

import pytest

from rigopt.catalogue.read import style
from rigopt.cli.main import run
from rigopt.files.style import PLAIN, Style
from rigopt.files.values import FORMULA
from rigopt.output.data.csv import csv_text, harmless, styled
from tests.reading.folders import write

HEAD = "id;role;price;mic;label\n"
ROW = "box;host;99,50;2;Gerät\n"
BOM = codecs.BOM_UTF8


@pytest.mark.parametrize(
    ("devices", "wanted"),
    [
        ((HEAD + ROW).encode(), Style(";", ",")),
        (BOM + (HEAD + ROW).encode(), Style(";", ",", marked=True)),
        ((HEAD + ROW).encode("cp1252"), Style(";", ",", marked=True)),
        ((HEAD + ROW).encode("utf-16"), Style(";", ",", marked=True)),
        ((HEAD + ROW).replace("ä", "ae").encode(), Style(";", ",", marked=True)),
        ((HEAD + "box;host;99.50;2;Gerät\n").encode(), Style(";", ".")),
        ((HEAD + "box;host;99;2;Gerät\n").encode(), Style(";", ",")),
        ((HEAD + "box;host;99.5;2;Gerät 1,25\n").encode(), Style(";", ".")),
        (b"\x81\x8d", PLAIN),
        ((HEAD + ROW).replace(",", ".").replace(";", ",").encode(), PLAIN),
        ((HEAD + ROW).replace(";", "\t").encode(), Style("\t", ",")),
    ],
)
def test_the_style_is_that_of_the_devices(
    tmp_path: Path, devices: bytes, wanted: Style
) -> None:
    assert style(write(tmp_path, {"devices.csv": devices})) == wanted


def test_a_workbook_and_nothing_have_the_plain_one(tmp_path: Path) -> None:
    assert style(tmp_path / "gear.xlsx") == PLAIN
    assert style(tmp_path) == PLAIN


LIST = csv_text(["item", "price"], [["a; b, c", "1234.50"], ["v1.2", "3.00"], ["1.2.3", "7"]])


def test_numbers_get_the_mark_and_texts_stay() -> None:
    assert styled(LIST, Style(";", ",", marked=True)) == (
        '\ufeffitem;price\r\n"a; b, c";1234,50\r\nv1.2;3,00\r\n1.2.3;7\r\n'
    )
    assert styled(LIST, PLAIN) == LIST


def test_a_list_beside_german_tables(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shop = write(tmp_path, {"devices.csv": BOM + (HEAD + ROW).encode()})
    asked = ["plan", "--catalog", str(shop), "--mic", "2", "--shopping-list"]
    assert run([*asked, str(tmp_path / "list.csv")]) == 0
    data = (tmp_path / "list.csv").read_bytes()
    assert data.startswith(BOM + b"item;label;")
    assert "box;Gerät;device;;1;99,50;99,50;GBP;\r\n".encode() in data
    capsys.readouterr()
    assert run([*asked, "-"]) == 0
    assert capsys.readouterr().out.startswith("item;label;")


def test_an_input_list_of_any_style_is_read_back(tmp_path: Path) -> None:
    shop = write(tmp_path, {"devices.csv": BOM + (HEAD + ROW).encode()})
    names = ("Voice", "x;=1+1")
    text = "name\n" + "".join(f'"{name}"\n' for name in names)
    (tmp_path / "names.csv").write_text(text)
    asked = ["plan", "--catalog", str(shop), "--input-list", str(tmp_path / "list.csv")]
    assert run([*asked, "--sources", str(tmp_path / "names.csv")]) == 0
    first = (tmp_path / "list.csv").read_bytes()
    assert b"x;'=1+1" in first
    again = ["plan", "--catalog", str(shop), "--input-list", str(tmp_path / "again.csv")]
    assert run([*again, "--sources", str(tmp_path / "list.csv")]) == 0
    assert b"x;'=1+1" in (tmp_path / "again.csv").read_bytes()


@pytest.mark.parametrize("cell", ["x;=1+1", "x,=1+1", 'x; "=1+1', "x;;@a", "=1;=2", "a,-b"])
@pytest.mark.parametrize("written", [PLAIN, Style(";", ",")])
@pytest.mark.parametrize("cut", [",", ";"])
def test_no_cell_is_a_formula_wherever_a_spreadsheet_cuts(
    cell: str, written: Style, cut: str
) -> None:
    text = styled(csv_text(["a", "b"], [[cell, "1.00"]]), written)
    for row in csv.reader(io.StringIO(text, newline=""), delimiter=cut):
        assert not any(seen.strip(' "').startswith(FORMULA) for seen in row), row


def test_ordinary_marks_are_left_alone() -> None:
    for cell in ("Voice, lead", "a; b", "opt-1m, 2", "a = b"):
        assert harmless(cell) == cell
