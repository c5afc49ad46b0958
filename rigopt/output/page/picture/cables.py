"""What is said of a cable and of a unit's clock in the picture."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from rigopt.output.facts.cables import Bundle, is_line
from rigopt.output.facts.clocks import clock_goes_back, goes_back, goes_there
from rigopt.output.page.picture.marks import Mark, Marks
from rigopt.output.page.picture.types import Box, Load, Wire
from rigopt.output.words.phrases import count, entry, listed, metres, runs
from rigopt.output.words.wiring import (
    both_ways,
    clockless,
    end_sockets,
    ends,
    ins,
    outs,
    start_socket,
    start_sockets,
    starts,
)
from rigopt.rig.types import Link, Rig, Unit

_PARTS: Final = {"di": "DI box", "headphones": "headphone amplifier"}


def wire(bundle: Bundle, rig: Rig, marks: Marks, at: str | None) -> Wire:
    """A cable whose left end is at the unit `at`; None: it comes in at its end, from a lane."""
    link, units = bundle.first, rig.units
    starts_here = at is not None and at != link.to_unit
    there, back = goes_there(link, units), goes_back(link, units)
    left, right = (back, there) if starts_here or at is None else (there, back)
    near = start_sockets(bundle) if starts_here or at is None else end_sockets(bundle)
    found: list[Mark] = []
    for number in bundle.numbers:
        found += [mark for mark in marks.cables.get(number, ()) if mark not in found]
    return Wire(
        runs(bundle.numbers),
        load(link),
        left,
        right,
        f"{link.after or link.from_unit} {near}" if at is None else near,
        link.format.label,
        metres(link.cable.length_mm) if link.cable and link.cable.length_mm else "",
        _fitted(link),
        _carries(bundle, units),
        told(bundle, units),
        tuple(found),
    )


def sending(found: Sequence[Bundle]) -> str:
    """The sockets of one kind at which cables begin: 'word out 2–3, 5'."""
    links = [link for bundle in found for link in bundle.links]
    socket = start_socket(links[0])
    if links[0].after is not None:
        return socket
    return f"{socket.rpartition(' ')[0]} {runs({link.from_socket for link in links})}"


def load(link: Link) -> Load:
    """What it carries, which is also its style of line."""
    if is_line(link):
        return "analogue"
    if "audio" not in link.carries:
        return "clock"
    return "both" if "clock" in link.carries else "audio"


def box(unit: Unit, marks: Marks) -> Box:
    """The head of a unit."""
    master = unit.clock is not None and unit.clock.source == "internal"
    return Box(
        unit.name,
        _part(unit),
        entry(unit.device.id, unit.device.label),
        _clock(unit),
        master,
        tuple(marks.units.get(unit.name, ())),
    )


def told(bundle: Bundle, units: Sequence[Unit]) -> str:
    """A cable in full: both sockets, its direction and its load."""
    link = bundle.first
    word = "Cable" if len(bundle.numbers) == 1 else "Cables"
    cables = f"{word} {runs(bundle.numbers)}"
    if is_line(link):
        start, end = listed(outs(bundle.links)), listed(ins(bundle.links))
        each = count(len(bundle.links), "channel")
        return f"{cables}: {link.format.label}, from {start} to {end}, carries {each}"
    clock_back = clock_goes_back(link, units)
    parts = [f"{count(link.channels, 'channel')} of audio"] if link.channels else []
    parts += [f"{count(link.back, 'channel')} back"] if link.back else []
    parts += ["clock back" if clock_back else "clock"] if "clock" in link.carries else []
    return (
        f"{cables}: {link.format.label}, from {starts(link)} to {ends(link)}, "
        f"carries {listed(parts)}"
    )


def _fitted(link: Link) -> str:
    """What sits on its end: 'T-piece', 'T-piece and terminator'."""
    found = ((link.tee, "T-piece"), (link.terminator, "terminator"))
    return listed([name for piece, name in found if piece is not None])


def _carries(bundle: Bundle, units: Sequence[Unit]) -> str:
    """'8 ch + clock', 'clock only', '16 ch, 8 ch back + clock back'."""
    link = bundle.first
    if is_line(link):
        return f"{len(bundle.links)} ch"
    if "audio" not in link.carries:
        return "clock only"
    there = [f"{link.channels} ch"] if link.channels else []
    there += [f"{link.back} ch back"] if link.back else []
    clock = "clock back" if clock_goes_back(link, units) else "clock"
    return " + ".join([", ".join(there), *([clock] if "clock" in link.carries else [])])


def _part(unit: Unit) -> str:
    """What it is in this rig, where its name does not say so."""
    return "" if unit.name.startswith(unit.role) else _PARTS.get(unit.role, unit.role)


def _clock(unit: Unit) -> str:
    """'clock master', or the socket that it is locked to; nothing of an analogue unit."""
    if clockless(unit):
        return ""
    if unit.clock is None:
        return "needs no clock"
    if unit.clock.source == "internal":
        return "clock master"
    way = "socket" if both_ways(unit, unit.clock.source) else "in"
    socket = f"{unit.clock.source} {way} {unit.clock.socket}"
    sender = f" to {unit.clock.from_unit}" if unit.clock.from_unit else ""
    return f"locked{sender} by {socket}"
