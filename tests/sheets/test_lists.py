"""The input list as CSV, what gave way, and the wiring in plain text."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from typing import Any

import pytest
from wcwidth import width

from rigopt.needs.types import Needs
from rigopt.output.data.input_list import COLUMNS, input_list_csv
from rigopt.output.terminal.sketch import sketch
from rigopt.output.words.inputs import gave_way_lines
from rigopt.rig.audit.sources import check_sources
from rigopt.rig.types import ClockSetting, Rig, Unit
from rigopt.rig.wishes import GaveWay, gave_way
from tests.sheets.rigs import (
    DESK,
    HOSTILE,
    INTERNAL,
    LIST,
    PRE,
    clocked,
    lone,
    made,
    named,
    two,
)
from tests.wires import wire


def rows(rig: Rig, sources: Any = (), **asked: Any) -> list[list[str]]:
    text = input_list_csv(rig, Needs(sources=sources, **asked))
    assert text.count("\n") == text.count("\r\n")
    return list(csv.reader(io.StringIO(text, newline="")))


def test_sources_in_the_order_of_the_list_then_spares() -> None:
    found = rows(named(), LIST)
    assert found[0] == list(COLUMNS)
    late = "on a lower input than a source listed before it"
    jack = "48 V is on: only a jack plug may go in"
    even = "its pair begins on an even channel"
    assert [row[:8] + row[-1:] for row in found[1:5]] == [
        ["1", "Kick", "expander-1", "1", "11", "mic", "on", "", ""],
        ["2", "Overhead L", "host-1", "2", "2", "mic", "on", "", f"{even}; {late}"],
        ["3", "Overhead R", "host-1", "3", "3", "mic", "on", "", f"{even}; {late}"],
        ["4", "Bass", "host-1", "1", "1", "instrument", "on", "", f"{jack}; {late}"],
    ]
    assert found[5] == ["", "spare", "host-1", "4", "4", "mic or line", "on", *[""] * 4]
    assert len(found) == 1 + len(named().inputs)


def test_without_a_list_in_the_computers_order() -> None:
    found = rows(two())
    assert [row[0:1] + row[4:6] for row in found[1:7]] == [
        ["1", "1", "mic"],
        ["2", "2", "mic"],
        ["3", "4", "mic"],
        ["4", "11", "mic"],
        ["5", "12", "mic"],
        ["", "3", "mic or line"],
    ]


def test_48_v_is_on_or_off_in_each_row() -> None:
    """Bank 1 of the expander is on; its channels are 11 and up."""
    assert {row[4]: row[6] for row in rows(two())[1:5]} == {
        **{"1": "off", "2": "off", "4": "off", "11": "on"},
    }


def test_without_a_list_each_microphone_says_what_it_asks() -> None:
    """Inputs 11 and 12 have 48 V, 1, 2 and 4 have none; so the list can be read back."""
    found = rows(two(), mic=5, phantom=1, no_phantom=2)
    assert {row[4]: row[8] for row in found[1:7]} == {
        "1": "off",
        "2": "off",
        "4": "any",
        "11": "on",
        "12": "any",
        "3": "",
    }


def test_names_are_harmless_in_a_spreadsheet() -> None:
    bad = replace(LIST[0], name="=1+1\r\n@x")
    rig = named()
    inputs = tuple(replace(i, source=bad.name) if i.source == "Kick" else i for i in rig.inputs)
    found = rows(replace(rig, inputs=inputs), (bad, *LIST[1:]))
    assert found[1][1] == "'=1+1 @x"
    assert len(found) == 1 + len(rig.inputs)


# --- what gave way ---------------------------------------------------------------------


def test_nothing_gives_way_in_a_good_seating_or_without_a_list() -> None:
    good = named(kick=1, left=3, right=4, bass=11)
    assert gave_way(good, LIST) == ()
    assert gave_way_lines(good, LIST) == []
    assert gave_way(two(), ()) == ()
    assert gave_way(two(), LIST) == ()


def test_each_wish_is_told() -> None:
    assert gave_way(named(), LIST) == (
        GaveWay("odd", ("Overheads",)),
        GaveWay("order", ("Overhead L", "Overhead R", "Bass")),
    )
    apart = replace(named(left=2, right=4, kick=1, bass=11), split_pairs=("Overheads",))
    assert gave_way(apart, LIST) == (GaveWay("pair", ("Overheads",)),)
    assert gave_way_lines(apart, LIST) == [
        "No two free channels in a row would do for Overheads: not side by side."
    ]
    assert "not side by side with its pair" in rows(apart, LIST)[2][-1]


def test_the_audit_takes_a_split_only_where_the_rig_tells_it() -> None:
    needs = Needs(sources=LIST)
    apart, together = named(left=2, right=4), named()
    rules = [
        [f.rule for f in check_sources(rig.inputs, needs, split)]
        for rig, split in (
            (apart, ()),
            (apart, ("Overheads",)),
            (together, ()),
            (together, ("Overheads",)),
        )
    ]
    assert rules == [["pair"], [], [], ["pair"]]


# --- the wiring ------------------------------------------------------------------------


def test_the_wiring_tells_direction_load_and_master() -> None:
    assert sketch(clocked()).splitlines() == [
        "1  expander-1 out 1 --- optical: 8 ch audio --> host-1 in 2",
        "2  clock-1* out 1   --- word: clock alone ----> host-1 in 1",
        "3  clock-1* out 2   --- word: clock alone ----> host-2 in 1",
        "4  clock-1* out 3   --- word: clock alone ----> expander-1 in 1",
        "5  host-1 out 1     --- coax: 2 ch audio -----> expander-1 in 1",
        "* clock master",
    ]
    assert "--- optical: 8 ch audio and clock --> expander-1 in 1" in sketch(two())
    assert sketch(lone()) == "There is no cable to draw."


def sixteen_units(name: str = "expander-{}") -> Rig:
    """Fifteen expanders on one host, both ways."""
    host = replace(DESK, optical_in=15, optical_out=15)
    units = [Unit("host-1", host, "host", INTERNAL)]
    wires = []
    for n in range(1, 16):
        here = name.format(n)
        units.append(Unit(here, PRE, "expander", ClockSetting("optical", 1, "host-1")))
        wires += [wire("optical", here, 1, "host-1", n), wire("optical", "host-1", n, here, 1)]
    return made(units, wires)


def test_sixteen_units_fit_eighty_columns() -> None:
    lines = sketch(sixteen_units()).splitlines()
    assert len(lines) == 31
    assert max(map(width, lines)) <= 80
    assert "29  expander-15 out 1" in lines[28]
    assert len({line.index("--- ") for line in lines[:-1]}) == 1
    assert len({line.index("--> ") for line in lines[:-1]}) == 1


@pytest.mark.parametrize("bad", [HOSTILE, "\N{PILE OF POO}" * 99, "=cmd|' /C calc'!A0\t\x07"])
def test_any_name_fits_and_does_no_harm(bad: str) -> None:
    text = sketch(sixteen_units("{}" + bad))
    assert max(map(width, text.splitlines())) <= 80
    assert len(text.splitlines()) == 31
    assert all(char.isprintable() for char in text if char != "\n")
