"""Which sockets of a unit work together, who leads the clocks, and how sums are rounded."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from rigopt.catalogue.types import Device, SocketRef
from rigopt.facts import Format
from rigopt.rig.orders import half_up
from rigopt.rig.sockets import modes, sockets
from rigopt.rig.types import ClockSetting, Rig, Unit, roots
from tests.rig.link_worlds import BOTH, STILL
from tests.rig.rig_builders import INTERNAL, TICK
from tests.world import ALL

COAX = SocketRef("coax", "in", 1)
LIGHT = SocketRef("optical", "in", 1)
OUT = SocketRef("optical", "out", 1)
DEAD = SocketRef("optical", "in", 2)


def box(**changes: Any) -> Device:
    two: dict[str, Any] = {"optical_in": 1, "optical_out": 1, "coax_in": 1}
    return Device("box", "", "host", 1, mic=2, rates_hz=ALL, **two, **changes)


@pytest.mark.parametrize(
    ("either", "found"),
    [
        ((), [{COAX, LIGHT, OUT}]),
        (((COAX, LIGHT),), [{COAX, OUT}, {LIGHT, OUT}]),
        # A socket that is not there, or dead, takes nothing from the others.
        (((COAX, DEAD),), [{COAX, LIGHT, OUT}]),
        (((COAX, LIGHT, DEAD),), [{COAX, OUT}, {LIGHT, OUT}]),
        # Of two groups with one socket in both either that works, or one of each.
        (((COAX, LIGHT), (LIGHT, OUT)), [{LIGHT}, {COAX, OUT}]),
    ],
)
def test_of_sockets_that_share_something_one_works(either: Any, found: list[set[Any]]) -> None:
    device = box(either=either)
    assert sorted(map(sorted, modes(device, sockets(device, 48000)))) == sorted(
        map(sorted, found)
    )


def test_a_converter_stands_behind_inputs_of_its_kind() -> None:
    live = sockets(box(rate_converter=("optical",)), 48000)
    assert {socket.ref: socket.converts for socket in live} == {
        COAX: False,
        LIGHT: True,
        OUT: False,
    }


def test_who_leads_the_clocks() -> None:
    """One leads two, one itself; one has no clock, one hangs on it, and two on each other."""
    before = {
        "a": INTERNAL,
        "b": ClockSetting("word", 1, "a"),
        "c": ClockSetting("word", 1, "b"),
        "d": INTERNAL,
        "e": None,
        "f": ClockSetting("word", 1, "e"),
        "g": ClockSetting("word", 1, "h"),
        "h": ClockSetting("word", 1, "g"),
    }
    units = tuple(Unit(name, TICK, "clock", clock) for name, clock in before.items())
    lost = dict.fromkeys("fgh")
    assert roots(units) == {"a": "a", "b": "a", "c": "a", "d": "d", **lost}
    rig = Rig(48000, units, (), (), (), 2, 0)
    assert [unit.name for unit in rig.masters] == ["a", "d"]
    # That of the first host; where its chain ends in none, the first there is.
    for name, leader in (("c", "a"), ("d", "d"), ("g", "a")):
        hosts = tuple(replace(u, role="host") if u.name == name else u for u in units)
        assert replace(rig, units=hosts).master.name == leader


@pytest.mark.parametrize("row", [BOTH, STILL])
def test_a_unit_locks_to_no_trunk_without_clock(row: Format) -> None:
    device = Device("box", "", "host", 1, trunk=row, trunk_in=1, clock_in=("trunk",))
    assert [socket.locks for socket in sockets(device, 48000)] == [row.clock]
    # At 4x one of these two formats has no channels.
    assert len(sockets(device, 192000)) == (row is STILL)


@pytest.mark.parametrize(
    ("tenths", "whole"), [(0, 0), (4, 0), (5, 1), (14, 1), (15, 2), (16, 2), (25, 3)]
)
def test_half_a_unit_is_rounded_up(tenths: int, whole: int) -> None:
    assert half_up(Fraction(tenths, 10)) == whole
