"""Steps with the power on and the monitors off: what to set, and the lamps that prove it."""

from __future__ import annotations

from collections.abc import Iterator

from rigopt.facts import RATE_MULTIPLIER, link_channels
from rigopt.output.sheets import cautions
from rigopt.output.sheets.types import Line, Step
from rigopt.output.sheets.wording import (
    Numbered,
    numbered,
    receiver,
    sender,
    sockets,
)
from rigopt.output.words.phrases import count, khz, listed
from rigopt.rig.types import Rig, Unit


def optical(rig: Rig) -> Iterator[Step]:
    """Optical sockets often carry light-pipe or stereo, by a setting."""
    links = numbered(rig, "optical")
    lines = []
    for unit in rig.units:
        ins = [(n, link) for n, link in links if link.to_unit == unit.name]
        outs = [(n, link) for n, link in links if link.from_unit == unit.name]
        if ins or outs:
            used = sockets(
                "optical",
                (
                    ("in", [link.to_socket for _, link in ins]),
                    ("out", [link.from_socket for _, link in outs]),
                ),
            )
            text = f"{unit.name}: {used} to light-pipe, not to stereo."
            lines.append(Line(text, (unit.name,), _numbers([*ins, *outs])))
    if lines:
        yield Step("optical", "Set the optical sockets to light-pipe", tuple(lines))


def clock(rig: Rig) -> Iterator[Step]:
    """One unit on its internal clock, every other on a socket; nothing to set with one."""
    if len(rig.units) == 1:
        return
    lines = tuple(_clock(rig, unit) for unit in rig.units)
    yield Step("clock", "Set the clock of every unit", lines, (cautions.LEVELS,))


def rate(rig: Rig) -> Step:
    """The rate everywhere; at 2x and 4x at both ends of each optical cable, by hand.

    A receiver normally cannot tell 2x and 4x from the signal (Linux kernel `hdspm.c`,
    comment over `hdspm_rate_multiplier()`; text).
    """
    shown = khz(rig.rate_hz)
    names = [unit.name for unit in rig.units]
    said = names if len(names) > 1 else [f"{names[0]} (internal clock)"]
    text = f"Set {listed([*said, 'the recording program'])} to {shown} kHz."
    lines = [Line(text, tuple(names))]
    if RATE_MULTIPLIER[rig.rate_hz] > 1:
        lines += [
            _by_hand(number_link, rig.rate_hz) for number_link in numbered(rig, "optical")
        ]
    if len(hosts := [unit.name for unit in rig.units if unit.role == "host"]) > 1:
        text = (
            f"On the computer, join {listed(hosts)} into one aggregate device, in this order."
        )
        lines.append(Line(text, tuple(hosts)))
    return Step("rate", f"Set {shown} kHz", tuple(lines))


def lock(rig: Rig) -> Iterator[Step]:
    """An input is unlocked, locked or synchronous; only the last is right.

    Linux kernel `hdsp.c`, `hdspm.rst` (text).
    """
    if not rig.links:
        return
    lines = [_lamp(number, receiver(link), link.to_unit) for number, link in numbered(rig)]
    lines.append(
        Line(
            "Locked is not yet synchronous: a unit may read a signal well and still run on "
            "another clock. Where a lamp or panel tells the two apart, it has to show "
            "synchronous."
        )
    )
    yield Step("lock", "Look at the lock lamps", tuple(lines))


def _clock(rig: Rig, unit: Unit) -> Line:
    setting = unit.clock
    if setting.source == "internal":
        text = f"{unit.name}: internal clock, {khz(rig.rate_hz)} kHz. It is the clock master."
        return Line(text, (unit.name,))
    where = (setting.source, setting.socket)
    by = [
        (number, link)
        for number, link in numbered(rig)
        if link.to_unit == unit.name and (link.kind, link.to_socket) == where
    ]
    giver = setting.from_unit or ""
    text = f"{unit.name}: clock from {setting.source} in {setting.socket}, which {giver} feeds."
    return Line(text, (unit.name, giver), _numbers(by))


def _by_hand(number_link: Numbered, rate_hz: int) -> Line:
    number, link = number_link
    each = count(link_channels(link.kind, rate_hz), "channel")
    text = (
        f"Cable {number}: set {khz(rate_hz)} kHz by hand at both ends, {sender(link)} and "
        f"{receiver(link)}; such a socket carries {each} now."
    )
    return Line(text, (link.from_unit, link.to_unit), (number,))


def _lamp(number: int, socket: str, unit: str) -> Line:
    return Line(f"{socket} (cable {number}) shows lock.", (unit,), (number,))


def _numbers(links: list[Numbered]) -> tuple[int, ...]:
    return tuple(number for number, _ in links)
