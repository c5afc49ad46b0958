"""What is likely to be blank or mistyped: a row that is fine, one that is not, the edge."""

from __future__ import annotations

from pathlib import Path

import pytest

from rigopt.catalogue import shipped
from rigopt.catalogue.read import read_folder
from rigopt.output.words.doubts import doubts
from rigopt.output.words.rows import rows
from tests.reading.folders import write

FORMATS = (
    "id,cable,channels_1x,channels_2x,clock,duplex\n"
    "both,both-cable,48,24,yes,yes\ndumb,both-two,48,24,no,no\nmute,both-three,48,0,yes,yes\n"
)
CABLES = (
    "id,kind,length_m\no,optical,1\nc,coax,1\nw,word,1\nb,both-cable,1\nd,both-two,1\n"
    "m,both-three,1\n"
)
LEADS = "id,kind,length_m,ends\na,analogue,1,xlr-jack\n"


def doubted(folder: Path, cables: str = CABLES, **cells: str) -> list[str]:
    """The columns in doubt of a device with these cells."""
    row = {"id": "box", "role": "host", **cells}
    text = ",".join(row) + "\n" + ",".join(f'"{cell}"' for cell in row.values()) + "\n"
    write(folder, {"devices.csv": text, "cables.csv": cables, "formats.csv": FORMATS})
    catalogue = read_folder(folder)
    return [doubt.column for doubt in doubts(catalogue.devices["box"], catalogue)]


EXPANDER = {"role": "expander", "line": "8"}
HOST = {"line": "2"}


@pytest.mark.parametrize(
    ("cells", "wanted"),
    [
        # An expander without any output.
        ({**EXPANDER, "optical_out": "1"}, []),
        ({**EXPANDER, "coax_out": "1"}, []),
        ({**EXPANDER}, ["optical_out"]),
        ({**EXPANDER, "trunk": "both", "trunk_in": "1", "clock_in": "trunk"}, []),
        ({"role": "expander", "line_out": "8", "optical_in": "1", "clock_in": "optical"}, []),
        ({**HOST}, []),
        # A preamp without any, and what serves as one.
        ({"role": "preamp", "line": "2"}, ["direct_out"]),
        # Nothing in it.
        ({"role": "preamp"}, ["mic_line"]),
        ({"role": "di"}, ["inst"]),
        ({"role": "di", "inst": "2"}, []),
        ({"role": "headphones"}, ["phones"]),
        ({"role": "headphones", "phones": "4"}, []),
        ({}, ["mic_line"]),
        ({"role": "clock", "word_out": "4"}, []),
        ({"role": "clock"}, ["word_out"]),
        # Inputs that it cannot lock to.
        ({**HOST, "optical_in": "1", "clock_in": "optical"}, []),
        ({**HOST, "optical_in": "1"}, ["clock_in"]),
        ({**HOST, "coax_in": "1"}, ["clock_in"]),
        ({**HOST, "optical_in": "1", "rate_converter": "optical"}, []),
        ({**HOST, "optical_in": "1", "coax_in": "1", "clock_in": "coax"}, []),
        ({**HOST, "optical_in": "1", "word_in": "1", "clock_in": "optical 1"}, ["clock_in"]),
        ({**HOST, "trunk": "dumb", "trunk_in": "1"}, []),
        ({**HOST, "trunk": "both", "trunk_in": "1"}, ["clock_in"]),
        ({**HOST, "internal_clock": "no"}, ["internal_clock"]),
        ({**HOST, "internal_clock": "no", "word_in": "1", "clock_in": "word"}, []),
        # Preamps without 48 V.
        ({"mic": "8", "phantom_bank": "8"}, []),
        ({"mic": "8"}, ["phantom_bank"]),
        # A class without a rate.
        ({**HOST, "optical_out": "1", "optical_2x": "1", "rates_khz": "48;96"}, []),
        ({**HOST, "optical_out": "1", "optical_2x": "1"}, ["rates_khz"]),
        ({**HOST, "optical_out": "1", "optical_2x": "0"}, []),
        ({**HOST, "optical_out": "1", "optical_4x": "0/1"}, ["rates_khz"]),
        ({**HOST, "optical_out": "1", "optical_4x": "0/1", "rates_khz": "48;192"}, []),
        ({**HOST, "coax_out": "1", "coax_4x": "1", "rates_khz": "48;96"}, ["rates_khz"]),
        ({**HOST, "max_in_2x": "2"}, ["rates_khz"]),
        ({**HOST, "max_in_1x": "2"}, []),
        # More inputs than USB 2.0 carries.
        ({"line": "146"}, []),
        ({"line": "147"}, ["computer"]),
        ({"line": "147", "max_in_1x": "146"}, []),
        ({"line": "147", "computer": "thunderbolt"}, []),
        ({"role": "either", "line": "147", "optical_out": "1"}, ["computer"]),
        ({**EXPANDER, "line": "147", "optical_out": "1"}, []),
    ],
)
def test_a_row_and_what_is_doubtful(
    cells: dict[str, str], wanted: list[str], tmp_path: Path
) -> None:
    assert doubted(tmp_path, **cells) == wanted


@pytest.mark.parametrize(
    ("rate", "room", "limit"),
    # xua packet_sizes.h (text) and arithmetic: three packets of 1024 bytes, 24 bits.
    [("48", 146, "max_in_1x"), ("96", 78, "max_in_2x"), ("192", 40, "max_in_4x")],
)
def test_usb_has_room_for_so_many(rate: str, room: int, limit: str, tmp_path: Path) -> None:
    """What a socket brings counts, whether anything is plugged in or not."""
    sockets = {"coax_in": "1", "clock_in": "coax", "rates_khz": rate}
    if rate == "192":
        sockets["coax_4x"] = "1"
    assert doubted(tmp_path, **sockets, line=str(room - 2)) == []
    assert doubted(tmp_path, **sockets, line=str(room - 1)) == ["computer"]
    (row, *_) = rows(read_folder(tmp_path))
    said = row.doubts[0].says
    assert said.startswith(f"{room + 1} inputs at {rate} kHz, and USB 2.0 carries {room} of")
    assert "faster buses exist" in said
    assert f"is {limit} less?" in said


def test_the_slowest_rate_at_which_usb_is_too_slow_is_told(tmp_path: Path) -> None:
    row = {"line": "80", "max_in_4x": "8", "rates_khz": "192;96;88.2;48"}
    assert doubted(tmp_path, **row) == ["computer"]
    (found, *_) = rows(read_folder(tmp_path))
    assert found.doubts[0].says.startswith("80 inputs at 88.2 kHz, and USB 2.0 carries 78 of")


def test_a_socket_without_a_cable_for_it(tmp_path: Path) -> None:
    cells = {**HOST, "trunk": "both", "trunk_in": "1", "clock_in": "trunk", "word_out": "1"}
    assert doubted(tmp_path, **cells) == []
    few = "id,kind,length_m\nb,both-cable,1\n"
    assert doubted(tmp_path, few, **cells) == ["word_in"]
    few = "id,kind,length_m\nw,word,1\n"
    assert doubted(tmp_path, few, **cells) == ["trunk"]


@pytest.mark.parametrize(
    ("cells", "wanted"),
    [
        ({"role": "preamp", "direct_plug": "xlr"}, []),
        ({"role": "preamp"}, ["direct_plug"]),
        ({"role": "expander", "direct_plug": "xlr"}, []),
        ({"role": "expander", "direct_plug": "dsub"}, ["direct_plug"]),
        ({"role": "host"}, []),
    ],
)
def test_direct_outs_without_a_lead_for_them(
    cells: dict[str, str], wanted: list[str], tmp_path: Path
) -> None:
    """A host's are not used, so they need none."""
    box = {"mic": "2", "phantom_bank": "2", "direct_out": "2", **cells}
    assert doubted(tmp_path, LEADS, **box) == wanted


def prices(folder: Path, file: str, lines: str) -> dict[str, list[str]]:
    write(folder, {file: lines})
    return {row.id: [d.column for d in row.doubts] for row in rows(read_folder(folder))}


@pytest.mark.parametrize(
    ("price", "wanted"),
    [
        ("2999.99", []),
        ("3000", ["price"]),
        ("30.01", []),
        ("30", ["price"]),
        ("0", ["price"]),
        ("", []),
    ],
)
def test_a_price_ten_times_off_its_like(price: str, wanted: list[str], tmp_path: Path) -> None:
    """The like of a box: its role, and half to twice its inputs; here 300 in the middle."""
    found = prices(
        tmp_path,
        "devices.csv",
        "id,role,price,line,optical_out\na,host,290,8,\nb,host,310,4,\nbig,host,9000,64,\n"
        f"pre,expander,2900,8,1\npost,expander,3100,8,1\nhere,host,{price},8,\n",
    )
    assert found.pop("here") == wanted
    assert list(found.values()) == [[]] * 6


def test_two_prices_say_nothing_of_each_other(tmp_path: Path) -> None:
    lines = "id,role,price,line\na,host,10,8\nb,host,1000,8\nc,host,,8\n"
    assert prices(tmp_path, "devices.csv", lines) == {"a": [], "b": [], "c": [], "opt": []}


def test_cables_are_compared_by_the_piece(tmp_path: Path) -> None:
    lines = (
        "id,kind,length_m,price,pack\na,optical,1,5,1\nb,optical,2,6,1\nx10,optical,1,50,10\n"
        "dear,optical,1,60,1\nlong,optical,10,60,1\ntee,tee,,60,1\n"
    )
    found = prices(tmp_path, "cables.csv", lines)
    assert {name for name, columns in found.items() if "price" in columns} == {"dear"}


def test_looms_are_not_compared_with_leads(tmp_path: Path) -> None:
    lines = (
        "id,kind,length_m,price,ends,ways\na,analogue,1,2,jack-jack,1\n"
        "b,analogue,1,3,jack-jack,1\nc,analogue,2,3,jack-jack,1\nloom,analogue,1,40,dsub-jack,8\n"
        "dear,analogue,1,40,jack-jack,1\n"
    )
    found = prices(tmp_path, "cables.csv", lines)
    assert {name for name, columns in found.items() if "price" in columns} == {"dear"}


def test_a_cable_longer_than_any_link(tmp_path: Path) -> None:
    lines = "id,kind,length_m\nfits,optical,10\nlong,optical,10.001\nw,word,30\n"
    found = prices(tmp_path, "cables.csv", lines)
    assert found == {"box": ["mic_line"], "fits": [], "long": ["length_m"], "w": []}


@pytest.mark.parametrize(
    "folder", [shipped.demo_catalogue(), *map(shipped.template, shipped.template_names())]
)
def test_what_is_shipped_raises_no_doubt(folder: Path) -> None:
    assert [(row.id, row.doubts) for row in rows(read_folder(folder)) if row.doubts] == []


def test_an_extra_has_a_price_and_nothing_to_be_like(tmp_path: Path) -> None:
    write(tmp_path, {"extras.csv": "id,per,price\nstand,mic,25\nlead,mic,5\n"})
    catalogue = read_folder(tmp_path)
    assert doubts(catalogue.extras["stand"], catalogue) == []
