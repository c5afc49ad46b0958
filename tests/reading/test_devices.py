"""Rows of devices.csv: every default, every limit, every rule between columns."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from rigopt.catalogue.types import Device, InOut, SocketRef
from tests.reading.folders import catalogue, device, device_faults, faults_of


def test_a_row_with_nothing_but_the_needful_has_every_default(tmp_path: Path) -> None:
    assert device(tmp_path) == Device("box", "box", "host", 10000)


def test_a_row_with_everything(tmp_path: Path) -> None:
    cells = {
        "id": "all",
        "label": "All of it",
        "role": "Either",
        "price": "1.234,50 £",
        "mic_line_inst": "2",
        "mic_line": "6",
        "mic": "1",
        "line_inst": "3",
        "line": "4.0",
        "inst": "5",
        "phantom_bank": "4",
        "line_out": "8",
        "phones": "2",
        "optical_in": "2",
        "optical_out": "1",
        "optical_2x": "1",
        "optical_4x": "1",
        "coax_in": "1",
        "coax_out": "2",
        "word_in": "1",
        "word_out": "3",
        "clock_in": "word; Optical",
        "internal_clock": "No",
        "rates_khz": "96;44,1;48k",
        "computer": "Thunderbolt",
        "max_in_1x": "30",
        "max_in_2x": "all",
        "max_in_4x": "0",
        "rack_units": "2 U",
        "watts": "12,5 W",
        "mains": "0",
        "note": "a note",
    }
    assert device(tmp_path, **cells) == Device(
        id="all",
        label="All of it",
        role="either",
        price=123450,
        mic_line_inst=2,
        mic_line=6,
        mic=1,
        line_inst=3,
        line=4,
        inst=5,
        phantom_bank=4,
        line_out=8,
        phones=2,
        optical_in=2,
        optical_out=1,
        optical_2x=1,
        optical_4x=1,
        coax_in=1,
        coax_out=2,
        word_in=1,
        word_out=3,
        clock_in=("optical", "word"),
        internal_clock=False,
        rates_hz=(44100, 48000, 96000),
        computer="thunderbolt",
        max_in_1x=30,
        max_in_2x=None,
        max_in_4x=0,
        rack_units=2,
        watts=Decimal("12.5"),
        mains=0,
        note="a note",
    )


@pytest.mark.parametrize(
    ("cells", "live"),
    [
        # As the file format says: 2x all sockets if the unit has a 2x rate, 4x none.
        ({"optical_in": "2", "optical_out": "1"}, (0, 0)),
        ({"optical_in": "2", "optical_out": "1", "rates_khz": "48;88.2"}, (2, 0)),
        ({"optical_in": "1", "optical_out": "2", "rates_khz": "48;96"}, (2, 0)),
        ({"optical_in": "1", "optical_out": "2", "rates_khz": "48;192"}, (0, 0)),
        ({"optical_in": "2", "optical_2x": "1", "rates_khz": "96"}, (1, 0)),
        ({"optical_in": "2", "optical_2x": "0", "rates_khz": "96"}, (0, 0)),
        ({"optical_in": "2", "optical_2x": "2"}, (2, 0)),
        # None where none works at 1x either, for each direction.
        ({"optical_in": "2", "optical_1x": "0", "rates_khz": "96"}, (0, 0)),
        (
            {"optical_in": "2", "optical_out": "1", "optical_1x": "1/0", "rates_khz": "96"},
            (InOut(2, 0), 0),
        ),
        (
            {"optical_in": "2", "optical_out": "1", "optical_1x": "0/1", "rates_khz": "96"},
            (InOut(0, 1), 0),
        ),
        ({"optical_out": "2", "optical_4x": "2", "rates_khz": "48;192"}, (0, 2)),
    ],
)
def test_sockets_alive_at_double_rates(
    tmp_path: Path, cells: dict[str, str], live: tuple[int | InOut, int]
) -> None:
    found = device(tmp_path, **cells)
    assert (found.optical_2x, found.optical_4x) == live


@pytest.mark.parametrize(
    ("cells", "fault"),
    [
        (
            {"role": "hosts"},
            "role: must be host, expander, either, clock, preamp, di or "
            "headphones (found 'hosts'); "
            "did you mean 'host'?",
        ),
        (
            {"clock_in": "optical;wrd", "optical_in": "1"},
            "clock_in: must be some of optical, coax, word, trunk, or single sockets such as "
            "'optical 1', separated by ';' (found 'wrd'); did you mean 'word'?",
        ),
        (
            {"clock_in": "optical", "optical_out": "1"},
            "clock_in: cannot lock to optical: optical_in is 0 or blank (found 'optical')",
        ),
        ({"clock_in": "coax"}, "clock_in: cannot lock to coax: coax_in is 0 or blank"),
        ({"clock_in": "word"}, "clock_in: cannot lock to word: word_in is 0 or blank"),
        (
            {"optical_in": "1", "optical_out": "2", "optical_2x": "3"},
            "optical_2x: is more than the 2 optical sockets each way (found '3')",
        ),
        ({"optical_4x": "1"}, "optical_4x: is more than the 0 optical sockets each way"),
        (
            {"role": "clock", "mic": "2"},
            "mic: a unit of role clock carries no audio (found '2')",
        ),
        (
            {"phantom_bank": "4", "line": "8"},
            "phantom_bank: there is no channel for a microphone here (found '4')",
        ),
        (
            {"phantom_bank": "4;2", "line": "8"},
            "phantom_bank: there is no channel for a microphone here (found '4;2')",
        ),
        (
            {"phantom_bank": "4;2", "mic": "5"},
            "phantom_bank: is more than the 5 microphone inputs (found '4;2')",
        ),
        (
            {"direct_out": "5", "mic": "4", "line": "8"},
            "direct_out: is more than the 4 microphone inputs (found '5')",
        ),
        (
            {"coax_in": "1", "coax_out": "2", "coax_2x": "3"},
            "coax_2x: is more than the 2 coax sockets each way (found '3')",
        ),
        (
            {"mic": "4", "line": "2", "analogue_4x": "7"},
            "analogue_4x: is more than the 6 analogue inputs (found '7')",
        ),
        (
            {"clock_in": "optical 2", "optical_in": "1"},
            "clock_in: there is no such socket: optical_in is 1 (found 'optical 2')",
        ),
        (
            {"either": "coax in 1/optical in 2", "coax_in": "1", "optical_in": "1"},
            "either: there is no such socket: optical_in is 1 (found 'optical in 2')",
        ),
        (
            {"optical_in": "1", "optical_out": "2", "optical_1x": "2/2"},
            "optical_1x: is more than 1/2 optical sockets (found '2/2')",
        ),
        (
            {"optical_in": "1", "optical_out": "2", "optical_4x": "1/3"},
            "optical_4x: is more than 1/2 optical sockets (found '1/3')",
        ),
        (
            {"optical_in": "1", "optical_out": "2", "optical_stereo": "3"},
            "optical_stereo: is more than the 2 optical sockets each way (found '3')",
        ),
        ({"trunk_in": "1"}, "trunk_in: needs the id of a format in the column trunk"),
        ({"trunk": "long"}, "trunk: there is no such row in formats.csv (found 'long')"),
        ({"trunk": "long", "trunk_out": "1"}, "trunk: there is no such row in formats.csv"),
        (
            {"role": "di", "inst": "2", "line": "1"},
            "line: a unit of role di takes instruments alone: use the column inst (found '1')",
        ),
        (
            {"role": "headphones", "inst": "2"},
            "inst: a unit of role headphones has no inputs of these kinds (found '2')",
        ),
        (
            {"role": "preamp", "word_in": "1"},
            "word_in: a unit of role preamp is analogue only; is it an expander? (found '1')",
        ),
        ({"trunk": "optical"}, "trunk: there is no such row in formats.csv (found 'optical')"),
        ({"rates_khz": "48;47"}, "rates_khz: must be a sample rate in kHz: 32, 44.1, 48, "),
        ({"rates_khz": ";"}, "rates_khz: must name at least one sample rate (found ';')"),
        ({"internal_clock": "maybe"}, "internal_clock: must be yes or no (found 'maybe')"),
        (
            {"computer": "firewire"},
            "computer: must be usb, thunderbolt, pcie or network (found 'firewire')",
        ),
        ({"mic": "-1"}, "mic: must not be negative (found '-1')"),
        ({"mic": "1.5"}, "mic: must be a whole number from 0 to 1000 (found '1.5')"),
        ({"mic": "1001"}, "mic: must be a whole number from 0 to 1000 (found '1001')"),
        ({"mic": "eight"}, "mic: is not a number (found 'eight')"),
        ({"optical_in": "101"}, "optical_in: must be a whole number from 0 to 100"),
        ({"max_in_1x": "x"}, "max_in_1x: is not a number (found 'x')"),
        ({"watts": "100001"}, "watts: must be a number from 0 to 100000 with up to 6"),
        ({"price": "9.999"}, "price: has more decimals than GBP, which has 2"),
        ({"price": "nan"}, "price: is not a number (found 'nan')"),
        ({"id": "my box"}, "id: must be 1 to 64 letters, digits, '-', '_', '.' or '+'"),
    ],
)
def test_a_row_that_is_refused(tmp_path: Path, cells: dict[str, str], fault: str) -> None:
    found = device_faults(tmp_path, **cells)
    place = "devices.csv, row 2, "
    assert [line[: len(place + fault)] for line in found] == [place + fault]


def test_every_rule_that_a_row_breaks_is_told(tmp_path: Path) -> None:
    found = device_faults(
        tmp_path, role="clock", mic_line="8", inst="1", optical_2x="1", clock_in="coax;word"
    )
    assert [line.split(": ")[0].rpartition(" ")[2] for line in found] == [
        "optical_2x",
        "clock_in",
        "clock_in",
        "mic_line",
        "inst",
    ]


@pytest.mark.parametrize(
    "cells",
    [
        {"role": "clock", "word_out": "4"},
        {"role": "di", "inst": "2"},
        {"role": "preamp", "mic": "8", "inst": "2"},
        {"role": "expander"},
        {"role": "expander", "phantom_bank": "8", "mic": "4"},
        {"role": "either", "clock_in": "none"},
        {"internal_clock": "no"},
        {"phantom_bank": "4;2", "mic": "6"},
        {"optical_in": "1", "optical_out": "2", "optical_1x": "1/2", "optical_stereo": "2"},
        {"direct_out": "4", "mic": "4"},
        {"coax_in": "1", "coax_out": "2", "coax_2x": "2"},
        {"mic": "4", "line": "2", "analogue_4x": "6"},
        {"clock_in": "optical 2", "optical_in": "2"},
        {"clock_in": "word;coax;optical", "word_in": "1", "coax_in": "1", "optical_in": "1"},
    ],
)
def test_rows_at_the_edge_are_allowed(tmp_path: Path, cells: dict[str, str]) -> None:
    assert device(tmp_path, **cells).role == cells.get("role", "host")


def test_a_price_of_zero_is_a_price(tmp_path: Path) -> None:
    assert device(tmp_path, price="0") == replace(device(tmp_path), price=0)


def test_groups_of_sockets_are_twelve_at_most(tmp_path: Path) -> None:
    sockets = {"optical_in": "13", "optical_out": "13"}
    group = [f"optical in {n}/optical out {n}" for n in range(1, 14)]
    assert len(device(tmp_path, either=";".join(group[:12]), **sockets).either) == 12
    (fault,) = device_faults(tmp_path, either=";".join(group), **sockets)
    assert fault.endswith("either: names more than 12 groups (found '13')")


@pytest.mark.parametrize(("duplex", "outs", "sound"), [("yes", 1, False), ("no", 1, True)])
def test_a_trunk_of_both_ways_counts_its_sockets_once(
    tmp_path: Path, duplex: str, outs: int, sound: bool
) -> None:
    files = {
        "formats.csv": f"id,cable,channels_1x,duplex\nlong,net,16,{duplex}\n",
        "devices.csv": f"id,role,price,trunk,trunk_in,trunk_out\nbox,host,1,long,1,{outs}\n",
    }
    if sound:
        assert catalogue(tmp_path, files).devices["box"].trunk_out == outs
    else:
        (fault,) = faults_of(tmp_path, files)
        assert "trunk_out: stays blank for a duplex format" in fault


def test_a_price_may_be_a_range(tmp_path: Path) -> None:
    found = device(tmp_path, price="100-120")
    assert (found.price, found.least) == (12000, 10000)


def test_what_has_no_length_and_how_many_ways_there_are(tmp_path: Path) -> None:
    """A T-piece and a terminator have none; D-sub has 8 ways, others one if none is said."""
    rows = ("tee,tee,,1,,", "end,terminator,,1,,", "lead,analogue,1,1,jack-jack,")
    more = ("loom,analogue,1,1,jack-jack,4", "comb,analogue,1,1,dsub-jack,")
    text = "\n".join(("id,kind,length_m,price,ends,ways", *rows, *more, ""))
    found = catalogue(tmp_path, {"cables.csv": text}).cables
    lengths = {name: (cable.length_mm, cable.ways) for name, cable in found.items()}
    assert lengths["tee"][0] == lengths["end"][0] == 0
    assert [lengths[name] for name in ("lead", "loom", "comb")] == [
        (1000, 1),
        (1000, 4),
        (1000, 8),
    ]
    (fault,) = faults_of(tmp_path, {"cables.csv": "id,kind,length_m,price\nopt,optical,,1\n"})
    assert "length_m: must not be blank" in fault


FORMATS = "id,cable,channels_1x,channels_2x,channels_4x,duplex,note,label\n"


@pytest.mark.parametrize(
    ("rows", "fault"),
    [
        (("optical,net,16,,,,,",), "id: is a word of the program; take another"),
        (("long,optical,16,,,,,",), "cable: is a word of the program; take another"),
        (("long,net,,,,,,",), "channels_1x: carries no channels at any rate"),
        (("a,net,16,,,,,", "b,net,16,,,,,"), "cable: is the cable of another format; each"),
    ],
)
def test_a_format_that_is_refused(tmp_path: Path, rows: tuple[str, ...], fault: str) -> None:
    found = faults_of(tmp_path, {"formats.csv": FORMATS + "\n".join((*rows, ""))})
    assert any(fault in line for line in found)


def test_a_format_may_be_called_as_a_box_is_but_not_as_another_format(tmp_path: Path) -> None:
    files = {"formats.csv": FORMATS + "box,net,16,,,,,\n"}
    assert catalogue(tmp_path, files).formats["box"].label == "box"
    files = {"formats.csv": FORMATS + "a,net,16,,,,,\na,web,16,,,,,\n"}
    assert faults_of(tmp_path, files) == [
        "formats.csv, row 3, id: is taken already, by row 2 of formats.csv (found 'a')"
    ]


def test_a_row_whose_name_is_taken_is_told_that_alone(tmp_path: Path) -> None:
    rows = "id,role,price,optical_2x\nbox,host,1,\nbox,host,2,1\n"
    assert faults_of(tmp_path, {"devices.csv": rows}) == [
        "devices.csv, row 3, id: is taken already, by row 2 of devices.csv (found 'box')"
    ]


def test_rows_without_a_name_are_each_refused_for_that(tmp_path: Path) -> None:
    rows = "id,role,price\n,host,1\n,host,2\n"
    assert faults_of(tmp_path, {"devices.csv": rows}) == [
        "devices.csv, row 2, id: must not be blank",
        "devices.csv, row 3, id: must not be blank",
    ]


def test_a_format_may_live_at_one_class_alone(tmp_path: Path) -> None:
    """And says where its row comes from, if that is noted."""
    rows = "a,one,1,,,,a standard,Link A\nb,two,,2,,,,\nc,three,,,3,,,\n"
    found = catalogue(tmp_path, {"formats.csv": FORMATS + rows}).formats
    assert [found[name].channels for name in "abc"] == [(1, 0, 0), (0, 2, 0), (0, 0, 3)]
    assert [found[name].source for name in "ab"] == ["a standard", "the catalogue"]
    assert [found[name].label for name in "ab"] == ["Link A", "b"]
    assert [(found[n].clock, found[n].duplex, found[n].max_mm) for n in "ab"] == [
        (True, False, None),
        (True, False, None),
    ]


@pytest.mark.parametrize(("duplex", "way"), [("yes", "in"), ("no", "out")])
def test_in_a_group_a_socket_of_both_ways_stands_as_an_input(
    tmp_path: Path, duplex: str, way: str
) -> None:
    outs = "" if duplex == "yes" else "1"
    text = "id,role,price,trunk,trunk_in,trunk_out,optical_out,either\n"
    row = f"box,host,1,long,1,{outs},1,trunk out 1/optical out 1\n"
    files = {"formats.csv": f"{FORMATS}long,net,16,,,{duplex},,\n", "devices.csv": text + row}
    (group,) = catalogue(tmp_path, files).devices["box"].either
    assert group == (SocketRef("trunk", way, 1), SocketRef("optical", "out", 1))  # type: ignore[arg-type]


@pytest.mark.parametrize(("ways", "sound"), [("8", True), ("4", False), ("", True)])
def test_a_d_sub_connector_has_eight_ways(tmp_path: Path, ways: str, sound: bool) -> None:
    text = f"id,kind,length_m,price,ends,ways\ncomb,analogue,1,1,dsub-jack,{ways}\n"
    files = {"cables.csv": text}
    if sound:
        assert catalogue(tmp_path, files).cables["comb"].ways == 8
    else:
        assert "ways: a D-sub connector has 8 channels" in faults_of(tmp_path, files)[0]
        bare = {"cables.csv": text.replace("dsub-jack", "")}
        assert "ends: must not be blank for an analogue cable" in faults_of(tmp_path, bare)[0]
