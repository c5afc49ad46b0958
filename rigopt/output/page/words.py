"""What the picture says of a unit and of a cable, in words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from rigopt.output.facts.cables import Bundle, is_line
from rigopt.output.facts.clocks import clock_goes_back
from rigopt.output.facts.sockets import Sockets, free_sockets
from rigopt.output.words.phrases import count, labelled, listed, runs
from rigopt.output.words.wiring import both_ways, clockless, ends, ins, outs, starts
from rigopt.rig.types import Rig, Unit

_ANALOGUE: Final = {
    "preamp": "analogue preamp",
    "di": "DI box",
    "headphones": "headphone amplifier",
}


def load_lines(bundle: Bundle, units: Sequence[Unit]) -> tuple[str, ...]:
    """The load above and below the line: ('audio 8 ch', '+ clock'); its cables if analogue."""
    link = bundle.first
    if is_line(link):
        return f"line {len(bundle.links)} ch", _named(bundle)
    if "audio" not in link.carries:
        return ("clock only",)
    there = f"audio {link.channels} ch" if link.channels else ""
    back = f"{link.back} ch back" if link.back else ""
    clock = "+ clock back" if clock_goes_back(link, units) else "+ clock"
    audio = ", ".join(part for part in (there, back) if part)
    return (audio, *([clock] if "clock" in link.carries else []))


def _named(bundle: Bundle) -> str:
    """'cable 3', 'cables 3–6'."""
    return f"{'cable' if len(bundle.numbers) == 1 else 'cables'} {runs(bundle.numbers)}"


def clock_line(unit: Unit) -> str:
    """'clock master', or the socket that it is locked to; of an analogue unit, what it is."""
    if clockless(unit):
        return _ANALOGUE[unit.role]
    if unit.clock is None:
        return "needs no clock"
    if unit.clock.source == "internal":
        return "clock master"
    way = "socket" if both_ways(unit, unit.clock.source) else "in"
    return f"clock: {unit.clock.source} {way} {unit.clock.socket}"


def free_told(unit: Unit, rig: Rig) -> str:
    """The sockets that work at the rate and have no cable: 'optical in 2–4, word out 1'."""
    return ", ".join(
        f"{one.kind} {_way(unit, one)} {runs(one.free)}"
        for one in free_sockets([unit], rig.links, rig.rate_hz)
        if one.free
    )


def _way(unit: Unit, one: Sockets) -> str:
    return "socket" if both_ways(unit, one.kind) else one.way.removesuffix("put")


def unit_told(unit: Unit, rig: Rig) -> str:
    """Everything of a unit, in full."""
    free = free_told(unit, rig)
    return f"{unit.name}: {labelled(unit.device.id, unit.device.label)}; {clock_line(unit)}" + (
        f"; free: {free}" if free else ""
    )


def cable_told(bundle: Bundle, units: Sequence[Unit]) -> str:
    """A cable in full: both sockets, its direction and its load."""
    link, cables = bundle.first, _named(bundle).capitalize()
    if is_line(link):
        start, end = listed(outs(bundle.links)), listed(ins(bundle.links))
        each = count(len(bundle.links), "channel")
        return f"{cables}: {link.format.label}, from {start} to {end}, carries {each}"
    clock_back = clock_goes_back(link, units)
    load = [f"{count(link.channels, 'channel')} of audio"] if link.channels else []
    load += [f"{count(link.back, 'channel')} back"] if link.back else []
    load += ["clock back" if clock_back else "clock"] if "clock" in link.carries else []
    return (
        f"{cables}: {link.format.label}, from {starts(link)} to {ends(link)}, "
        f"carries {listed(load)}"
    )
