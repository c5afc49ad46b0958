"""What the picture says of a unit and of a cable, in words."""

from __future__ import annotations

from rigopt.facts import KINDS
from rigopt.output.words.phrases import count, listed, runs
from rigopt.rig.types import Link, Rig, Unit


def load_lines(link: Link) -> tuple[str, ...]:
    """The load above and below the line: ('audio 8 ch', '+ clock')."""
    if "audio" not in link.carries:
        return ("clock only",)
    return (f"audio {link.channels} ch", *(["+ clock"] if "clock" in link.carries else []))


def clock_line(unit: Unit) -> str:
    """'clock master' or the socket that the unit is locked to."""
    if unit.clock.source == "internal":
        return "clock master"
    return f"clock: {unit.clock.source} in {unit.clock.socket}"


def free_sockets(unit: Unit, rig: Rig) -> str:
    """The sockets that work at the rate and have no cable: 'optical in 2–4, word out 1'."""
    found = []
    for kind in KINDS:
        for way, total in (
            ("in", unit.device.live_in(kind, rig.rate_hz)),
            ("out", unit.device.live_out(kind, rig.rate_hz)),
        ):
            free = set(range(1, total + 1)) - _used(unit, rig, kind, way)
            if free:
                found.append(f"{kind} {way} {runs(free)}")
    return ", ".join(found)


def unit_told(unit: Unit, rig: Rig) -> str:
    """Everything of a unit, in full."""
    free = free_sockets(unit, rig)
    return f"{unit.name}: {unit.device.label or unit.device.id}; {clock_line(unit)}" + (
        f"; free: {free}" if free else ""
    )


def cable_told(number: int, link: Link) -> str:
    """A cable in full: both sockets, its direction and its load."""
    sound = f"{count(link.channels, 'channel')} of audio"
    load = listed([sound if part == "audio" else part for part in link.carries])
    return (
        f"Cable {number}: {link.kind}, from {link.from_unit} out {link.from_socket} "
        f"to {link.to_unit} in {link.to_socket}, carries {load}"
    )


def _used(unit: Unit, rig: Rig, kind: str, way: str) -> set[int]:
    if way == "in":
        return {
            link.to_socket
            for link in rig.links
            if link.to_unit == unit.name and link.kind == kind
        }
    return {
        link.from_socket
        for link in rig.links
        if link.from_unit == unit.name and link.kind == kind
    }
