"""Steps with the power on and the monitors off: what to set, and the lamps that prove it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from rigopt.facts import LIGHT_PIPE, OPTICAL_STEREO, RATE_MULTIPLIER
from rigopt.output.facts.optical import set_by_hand
from rigopt.output.sheets import cautions
from rigopt.output.sheets.types import Step
from rigopt.output.sheets.wording import numbered, receiver, sender, sockets
from rigopt.output.words.phrases import count, khz, listed
from rigopt.output.words.wiring import both_ways
from rigopt.rig.types import Link, Rig, Unit


def optical(rig: Rig) -> Iterator[Step]:
    """Optical sockets often carry light-pipe or stereo, by a setting."""
    links = numbered(rig, "optical")
    lines = []
    spoken = list(dict.fromkeys(link.format.id for _, link in links))
    for unit in rig.units:
        for name in spoken:
            here = [link for _, link in links if link.format.id == name]
            ins = [link.to_socket for link in here if link.to_unit == unit.name]
            outs = [link.from_socket for link in here if link.from_unit == unit.name]
            if ins or outs:
                used = sockets("optical", (("in", ins), ("out", outs)))
                lines.append(f"{unit.name}: {used} to {name}, not to {_OTHER[name]}.")
    if lines:
        yield Step(f"Set the optical sockets to {listed(spoken)}", tuple(lines))


_OTHER: Final = {LIGHT_PIPE: OPTICAL_STEREO, OPTICAL_STEREO: LIGHT_PIPE}
"""What an optical socket carries by its other setting."""


def clock(rig: Rig) -> Iterator[Step]:
    """One unit on its internal clock, every other on a socket; nothing to set with one."""
    if len(rig.units) == 1:
        return
    lines = tuple(_clock(unit, rig.rate_hz) for unit in rig.units if unit.clock is not None)
    yield Step("Set the clock of every unit", lines, (cautions.LEVELS,))


def rate(rig: Rig) -> Step:
    """The rate everywhere; at 2x and 4x at both ends of each optical cable, by hand."""
    shown = khz(rig.rate_hz)
    names = [unit.name for unit in rig.units]
    said = names if len(names) > 1 else [f"{names[0]} (internal clock)"]
    lines = [f"Set {listed([*said, 'the recording program'])} to {shown} kHz."]
    if set_by_hand(rig):
        lines += [_by_hand(*one, rig.rate_hz) for one in numbered(rig, "optical")]
    if len(hosts := [unit.name for unit in rig.units if unit.role == "host"]) > 1:
        lines.append(
            f"On the computer, join {listed(hosts)} into one aggregate device, in this order."
        )
    return Step(f"Set {shown} kHz", tuple(lines))


def lock(rig: Rig) -> Iterator[Step]:
    """An input is unlocked, locked or synchronous; only the last is right.

    Linux kernel `hdsp.c`, `hdspm.rst` (text).
    """
    if not rig.links:
        return
    lines = [f"{receiver(link)} (cable {number}) shows lock." for number, link in numbered(rig)]
    lines.append(
        "Locked is not yet synchronous: a unit may read a signal well and still run on another "
        "clock. Where a lamp or panel tells the two apart, it has to show synchronous."
    )
    yield Step("Look at the lock lamps", tuple(lines))


def _clock(unit: Unit, rate_hz: int) -> str:
    setting = unit.clock
    assert setting is not None, "only units with a clock are told"
    if setting.source == "internal":
        return f"{unit.name}: internal clock, {khz(rate_hz)} kHz. It is the clock master."
    way = "socket" if both_ways(unit, setting.source) else "in"
    socket = f"{setting.source} {way} {setting.socket}"
    return f"{unit.name}: clock from {socket}, which {setting.from_unit} feeds."


def _by_hand(number: int, link: Link, rate_hz: int) -> str:
    each = count(link.format.carries(RATE_MULTIPLIER[rate_hz]), "channel")
    return (
        f"Cable {number}: set {khz(rate_hz)} kHz by hand at both ends, {sender(link)} and "
        f"{receiver(link)}; such a socket carries {each} now."
    )
