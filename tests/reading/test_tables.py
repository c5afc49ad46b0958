"""CSV as spreadsheets write it: read as meant, or a fault that names the place."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest

from rigopt.catalogue.types import Cable
from rigopt.files.csv import separator_of
from tests.reading.folders import catalogue, device, faults_of


@pytest.mark.parametrize(
    "text",
    [
        "id,role,price\nbox,host,12.50\n",
        "\ufeffid,role,price\nbox,host,12.50\n",
        "id;role;price\nbox;host;12,50\n",
        "id\trole\tprice\nbox\thost\t12,50\n",
        'id,role,price\nbox,host,"12,50"\n',
        '"id","role","price"\n"box","host","12.50"\n',
        "ID,Role,PRICE\nbox,HOST,12.50\n",
        "id,role,price\nbox,host,£12.50\n",
        "id;role;price\nbox;host;12,50 £\n",
        " id , role , price \n box , host , 12.50 \n",
        'id, role, price\nbox, "host", "12.50"\n',
        "id,role,price\nbox,host,12.50\n\n,,\n , , \n",
        "id,role,price\nbox,host,12.50\n" + ",,\n" * 50_000,
        "\n\nid,role,price\n\nbox,host,12.50",
        ",id,role,price\n,box,host,12.50\n",
        "id,role,price,,\nbox,host,12.50,,\n",
        "id,role,price\r\nbox,host,12.50\r\n",
        "price,id,role\n12.50,box,host\n",
        "id,role,price,note\nbox,host,12.50\n",
        'id,role,price\n"bo\u200bx","ho\nst",12.50\n'.replace("ho\nst", "\nhost\n"),
    ],
)
def test_a_table_is_read_as_meant(tmp_path: Path, text: str) -> None:
    box = catalogue(tmp_path, {"devices.csv": text}).devices["box"]
    assert (box.id, box.role, box.price) == ("box", "host", 1250)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_a_table_in_any_usual_encoding_is_read(tmp_path: Path, encoding: str) -> None:
    text = "id;label;role;price\nbox;Gerät – groß;host;12,50 £\n"
    box = catalogue(tmp_path, {"devices.csv": text.encode(encoding)}).devices["box"]
    assert (box.label, box.price) == ("Gerät – groß", 1250)


def test_the_head_tells_the_separator() -> None:
    assert separator_of("id;role\na,b,c,d;host\n", ["id", "role"]) == ";"
    assert separator_of("\n,x\ty,z\n", ["id"]) == ","


def test_headers_may_be_spelled_with_spaces_and_hyphens(tmp_path: Path) -> None:
    text = "id,role,price,Mic Line,line-out\nbox,host,1,8,2\n"
    box = catalogue(tmp_path, {"devices.csv": text}).devices["box"]
    assert (box.mic_line, box.line_out) == (8, 2)


def test_quotation_marks_protect_separators_and_themselves(tmp_path: Path) -> None:
    text = 'id,role,price,label,note\nbox,host,1,"a, ""b"",\nc",5" and 7" wide\n'
    box = catalogue(tmp_path, {"devices.csv": text}).devices["box"]
    assert (box.label, box.note) == ('a, "b", c', '5" and 7" wide')


def test_words_for_no_value_are_text_like_any_other(tmp_path: Path) -> None:
    text = "id,role,price,label\nNA,host,1,null\n"
    assert catalogue(tmp_path, {"devices.csv": text}).devices["NA"].label == "null"


def test_a_label_that_is_blank_is_the_id(tmp_path: Path) -> None:
    found = catalogue(tmp_path, {"extras.csv": "id,per\nlead,mic\n"})
    assert [found.devices["box"].label, found.cables["opt"].label] == ["box", "opt"]
    assert found.extras["lead"].label == "lead"


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("", "devices.csv: is empty; its first row names the columns: id, label, role"),
        (" ,, \n;\n", "devices.csv: is empty; its first row names the columns"),
        (
            "id,role,price\n",
            "devices.csv: there is no device in it; each takes a row under the header",
        ),
        (
            "id,role,price\nbox,host,1\nbad,host,-5\n",
            "devices.csv, row 3, price: must not be negative (found '-5')",
        ),
        (
            "\nid,role,price\n\nbox,host,1\n\nbad,host,-5\n",
            "devices.csv, row 6, price: must not be negative (found '-5')",
        ),
        (
            'id,role,price,note\nbox,host,1,"a\nb"\nbad,host,-5,\n',
            "devices.csv, row 3, price: must not be negative (found '-5')",
        ),
        (
            "id,role,price,mics\nbox,host,1,8\n",
            "devices.csv, row 1, mics: there is no such column; one of your own begins with # "
            "or note (found 'mics'); "
            "did you mean 'mic'?",
        ),
        (
            "id,role,price,zzz\x1b\nbox,host,1,8\n",
            "devices.csv, row 1, zzz\\x1b: there is no such column; one of your own begins "
            "with # or note (found 'zzz\\x1b')",
        ),
        (
            "id,role,price,ROLE\nbox,host,1,clock\n",
            "devices.csv, row 1, ROLE: this column is there twice",
        ),
        ("id,price\nbox,1\nbax,2\n", "devices.csv, role: this column is missing"),
        ("id,role,price\n,host,1\n", "devices.csv, row 2, id: must not be blank"),
        ("id,role,price\nbox,,1\n", "devices.csv, row 2, role: must not be blank"),
        (
            "id,role,price\nbox,host,12,50\n",
            "devices.csv, row 2: has 4 cells under a header of 3; a cell that holds the "
            "separator needs quotation marks around it",
        ),
        (
            "id;role;price;rates_khz\nbox;host;1;44.1;48\n",
            "devices.csv, row 2: has 5 cells under a header of 4; a cell that holds the "
            "separator needs quotation marks around it",
        ),
        (
            "id,role,price,\nbox,host,1,8\n",
            "devices.csv, row 2: cell 4 stands under no column name (found '8')",
        ),
        (
            'id,role,price\nbox,host,1\nbax,"host,1\n',
            "devices.csv, row 3: a quotation mark is opened and never closed",
        ),
        (
            "id,role,price,label\nbox,host,1,a\x1b[2J\n",
            "devices.csv, row 2, label: holds a control character (U+001B) (found 'a\\x1b[2J')",
        ),
        (
            f"id,role,price,note\nbox,host,1,{'x' * 2001}\n",
            f"devices.csv, row 2, note: is longer than 2000 characters (found '{'x' * 59}…')",
        ),
        (
            f"id,role,price,label\nbox,host,1,{'x' * 501}\n",
            f"devices.csv, row 2, label: is longer than 500 characters (found '{'x' * 59}…')",
        ),
        (
            "id,role,price\nbox,host,1\nbox,host,2\n",
            "devices.csv, row 3, id: is taken already, by row 2 of devices.csv (found 'box')",
        ),
        (
            "id,role,price\nopt,host,1\n",
            "cables.csv, row 2, id: is taken already, by row 2 of devices.csv (found 'opt')",
        ),
        (
            "id,role,price" + ",note" * 198 + "\n",
            "devices.csv: has a row of 201 cells; 200 are the most that is read",
        ),
        (
            "id,role,price" + "\nbox,host,1" * 10_000,
            "devices.csv: has 10001 lines; 10000 are the most that is read",
        ),
    ],
)
def test_a_fault_names_its_place(tmp_path: Path, text: str, fault: str) -> None:
    found = faults_of(tmp_path, {"devices.csv": text})
    assert [line[: len(fault)] for line in found] == [fault]


def test_all_faults_of_a_file_come_in_the_order_of_its_rows(tmp_path: Path) -> None:
    text = "id,role,price,watts\nbox,hst,1,-1\na b,host,x,\nbox,clock,1,\x07\n"
    assert [line.partition(":")[0] for line in faults_of(tmp_path, {"devices.csv": text})] == [
        "devices.csv, row 2, role",
        "devices.csv, row 2, watts",
        "devices.csv, row 3, id",
        "devices.csv, row 3, price",
        "devices.csv, row 4, watts",
        "devices.csv, row 4, id",
    ]


def test_a_parser_that_gives_no_place_is_no_traceback(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object, **__: object) -> None:
        raise pd.errors.ParserError("out of luck")

    monkeypatch.setattr(pd, "read_csv", fail)
    assert faults_of(tmp_path, {})[0] == (
        "devices.csv: a quotation mark is opened and never closed"
    )


def test_cables(tmp_path: Path) -> None:
    text = "id;label;kind;length_m;price;pack\nc;Two;Word;1,5 m;;2\n"
    found = catalogue(tmp_path, {"cables.csv": text}).cables
    assert found == {"c": Cable("c", "Two", "word", 1500, None, 2)}


def test_a_catalogue_may_have_no_cable(tmp_path: Path) -> None:
    assert catalogue(tmp_path, {"cables.csv": "id,kind,length_m\n"}).cables == {}


@pytest.mark.parametrize(
    ("row", "fault"),
    [
        (
            "c,opticl,1,1",
            "kind: must be optical, coax, word, analogue, tee or terminator (found 'opticl'); "
            "did you mean 'optical'?",
        ),
        ("c,word,0,1", "length_m: must be a length above 0 and up to 1000 metres (found '0')"),
        (
            "c,word,1001,1",
            "length_m: must be a length above 0 and up to 1000 metres (found '1001')",
        ),
        ("c,word,,1", "length_m: must not be blank"),
        ("c,word,1,0", "pack: must be a whole number from 1 to 1000000 (found '0')"),
    ],
)
def test_cables_that_are_refused(tmp_path: Path, row: str, fault: str) -> None:
    text = f"id,kind,length_m,pack\n{row}\n"
    assert faults_of(tmp_path, {"cables.csv": text}) == [f"cables.csv, row 2, {fault}"]


def test_the_smallest_device_has_the_defaults(tmp_path: Path) -> None:
    assert device(tmp_path, price="1").mains == 1
