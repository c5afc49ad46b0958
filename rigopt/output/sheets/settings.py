"""Steps with the power on and the monitors off: what to set, and the lamps that prove it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from rigopt.catalogue.types import SocketRef
from rigopt.facts import FORMATS, RATE_MULTIPLIER
from rigopt.output.facts.clocks import crossing, own_clocks, trees
from rigopt.output.facts.optical import by_hand
from rigopt.output.sheets import cautions
from rigopt.output.sheets.types import Step
from rigopt.output.sheets.wording import numbered, receiver, sender, sockets
from rigopt.output.words.phrases import count, khz, listed
from rigopt.output.words.wiring import both_ways, clockless
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
                lines.append(f"{unit.name}: {used} to {name}, not to {_other(name)}.")
    if lines:
        yield Step(f"Set the optical sockets to {listed(spoken)}", tuple(lines))


def shared(rig: Rig) -> Iterator[Step]:
    """Sockets that share a receiver or a sender with others of their unit, which stay dead."""
    plugged = {end for link in rig.links for end in (link.start, link.end)}
    lines = [
        f"{unit.name}: to {_sockets([ref])}, not to {_sockets([x for x in group if x != ref])}."
        for unit in rig.units
        for group in unit.device.either
        for ref in group
        if (unit.name, ref) in plugged and len(group) > 1
    ]
    if lines:
        yield Step("Choose among the sockets that share something", tuple(lines))


def _sockets(refs: Iterable[SocketRef]) -> str:
    return listed([f"{ref.kind} {ref.way} {ref.number}" for ref in refs], "or")


def _other(name: str) -> str:
    """What such a socket carries by its other setting."""
    kind = FORMATS[name].socket
    return listed([row.id for row in FORMATS.values() if row.socket == kind and row.id != name])


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
    lines += _aggregate(rig)
    return Step(f"Set {shown} kHz", tuple(lines))


def _aggregate(rig: Rig) -> Iterator[str]:
    """One device of several hosts; drift correction for those on clocks of their own.

    An OS maker's guide (text): one rate, the most reliable clock as that of the device, and
    drift correction on the others unless a cable locks them.
    """
    hosts = [unit.name for unit in rig.units if unit.role == "host"]
    if len(hosts) < 2:
        return
    yield f"On the computer, join {listed(hosts)} into one aggregate device, in this order."
    apart = own_clocks(rig)
    if apart:
        yield (
            f"In it, take {hosts[0]} as the clock and switch drift correction (resampling) on "
            f"for {listed(apart)}: nothing else keeps {'it' if len(apart) == 1 else 'them'} in "
            f"time with {hosts[0]}."
        )
    if locked := [name for name in hosts[1:] if name not in apart]:
        yield f"Leave drift correction off for {listed(locked)}, which a cable locks."


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
