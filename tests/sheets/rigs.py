"""Rigs for the sheets: of one box, of many, at high rates, with names that bite."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

from rigopt.catalogue.types import Cable, Device
from rigopt.needs.types import SourceLine
from rigopt.rig.links import derive_links
from rigopt.rig.numbering import derive_inputs
from rigopt.rig.types import ClockSetting, Rig, Unit
from tests.wires import wire

DESK = Device(
    "desk",
    "Desk interface",
    "host",
    mic_line_inst=2,
    mic_line=6,
    phantom_bank=4,
    line_out=2,
    optical_in=4,
    optical_out=4,
    optical_2x=4,
    optical_4x=4,
    coax_in=1,
    coax_out=1,
    word_in=1,
    rack_units=1,
    watts=Decimal(12),
)
PRE = Device(
    "pre",
    "Preamp expander",
    "expander",
    mic_line=8,
    phantom_bank=8,
    line_out=8,
    optical_in=2,
    optical_out=1,
    optical_2x=2,
    optical_4x=2,
    coax_in=1,
    word_in=1,
    rack_units=1,
    watts=Decimal(20),
)
TICK = Device("tick", "Word-clock generator", "clock", word_out=4)
OPT = Cable("opt-1m", "Optical lead, 1 m", "optical", 1000)
LONG = Cable("opt-8m", "Optical lead, 8 m", "optical", 8000)
BNC = Cable("bnc", "", "word", 1000)

INTERNAL = ClockSetting("internal")
HOSTILE = "<b>&\"'\N{PILE OF POO}\x1b[31m=1+1 " + "x" * 200


def made(units: Any, wires: Any, rate_hz: int = 48000, uses: Any = ()) -> Rig:
    """`uses`: use and source by computer input."""
    links = derive_links(units, wires, rate_hz)
    inputs = tuple(
        replace(i, use=dict(uses)[i.computer_input][0], source=dict(uses)[i.computer_input][1])
        if i.computer_input in dict(uses)
        else i
        for i in derive_inputs(units, links, rate_hz)
    )
    return Rig(rate_hz, tuple(units), links, inputs, (), 1, 0)


def lone(**changes: Any) -> Rig:
    device = replace(DESK, phantom_bank=0, **changes)
    return made([Unit("host-1", device, "host", INTERNAL)], [])


def two(rate_hz: int = 48000, cable: Cable | None = OPT, name: str = "expander-1") -> Rig:
    """Host as master, one expander both ways, everything in use."""
    units = [
        Unit("host-1", DESK, "host", INTERNAL),
        Unit(name, PRE, "expander", ClockSetting("optical", 1, "host-1"), False, (1,)),
    ]
    wires = [
        wire("optical", name, 1, "host-1", 1, cable),
        wire("optical", "host-1", 1, name, 1, cable),
    ]
    uses = dict.fromkeys((1, 2, 4, 11, 12), ("mic", None))
    return made(units, wires, rate_hz, uses)


def clocked() -> Rig:
    """A word-clock generator, two hosts and an expander; the second host stands alone."""
    units = [
        Unit("host-1", DESK, "host", ClockSetting("word", 1, "clock-1"), False, (1, 2)),
        Unit("host-2", DESK, "host", ClockSetting("word", 1, "clock-1")),
        Unit("expander-1", PRE, "expander", ClockSetting("word", 1, "clock-1"), True, (1,)),
        Unit("clock-1", TICK, "clock", INTERNAL),
    ]
    wires = [
        wire("optical", "expander-1", 1, "host-1", 2, LONG),
        *(
            wire("word", "clock-1", n, name, 1, BNC)
            for n, name in enumerate(("host-1", "host-2", "expander-1"), start=1)
        ),
        wire("coax", "host-1", 1, "expander-1", 1, None),
    ]
    return made(units, wires)


LIST = (
    SourceLine("Kick"),
    SourceLine("Overhead L", "mic", "on", "Overheads"),
    SourceLine("Overhead R", "mic", "on", "Overheads"),
    SourceLine("Bass", "instrument"),
)


def named(kick: int = 11, left: int = 2, right: int = 3, bass: int = 1) -> Rig:
    units = list(two().units)
    uses = {
        kick: ("mic", "Kick"),
        left: ("mic", "Overhead L"),
        right: ("mic", "Overhead R"),
        bass: ("instrument", "Bass"),
    }
    wires = [
        wire("optical", "expander-1", 1, "host-1", 1, OPT),
        wire("optical", "host-1", 1, "expander-1", 1, OPT),
    ]
    units[0] = replace(units[0], phantom_banks_on=(1,))
    return made(units, wires, uses=uses)
