"""Files found, decoded and within their limits; TOML within its own."""

from __future__ import annotations

import codecs
import os
from pathlib import Path

import pytest

from rigopt.errors import InputError
from rigopt.files.faults import Gathered
from rigopt.files.text import decode, place, read_text
from rigopt.files.toml import read_toml
from tests.reading.folders import Files, faults, faults_of, read_catalogue, write

TEXT = "id,note\nbox,é – €\n"


def read(path: Path, most_mb: int = 1) -> tuple[str | None, list[str]]:
    gathered = Gathered("file")
    return read_text(path, gathered, most_mb), [str(fault) for fault in gathered.faults]


@pytest.mark.parametrize(
    "data",
    [
        TEXT.encode("utf-8"),
        TEXT.encode("utf-8-sig"),
        TEXT.encode("utf-16"),
        codecs.BOM_UTF16_BE + TEXT.encode("utf-16-be"),
        TEXT.encode("utf-32"),
        codecs.BOM_UTF32_BE + TEXT.encode("utf-32-be"),
        TEXT.encode("cp1252"),
        TEXT.replace("\n", "\r\n").encode("utf-8"),
        TEXT.replace("\n", "\r").encode("utf-8"),
    ],
)
def test_every_usual_encoding_and_line_end_is_read(tmp_path: Path, data: bytes) -> None:
    (tmp_path / "f").write_bytes(data)
    assert read(tmp_path / "f") == (TEXT, [])


@pytest.mark.parametrize(
    "data",
    [
        b"a\x00b",
        TEXT.encode("utf-16-le"),
        codecs.BOM_UTF8 + b"\xff",
        codecs.BOM_UTF16_LE + b"a",
        b"\x81\x8d",
        b"\x89PNG\r\n\x1a\n\x00",
    ],
)
def test_what_is_no_text_is_refused(tmp_path: Path, data: bytes) -> None:
    (tmp_path / "f").write_bytes(data)
    assert read(tmp_path / "f") == (None, ["file: is not a text file; save it as UTF-8 text"])


def test_a_file_may_be_as_large_as_the_limit_and_no_larger(tmp_path: Path) -> None:
    (tmp_path / "f").write_bytes(b"a" * 1_000_000)
    assert read(tmp_path / "f")[1] == []
    (tmp_path / "f").write_bytes(b"a" * 1_000_001)
    assert read(tmp_path / "f") == (None, ["file: is larger than 1 MB"])


def test_where_nothing_else_is_said_a_file_may_have_20_mb(tmp_path: Path) -> None:
    (tmp_path / "f").write_bytes(b"a" * 20_000_000)
    gathered = Gathered("file")
    assert len(read_text(tmp_path / "f", gathered) or "") == 20_000_000
    with (tmp_path / "f").open("ab") as file:
        file.write(b"a")
    assert read_text(tmp_path / "f", gathered) is None
    assert [str(fault) for fault in gathered.faults] == ["file: is larger than 20 MB"]


def test_a_file_that_never_ends_is_refused() -> None:
    assert read(Path("/dev/zero"))[1] == ["file: is larger than 1 MB"]


def test_what_cannot_be_opened_is_told(tmp_path: Path) -> None:
    assert read(tmp_path)[1] == ["file: is a folder, not a file"]
    assert read(tmp_path / "none")[1] == ["file: there is no such file"]
    assert read(tmp_path / ("x" * 300))[1] == ["file: cannot be read"]
    assert read(tmp_path / "a\x00b")[1] == ["file: cannot be read"]


def test_a_pipe_is_not_waited_for(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "f").write_text("a")
    monkeypatch.setattr(Path, "is_fifo", lambda _: True)
    told = "file: is a pipe, not a file; save its text in a file first"
    assert read(tmp_path / "f") == (None, [told])


def test_a_mark_says_which_encoding_it_is_and_no_other_one_is_tried() -> None:
    assert decode(codecs.BOM_UTF32_LE + b"ab") is None
    assert decode(codecs.BOM_UTF16_LE + b"a\0") == ("a", "utf-16")
    assert decode(b"\xe9") == ("é", "cp1252")


def test_a_file_without_permission_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise PermissionError

    monkeypatch.setattr(Path, "open", refuse)  # root may open anything
    assert read(tmp_path / "f")[1] == ["file: may not be read: permission denied"]


def test_a_name_cannot_harm_the_terminal() -> None:
    name = os.fsdecode(b"a\x1b[31m\n\xff")
    assert place(Path(name)) == "a\\x1b[31m\\n\\udcff"


def test_a_folder_that_is_none_is_told(tmp_path: Path) -> None:
    assert faults(tmp_path / "none") == [f"{tmp_path / 'none'}: there is no such folder"]
    write(tmp_path, {})
    file = tmp_path / "devices.csv"
    assert faults(file) == [
        f"{file}: is not a folder; a catalogue is a folder with catalog.toml, devices.csv, "
        "cables.csv"
    ]
    for path in (tmp_path / "a\x00b", tmp_path / ("x" * 300)):
        with pytest.raises(InputError, match="this folder cannot be read"):
            read_catalogue(path)


@pytest.mark.parametrize("file", ["catalog.toml", "devices.csv", "cables.csv"])
def test_a_required_file_that_is_missing_is_told(tmp_path: Path, file: str) -> None:
    write(tmp_path, {})
    (tmp_path / file).rename(tmp_path / file.upper())
    assert faults(tmp_path) == [
        f"{file}: this file is missing; a catalogue needs catalog.toml, devices.csv, "
        f"cables.csv; did you mean '{file.upper()}'?"
    ]


@pytest.mark.parametrize("name", ["offer.csv", "Offers.csv", "OFFER.CSV"])
def test_an_optional_file_of_almost_the_right_name_is_told(tmp_path: Path, name: str) -> None:
    assert faults_of(tmp_path, {name: "item\n"}) == [
        f"{name}: a file of this name is not read; did you mean 'offers.csv'?"
    ]


def test_other_files_are_left_alone(tmp_path: Path) -> None:
    files: Files = {"orders.csv": b"\x00", "readme.txt": "x", "devices.csv.bak": "x"}
    assert read_catalogue(write(tmp_path, files)).title == "Test"


def test_every_file_in_error_is_told_at_once(tmp_path: Path) -> None:
    found = faults_of(
        tmp_path,
        {
            "catalog.toml": "currency = 'ABC'",
            "devices.csv": "id,role\nbox,hst\n",
            "cables.csv": b"\x00",
            "extras.csv": "id\nx\n",
            "sellers.csv": "seller\n\na\na\n",
            "offers.csv": "item,seller\nbx,a\n",
        },
    )
    assert [text.partition(":")[0] for text in found] == [
        "catalog.toml, currency",
        "devices.csv, row 2, role",
        "cables.csv",
        "extras.csv, per",
        "sellers.csv, row 4, seller",
        "offers.csv, row 2, item",
    ]


def toml(folder: Path, text: str | bytes) -> tuple[object, list[str]]:
    data = text if isinstance(text, bytes) else text.encode("utf-8")
    (folder / "f.toml").write_bytes(data)
    gathered = Gathered("file")
    return read_toml(folder / "f.toml", gathered), [str(fault) for fault in gathered.faults]


def test_toml_keeps_decimals_as_they_are_written(tmp_path: Path) -> None:
    read, found = toml(tmp_path, "\ufeffa = 1.10\nb = 1_0.5\nc = 1e400\nd = nan\ne = 3\n")
    assert read == {"a": "1.10", "b": "10.5", "c": "1e400", "d": "nan", "e": 3}
    assert found == []


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("a = ", ", row 1: is not valid TOML: there is no value behind the ="),
        ("a = 1\na = 2", ", row 2: is not valid TOML: this key stands twice in its table"),
        ("a = " + "9" * 5000, ": is not valid TOML: exceeds the limit (4300 digits)"),
        ("a = " + "[" * 90_000, ": is nested too deeply"),
        (".".join("a" * 17) + " = 1", ": holds a dotted key of more than 16 parts"),
        ("[" + ".".join(['"a"'] * 17) + "]", ": holds a dotted key of more than 16 parts"),
        ("a" * 1_000_001, ": is larger than 1 MB"),
        (b"\xff\xfe\x00", ": is not a text file"),
    ],
)
def test_toml_that_is_refused(tmp_path: Path, text: str | bytes, problem: str) -> None:
    read, found = toml(tmp_path, text)
    assert read is None
    assert [fault.startswith(f"file{problem}") for fault in found] == [True]


def test_a_dotted_key_of_sixteen_parts_is_read(tmp_path: Path) -> None:
    assert toml(tmp_path, ".".join("a" * 16) + " = 1")[1] == []


def test_faults_past_the_limit_are_counted() -> None:
    gathered = Gathered("file")
    for row in range(207, 0, -1):
        gathered.add("is bad", row=row)
    texts = [str(fault) for fault in gathered.faults]
    assert texts[0] == "file, row 8: is bad"
    assert texts[-1] == "file: and 7 more faults, not listed"
    assert len(texts) == 201
