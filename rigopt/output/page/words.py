"""What the picture says of a unit and of a cable, in words."""

from __future__ import annotations

from rigopt.output.facts.sockets import free_sockets
from rigopt.output.words.phrases import count, listed, runs
from rigopt.output.words.wiring import ends, starts
from rigopt.rig.types import Link, Rig, Unit


def load_lines(link: Link) -> tuple[str, ...]:
    """The load above and below the line: ('audio 8 ch', '+ clock')."""
    if "audio" not in link.carries:
        return ("clock only",)
    return (f"audio {link.channels} ch", *(["+ clock"] if "clock" in link.carries else []))


def clock_line(unit: Unit) -> str:
    """'clock master' or the socket that the unit is locked to."""
    if unit.clock is None:
        return "needs no clock"
    if unit.clock.source == "internal":
        return "clock master"
    return f"clock: {unit.clock.source} in {unit.clock.socket}"


def free_told(unit: Unit, rig: Rig) -> str:
    """The sockets that work at the rate and have no cable: 'optical in 2–4, word out 1'."""
    return ", ".join(
        f"{one.kind} {one.way.removesuffix('put')} {runs(one.free)}"
        for one in free_sockets([unit], rig.links, rig.rate_hz)
        if one.free
    )


def unit_told(unit: Unit, rig: Rig) -> str:
    """Everything of a unit, in full."""
    free = free_told(unit, rig)
    return f"{unit.name}: {unit.device.label or unit.device.id}; {clock_line(unit)}" + (
        f"; free: {free}" if free else ""
    )


def cable_told(number: int, link: Link) -> str:
    """A cable in full: both sockets, its direction and its load."""
    sound = f"{count(link.channels, 'channel')} of audio"
    load = listed([sound if part == "audio" else part for part in link.carries])
    return (
        f"Cable {number}: {link.format.label}, from {starts(link)} to {ends(link)}, "
        f"carries {load}"
    )
