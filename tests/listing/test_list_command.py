"""`rigopt list` as a command: text, CSV, JSON, and what it does with files in error."""

from __future__ import annotations

import csv
import io
import json
import subprocess
import sys
from pathlib import Path

import pytest
from wcwidth import width

from rigopt.catalogue import shipped
from rigopt.catalogue.read import read_folder
from rigopt.cli.main import run
from rigopt.output.data.list_data import COLUMNS
from rigopt.output.words.rows import rows
from tests.docs.pages import ROOT
from tests.reading.folders import write

FILES = {
    "devices.csv": (
        "id,label,role,price,mic,optical_out,phantom_bank\n"
        'pre,"=1+1 \ue000 Eight",expander,179,8,,8\nbox,,host,100,8,,8\n'
    ),
    "cables.csv": (
        "id,kind,length_m,price,ends\nopt,optical,1,5,\nloom,analogue,3,30,dsub-jack\n"
    ),
    "extras.csv": "id,label,per,each,price,pack\nlead,Lead,mic,2,8,4\n",
    "sellers.csv": (
        "seller,currency,delivery,free_over,tax_percent\nnear,GBP,4.99,500,\nfar,EUR,,,20\n"
    ),
    "offers.csv": (
        "item,seller,price,pack,stock,condition,as_of\n"
        "pre,far,150,2,1,used,2025-03-31\nlead,near,7,,,,\n"
    ),
    "formats.csv": (
        "id,label,cable,channels_1x,channels_2x,clock,duplex,max_m\n"
        "wide,Wide link,wide-cable,64,32,no,yes,50\nthin,,thin-cable,2,,,,\n"
    ),
}

SAID = """\
Test
====
11 rows; 1 to look at again, marked ?.

DEVICES
pre, 179.00 GBP: =1+1 \N{REPLACEMENT CHARACTER} Eight
    expander; 8 preamps (all for that alone); one 48 V switch for all; cannot
    follow another clock; runs at 44.1 and 48 kHz; not for a rack; 1 mains plug.
  ? optical_out: an expander without a digital output: its inputs reach no
    computer

box, 100.00 GBP
    USB interface; 8 preamps (all for that alone); one 48 V switch for all;
    cannot follow another clock; runs at 44.1 and 48 kHz; not for a rack;
    1 mains plug.

CABLES
opt, 5.00 GBP
    optical cable, 1 m.

loom, 30.00 GBP
    8-channel analogue cable from dsub to jack, 3 m.

EXTRAS
lead, 8.00 GBP: Lead
    2 for each microphone; the price is for a pack of 4.

LINKS OF MANY CHANNELS
wide: Wide link
    64/32/0 channels at 1x/2x/4x rates; on a cable of the kind 'wide-cable';
    both ways on one cable; carries no clock; up to 50 m.

thin
    2/0/0 channels at 1x/2x/4x rates; on a cable of the kind 'thin-cable'; one
    way on each cable; carries clock.

SELLERS
near
    delivery 4.99, none from 500.00; no tax added.

far
    no delivery fee; 20 % tax.

OFFERS
pre, 150.00 EUR: =1+1 \N{REPLACEMENT CHARACTER} Eight
    from far; the price is for a pack of 2; used; 1 pack in stock; price of
    2025-03-31.

lead, 7.00 GBP: Lead
    from near.
"""


def test_every_kind_of_row_is_read_back(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["list", "--catalog", str(write(tmp_path, FILES))]) == 0
    said = capsys.readouterr()
    assert said.err == ""
    assert said.out == SAID


def test_without_a_catalogue_it_is_the_demo(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["list"]) == 0
    text = capsys.readouterr().out
    assert "prices are invented" in text
    demo = read_folder(shipped.demo_catalogue())
    for shelf in demo.shelves.values():
        for name in shelf:
            assert f"\n{name}, " in text
    assert max(width(line) for line in text.splitlines()) <= 80


def test_csv_has_a_row_for_each(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = write(tmp_path, FILES)
    assert run(["list", "--catalog", str(folder), "--csv", "-"]) == 0
    told = capsys.readouterr()
    found = list(csv.DictReader(io.StringIO(told.out)))
    assert tuple(found[0]) == COLUMNS
    assert [row["id"] for row in found] == [row.id for row in rows(read_folder(folder))]
    assert found[0]["label"].startswith("'=1+1")
    assert found[0]["doubts"].startswith("optical_out: ")
    assert found[1]["doubts"] == ""
    assert told.err == "11 rows; 1 to look at again, marked ?.\n"


def test_json_has_a_record_for_each(tmp_path: Path) -> None:
    folder, file = write(tmp_path, FILES), tmp_path / "list.json"
    assert run(["list", "--catalog", str(folder), "--json", str(file)]) == 0
    told = json.loads(file.read_text("utf-8"))
    assert list(told) == ["format", "title", "currency", "invented", "rows"]
    assert (told["format"], told["currency"], told["invented"]) == (
        "rigopt-list/1",
        "GBP",
        False,
    )
    pre, *_, offer, _lead = told["rows"]
    assert list(pre) == list(COLUMNS)
    assert (pre["kind"], pre["id"], pre["price"]) == ("device", "pre", "179.00")
    assert [doubt["column"] for doubt in pre["doubts"]] == ["optical_out"]
    assert (offer["kind"], offer["id"], offer["currency"]) == ("offer", "pre", "EUR")
    assert [row["price"] for row in told["rows"] if row["kind"] == "format"] == [None, None]


def test_what_is_not_for_sale_says_so(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    write(tmp_path, {"devices.csv": "id,role,line\nbox,host,2\n"})
    assert run(["list", "--catalog", str(tmp_path)]) == 0
    assert "\nbox, not for sale\n" in capsys.readouterr().out


@pytest.mark.parametrize("options", [[], ["--csv", "-"], ["--json", "-"]])
def test_a_catalogue_in_error_is_told(
    options: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    write(tmp_path, {"devices.csv": "id,role\nbox,hst\n"})
    assert run(["list", "--catalog", str(tmp_path), *options]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert "devices.csv, row 2, role: must be host" in told.err


def test_no_file_of_the_catalogue_is_overwritten(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = write(tmp_path, FILES)
    before = (folder / "offers.csv").read_bytes()
    options = ["--catalog", str(folder), "--csv", str(folder / "offers.csv")]
    assert run(["list", *options]) == 2
    assert "would overwrite an input file" in capsys.readouterr().err
    assert (folder / "offers.csv").read_bytes() == before


@pytest.mark.parametrize("args", [["list"], ["add", "--help"]])
def test_neither_command_waits_for_the_solver(args: list[str]) -> None:
    code = (
        "import sys\n"
        "from rigopt.cli.main import run\n"
        f"run({args!r})\n"
        "sys.exit(sorted({'ortools', 'jinja2'} & set(sys.modules)) or 0)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, cwd=ROOT, check=False
    )
    assert (done.returncode, done.stderr) == (0, b"")
