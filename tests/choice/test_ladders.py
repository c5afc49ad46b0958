"""The steps in which a fact of a row is made weaker, each written down by hand."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from rigopt.catalogue.types import Device, InOut, SocketRef
from rigopt.needs.types import Needs
from rigopt.optimiser.questions.checks.weaker import Ladder, ladders
from tests.rig.link_worlds import BOTH as TRUNK

OPTICAL, COAX, WORD = (SocketRef(kind, "in", 1) for kind in ("optical", "coax", "word"))
OUT, WORD_OUT = SocketRef("optical", "out", 1), SocketRef("word", "out", 1)
FULL = Device(
    "full",
    "host or expander with all there is",
    "either",
    30_000,
    mic_line=6,
    line=2,
    phantom_bank=2,
    line_out=2,
    phones=1,
    direct_out=2,
    optical_in=2,
    optical_out=1,
    optical_2x=1,
    optical_stereo=1,
    coax_in=1,
    coax_2x=1,
    word_in=1,
    word_out=1,
    clock_in=("optical", WORD),
    rate_converter=("coax",),
    rates_hz=(48_000, 96_000),
    analogue_2x=4,
    max_in_2x=3,
    rack_units=1,
    mains=1,
    computer="usb",
)
SLOW, FAST = Needs(mic=8), Needs(mic=8, rate_hz=96_000, ports=("usb", "pcie"))


def steps(device: Device, needs: Needs, *used: SocketRef) -> list[tuple[str, str, list[str]]]:
    """Each ladder: column, what it says now, and what its steps say."""
    found = ladders(device, needs, [frozenset(used)] if used else [])
    return [(one.column, one.now, [said for said, _ in one.steps]) for one in found]


def of(device: Device, needs: Needs, column: str) -> Ladder:
    (found,) = [one for one in ladders(device, needs, []) if one.column == column]
    return found


def test_every_fact_of_a_row_at_48_khz() -> None:
    """26 inputs are the most it could show: 8 of its own, 2 of coax, 16 of two light-pipes."""
    assert steps(FULL, SLOW) == [
        ("mic_line", "6", ["5", "4", "3", "2", "1", "0"]),
        ("line", "2", ["1", "0"]),
        ("line_out", "2", ["1", "0"]),
        ("direct_out", "2", ["1", "0"]),
        ("phones", "1", ["0"]),
        ("optical_in", "2", ["1", "0"]),
        ("optical_out", "1", ["0"]),
        ("coax_in", "1", ["0"]),
        ("word_in", "1", ["0"]),
        ("word_out", "1", ["0"]),
        ("phantom_bank", "2", ["4", "6", "0"]),
        ("rates_khz", "48", ["not that"]),
        ("role", "either", ["host"]),
        ("role", "either", ["expander"]),
        ("direct_plug", "jack", ["xlr"]),
        ("direct_plug", "jack", ["dsub"]),
        ("line_plug", "jack", ["xlr"]),
        ("line_plug", "jack", ["dsub"]),
        ("rack_units", "1", ["2"]),
        ("mains", "1", ["2"]),
        ("optical_1x", "2/1", ["1/1", "0/1"]),
        ("optical_1x", "2/1", ["2/0"]),
        ("optical_stereo", "1", ["0"]),
        ("max_in_1x", "all", [str(n) for n in range(25, -1, -1)]),
        ("clock_in", "optical", ["none"]),
        ("clock_in", "word 1", ["none"]),
        ("rate_converter", "coax", ["none"]),
        ("internal_clock", "yes", ["no"]),
        ("word_end", "switch", ["fixed"]),
        ("word_end", "switch", ["none"]),
    ]


def test_what_counts_at_96_khz_alone() -> None:
    slow = {(column, now) for column, now, _ in steps(FULL, SLOW)}
    fast = steps(FULL, FAST)
    assert [one for one in fast if one[:2] not in slow] == [
        ("rates_khz", "96", ["not that"]),
        ("computer", "usb", ["thunderbolt"]),
        ("optical_2x", "1/1", ["0/1"]),
        ("optical_2x", "1/1", ["1/0"]),
        ("coax_2x", "1", ["0"]),
        ("analogue_2x", "4", ["3", "2", "1", "0"]),
        ("max_in_2x", "3", ["2", "1", "0"]),
    ]


@pytest.mark.parametrize(
    ("changes", "column", "said"),
    [
        ({"phantom_bank": (4, 2)}, "phantom_bank", ("4;2", ["6", "0"])),
        ({"phantom_bank": 1}, "phantom_bank", ("1", ["2", "4", "6", "0"])),
        ({"phantom_bank": 6}, "phantom_bank", ("6", ["0"])),
        ({"optical_1x": InOut(1, 0)}, "optical_1x", ("1/0", ["0/0"])),
        ({"optical_in": 0, "optical_out": 3}, "optical_1x", ("0/3", ["0/2", "0/1", "0/0"])),
        ({"optical_in": 0}, "optical_stereo", ("1", ["0"])),
        ({"optical_stereo": 9}, "optical_stereo", ("2", ["1", "0"])),
        ({"max_in_1x": 40, "trunk": TRUNK, "trunk_in": 1}, "max_in_1x", ("40", 38)),
        ({"role": "host", "optical_in": 0, "coax_in": 0}, "max_in_1x", ("all", 8)),
        ({"role": "headphones", "line_in": 14}, "line_in", ("14", ["15", "16"])),
        ({"role": "di", "mic_line": 0, "line": 0}, "di_phantom", ("no", ["yes"])),
    ],
)
def test_a_row_by_itself(changes: dict[str, Any], column: str, said: tuple[str, Any]) -> None:
    """A number stands for all below it; a trunk of 12 channels adds them to 26."""
    now, below = said
    wanted = [str(n) for n in range(below - 1, -1, -1)] if isinstance(below, int) else below
    found = of(replace(FULL, **changes), SLOW, column)
    assert (found.now, [said for said, _ in found.steps]) == (now, wanted)


@pytest.mark.parametrize(
    ("changes", "column"),
    [
        ({"phantom_bank": 0}, "phantom_bank"),
        ({"mic_line": 0}, "phantom_bank"),
        ({"role": "host"}, "role"),
        ({"role": "expander"}, "max_in_1x"),
        ({"optical_stereo": 0}, "optical_stereo"),
        ({"direct_out": 0}, "direct_plug"),
        ({"mic_line": 0, "line": 0}, "line_plug"),
        ({"internal_clock": False}, "internal_clock"),
        ({"word_in": 0}, "word_end"),
        ({"word_end": "fixed"}, "word_end"),
        ({"rates_hz": (44_100,)}, "rates_khz"),
        ({"role": "preamp"}, "rates_khz"),
        ({"role": "preamp"}, "clock_in"),
        ({"role": "di", "di_phantom": True}, "di_phantom"),
        ({}, "computer"),
        ({}, "either"),
    ],
)
def test_what_is_no_fact_has_no_steps(changes: dict[str, Any], column: str) -> None:
    assert column not in {one.column for one in ladders(replace(FULL, **changes), SLOW, [])}


@pytest.mark.parametrize(
    ("changes", "column"), [({"coax_2x": 0}, "coax_2x"), ({"role": "expander"}, "computer")]
)
def test_what_is_no_fact_at_96_khz_has_no_steps(changes: dict[str, Any], column: str) -> None:
    assert column in {one.column for one in ladders(FULL, FAST, [])}
    assert column not in {one.column for one in ladders(replace(FULL, **changes), FAST, [])}


def test_sockets_in_use_that_may_share_one_receiver() -> None:
    """Inputs with inputs; an input and an output only where both are of word clock."""
    used = (OPTICAL, COAX, WORD, OUT, WORD_OUT)
    found = [one for one in steps(FULL, SLOW, *used) if one[0] == "either"]
    assert found == [
        ("either", "none", ["coax in 1/optical in 1"]),
        ("either", "none", ["coax in 1/word in 1"]),
        ("either", "none", ["optical in 1/word in 1"]),
        ("either", "none", ["optical out 1/word out 1"]),
        ("either", "none", ["word in 1/word out 1"]),
    ]
    group = replace(FULL, either=((OPTICAL, OUT),))
    ladder = ladders(group, SLOW, [frozenset((OPTICAL, COAX))])[-1]
    assert ladder.at(0).either == ((OPTICAL, OUT), (COAX, OPTICAL))
    assert (ladder.says(-1), ladder.says(0)) == ("none", "coax in 1/optical in 1")


def test_what_hangs_on_a_cell_follows_it() -> None:
    row = replace(FULL, phantom_bank=(4, 2), direct_out=6, either=((OPTICAL, COAX),))
    fewer = of(row, SLOW, "mic_line")
    assert [fewer.at(step).phantom_bank for step in range(6)] == [
        *((4, 1), (4,), (3,), (2,), (1,), 0)
    ]
    assert [fewer.at(step).direct_out for step in range(6)] == [5, 4, 3, 2, 1, 0]
    three = replace(row, phantom_bank=(1, 2, 3))
    assert of(three, SLOW, "mic_line").at(0).phantom_bank == (1, 2, 2)
    assert of(FULL, SLOW, "mic_line").at(0).phantom_bank == 2
    assert fewer.at(0).either == ((OPTICAL, COAX),)
    assert of(row, SLOW, "coax_in").at(0).either == ()
    assert of(row, SLOW, "word_in").at(0).clock_in == ("optical",)
    assert of(row, SLOW, "optical_in").at(0).clock_in == ("optical", WORD)
    clocks = [one.at(0).clock_in for one in ladders(row, SLOW, []) if one.column == "clock_in"]
    assert clocks == [(WORD,), ("optical",)]
    rates = of(row, SLOW, "rates_khz")
    assert rates.at(0).rates_hz == (96_000,)
    assert (of(row, SLOW, "internal_clock").at(0).internal_clock) is False
    assert of(replace(FULL, role="di"), SLOW, "di_phantom").at(0).di_phantom is True
