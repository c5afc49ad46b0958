"""The clock and the rate of every unit, and the lamps that prove them."""

from __future__ import annotations

from collections.abc import Iterator

from rigopt.facts import RATE_MULTIPLIER
from rigopt.output.facts.clocks import crossing, trees
from rigopt.output.facts.optical import by_hand
from rigopt.output.sheets import cautions
from rigopt.output.sheets.joining import joined
from rigopt.output.sheets.types import Step
from rigopt.output.sheets.wording import numbered, receiver, sender
from rigopt.output.words.phrases import count, khz, listed
from rigopt.output.words.wiring import both_ways, clockless
from rigopt.rig.types import Link, Rig, Unit


def clock(rig: Rig) -> Iterator[Step]:
    """A unit on its internal clock, every other on a socket; nothing to set with one."""
    clocked = [unit for unit in rig.units if unit.clock is not None]
    if len(clocked) == 1:
        return
    lines = [_clock(unit, rig) for unit in clocked]
    lines += [
        f"{receiver(link)}: switch its sample-rate converter on, since {link.from_unit} runs "
        "on another clock."
        for link in crossing(rig)
    ]
    yield Step("Set the clock of every unit", tuple(lines), (cautions.LEVELS,))


def rate(rig: Rig) -> Step:
    """The rate everywhere; at 2x and 4x at both ends of each optical cable, by hand."""
    shown = khz(rig.rate_hz)
    names = [unit.name for unit in rig.units if not clockless(unit)]
    said = names if len(names) > 1 else [f"{names[0]} (internal clock)"]
    lines = [f"Set {listed([*said, 'the recording program'])} to {shown} kHz."]
    lines += [
        _by_hand(number, link, rig.rate_hz)
        for number, link in numbered(rig)
        if by_hand(link, rig.rate_hz)
    ]
    lines += joined(rig)
    return Step(f"Set {shown} kHz", tuple(lines))


def lock(rig: Rig) -> Iterator[Step]:
    """An input is unlocked, locked or synchronous; only the last is right.

    Linux kernel `hdsp.c`, `hdspm.rst` (text).
    """
    if not numbered(rig):
        return
    lines = [_shows(number, link) for number, link in numbered(rig)]
    lines.append(
        "Locked is not yet synchronous: a unit may read a signal well and still run on another "
        "clock. Where a lamp or panel tells the two apart, it has to show synchronous."
    )
    yield Step("Look at the lock lamps", tuple(lines))


def _shows(number: int, link: Link) -> str:
    if link.format.duplex:
        return f"{sender(link)} and {receiver(link)} (cable {number}) show lock."
    return f"{receiver(link)} (cable {number}) shows lock."


def _clock(unit: Unit, rig: Rig) -> str:
    setting = unit.clock
    assert setting is not None, "only units with a clock are told"
    if setting.source == "internal":
        return f"{unit.name}: internal clock, {khz(rig.rate_hz)} kHz. {_leads(unit.name, rig)}"
    way = "socket" if both_ways(unit, setting.source) else "in"
    socket = f"{setting.source} {way} {setting.socket}"
    return f"{unit.name}: clock from {socket}, which {setting.from_unit} feeds."


def _leads(name: str, rig: Rig) -> str:
    groups = trees(rig.units)
    if len(groups) == 1:
        return "It is the clock master."
    if not groups[name]:
        return "It runs by itself."
    return f"It is the clock master of {listed(groups[name])}."


def _by_hand(number: int, link: Link, rate_hz: int) -> str:
    each = count(link.format.carries(RATE_MULTIPLIER[rate_hz]), "channel")
    return (
        f"Cable {number}: set {khz(rate_hz)} kHz by hand at both ends, {sender(link)} and "
        f"{receiver(link)}; such a socket carries {each} now."
    )
