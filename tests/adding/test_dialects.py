"""A row is written as the file's other rows are, and every byte that was there stays."""

from __future__ import annotations

import codecs
from collections.abc import Mapping
from pathlib import Path

import pytest

from rigopt.catalogue.interview import COLUMNS
from rigopt.catalogue.questions import DECIMALS
from rigopt.catalogue.read import read_folder
from rigopt.files.dialect import Dialect, appended
from rigopt.files.values import BadValueError
from tests.adding.boxes import add, lines, shop

CELLS = {
    "id": "new",
    "label": 'Say "A"; B, C',
    "role": "host",
    "price": "1329.50",
    "watts": "2.5",
    "rates_khz": "44.1;48",
}


def put(text: str, cells: Mapping[str, str] = CELLS, encoding: str = "utf-8") -> str:
    """The text of a file with one more row."""
    data = appended(text.encode(encoding), cells, COLUMNS, DECIMALS).data
    return data.decode(encoding)


HEAD = "id,label,role,price,watts,rates_khz"
ROW = "a,A,host,10.5,1,48"
NEW = 'new,"Say ""A""; B, C",host,1329.50,2.5,44.1;48'


def semicolons(line: str) -> str:
    return line.replace(",", ";")


GERMAN = 'new;"Say ""A""; B, C";host;1329,50;2,5;"44,1;48"'


@pytest.mark.parametrize(
    ("before", "wanted"),
    [
        (f"{HEAD}\n{ROW}\n", f"{HEAD}\n{ROW}\n{NEW}\n"),
        (f"{HEAD}\n{ROW}", f"{HEAD}\n{ROW}\n{NEW}\n"),
        (f"{HEAD}\r\n{ROW}\r\n", f"{HEAD}\r\n{ROW}\r\n{NEW}\r\n"),
        (f"{HEAD}\r\n{ROW}", f"{HEAD}\r\n{ROW}\r\n{NEW}\r\n"),
        (f"{HEAD}\r{ROW}\r", f"{HEAD}\r{ROW}\r{NEW}\r"),
        (f"{HEAD}", f"{HEAD}\n{NEW}\n"),
        (f'{HEAD}\na,"A\rA",host\n', f'{HEAD}\na,"A\rA",host\n{NEW}\n'),
        (f"\n\n{HEAD}\n{ROW}\n,,,,,\n\n", f"\n\n{HEAD}\n{ROW}\n,,,,,\n\n{NEW}\n"),
        # Semicolons: the mark is the one of the other numbers, or else a comma.
        (
            f"{semicolons(HEAD)}\na;A;host;10,5;1;48\n",
            f"{semicolons(HEAD)}\na;A;host;10,5;1;48\n{GERMAN}\n",
        ),
        (
            f"{semicolons(HEAD)}\na;A;host;10;1;48\n",
            f"{semicolons(HEAD)}\na;A;host;10;1;48\n{GERMAN}\n",
        ),
        (
            f"{semicolons(HEAD)}\na;A;host;10.5;1;48\n",
            f"{semicolons(HEAD)}\na;A;host;10.5;1;48\n"
            'new;"Say ""A""; B, C";host;1329.50;2.5;"44.1;48"\n',
        ),
        (
            'id,label,role,price,watts,rates_khz\na,A,host,"10,5",1,48\n',
            'id,label,role,price,watts,rates_khz\na,A,host,"10,5",1,48\n'
            'new,"Say ""A""; B, C",host,"1329,50","2,5","44,1;48"\n',
        ),
        # Tabs.
        (
            HEAD.replace(",", "\t") + "\n" + ROW.replace(",", "\t") + "\n",
            HEAD.replace(",", "\t") + "\n" + ROW.replace(",", "\t") + "\n"
            'new\t"Say ""A""; B, C"\thost\t1329.50\t2.5\t44.1;48\n',
        ),
        # Everything quoted, or text alone.
        (
            '"id","label","role","price","watts","rates_khz"\n"a","A","host","10.5","1","48"\n',
            '"id","label","role","price","watts","rates_khz"\n"a","A","host","10.5","1","48"\n'
            '"new","Say ""A""; B, C","host","1329.50","2.5","44.1;48"\n',
        ),
        (
            '"id","label","role","price","watts","rates_khz"\n"a","A","host",10.5,1,48\n',
            '"id","label","role","price","watts","rates_khz"\n"a","A","host",10.5,1,48\n'
            '"new","Say ""A""; B, C","host",1329.50,2.5,"44.1;48"\n',
        ),
        # Columns in another order, under other names, blank and missing ones.
        (
            "Price,Rates kHz,,ID,Role\n10.5,48,,a,host\n",
            "Price,Rates kHz,,ID,Role,label,watts\n10.5,48,,a,host\n"
            '1329.50,44.1;48,,new,host,"Say ""A""; B, C",2.5\n',
        ),
        (
            '"id","role"\n"a","host"\n',
            '"id","role","label","price","rates_khz","watts"\n"a","host"\n'
            '"new","host","Say ""A""; B, C","1329.50","44.1;48","2.5"\n',
        ),
        (
            'id, "rates\nkhz", role\na, 48, host\n',
            'id, "rates\nkhz", role,label,price,watts\na, 48, host\n'
            'new,44.1;48,host,"Say ""A""; B, C",1329.50,2.5\n',
        ),
        (
            'id,"rates\nkhz",role\na,48,host\n',
            'id,"rates\nkhz",role,label,price,watts\na,48,host\n'
            'new,44.1;48,host,"Say ""A""; B, C",1329.50,2.5\n',
        ),
    ],
)
def test_a_row_in_the_dialect_of_the_file(before: str, wanted: str) -> None:
    assert put(before) == wanted


@pytest.mark.parametrize(
    ("mark", "codec"),
    [
        (codecs.BOM_UTF8, "utf-8"),
        (codecs.BOM_UTF16_LE, "utf-16-le"),
        (codecs.BOM_UTF16_BE, "utf-16-be"),
        (codecs.BOM_UTF32_LE, "utf-32-le"),
        (codecs.BOM_UTF32_BE, "utf-32-be"),
        (b"", "utf-8"),
        (b"", "cp1252"),
    ],
)
def test_the_encoding_stays(
    mark: bytes, codec: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = mark + "id;label;role;price\r\na;Gerät für Chöre;host;10,5\r\n".encode(codec)
    folder = shop(tmp_path / "shop", before)
    said = {
        "id": "neu-1",
        "label": "Größe Ä",
        "price": "99,90",
        "connection": "usb",
        "mics": "2",
    }
    answers = lines(folder, {**said, "mic_line": "2", "phantom_bank": "2"})
    assert add(monkeypatch, folder, "\n".join(answers)) == 0
    after = (folder / "devices.csv").read_bytes()
    assert after.startswith(mark)
    assert after[len(mark) :].decode(codec) == (
        "id;label;role;price;mic_line;phantom_bank\r\n"
        "a;Gerät für Chöre;host;10,5\r\nneu-1;Größe Ä;host;99,90;2;2\r\n"
    )
    devices = read_folder(folder).devices
    assert devices["a"].label == "Gerät für Chöre"
    assert devices["neu-1"].price == 9990


def test_a_head_alone_in_quotation_marks_says_nothing_of_numbers() -> None:
    added = put('"id","price"\n', {"id": "new", "price": "5.5"})
    assert added == '"id","price"\n"new",5.5\n'


@pytest.mark.parametrize(
    ("quotes", "row"),
    [
        ("needed", 'a,,1.5,"b,c","d""e","f\ng",1.5 m\n'),
        ("text", '"a",,1.5,"b,c","d""e","f\ng","1.5 m"\n'),
        ("all", '"a",,"1.5","b,c","d""e","f\ng","1.5 m"\n'),
    ],
)
def test_cells_are_quoted_as_the_file_has_them(quotes: str, row: str) -> None:
    cells = ["a", "", "1.5", "b,c", 'd"e', "f\ng", "1.5 m"]
    assert Dialect(",", ".", quotes, "\n").row(cells) == row
    assert Dialect(";", ",", "needed", "").row(["b,c", "b;c", "d\re"]) == 'b,c;"b;c";"d\re"'


def test_bytes_that_are_no_text_hold_no_table() -> None:
    with pytest.raises(BadValueError, match="has no first row that names its columns"):
        appended(b"\x81\x8d", {"id": "new"}, COLUMNS, DECIMALS)


def test_a_point_in_a_text_is_no_decimal_mark() -> None:
    before = f"{semicolons(HEAD)}\na;A;host;10,5;1;48\n"
    added = put(before, {**CELLS, "label": "Mk. 2"})
    assert added == f'{before}new;Mk. 2;host;1329,50;2,5;"44,1;48"\n'


def test_a_letter_that_the_encoding_does_not_have() -> None:
    with pytest.raises(BadValueError, match="cp1252, which has no 'Ω'; save it as UTF-8"):
        put(
            "id,label,role\na,Gerät,host\n", {"id": "b", "label": "Ω", "role": "host"}, "cp1252"
        )


def test_three_decimals_are_not_taken_for_thousands(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = shop(tmp_path / "shop", "id;role;price;watts\na;host;10,5;\n")
    (folder / "catalog.toml").write_text('currency = "KWD"\n', "utf-8")
    said = {"id": "b", "connection": "usb", "price": "1.250", "watts": "1.125"}
    assert add(monkeypatch, folder, "\n".join(lines(folder, said))) == 0
    device = read_folder(folder).devices["b"]
    assert (device.price, str(device.watts)) == (1250, "1.1250")


@pytest.mark.parametrize(
    "text", ["", "\n", "id,role\na,host\n" + "\n" * 9_998 + "b,host\n", '"', ",,,\n"]
)
def test_a_file_that_no_row_can_be_added_to(text: str) -> None:
    with pytest.raises(BadValueError):
        put(text, {"id": "new", "role": "host"})
