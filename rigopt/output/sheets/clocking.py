"""Rate and clock in the order that drivers accept, and the lamps that prove them.

On an external clock a rate set at the computer is refused, and none changes its class while
a stream is open (Linux kernel `hdsp_set_rate()`, text). So: all on internal, the rate, the
clock source, and then a look at the lock.
"""

from __future__ import annotations

from collections.abc import Iterator

from rigopt.facts import RATE_MULTIPLIER
from rigopt.output.facts.clocks import chains, crossing, from_master, trees
from rigopt.output.facts.optical import by_hand
from rigopt.output.sheets import cautions
from rigopt.output.sheets.types import Step
from rigopt.output.sheets.wording import numbered, receiver, sender, stands_alone
from rigopt.output.words.phrases import count, khz, listed
from rigopt.output.words.wiring import both_ways
from rigopt.rig.types import Link, Rig, Unit


def rate(rig: Rig) -> Step:
    """Everything on its internal clock, and the rate at each."""
    shown, clocked = khz(rig.rate_hz), _clocked(rig)
    lines = ["Close every program that plays or records: no rate changes under an open one."]
    if len(clocked) == 1:
        lines.append(f"Set {clocked[0].name} to {shown} kHz, on its internal clock.")
    else:
        lines += _set(clocked, shown)
    lines += [
        _by_hand(number, link, rig.rate_hz)
        for number, link in numbered(rig)
        if by_hand(link, rig.rate_hz)
    ]
    lines += _word(rig)
    if not numbered(rig):
        lines += program(rig)
    follow = any(unit.clock and unit.clock.source != "internal" for unit in clocked)
    where = ", every unit on its internal clock" if follow else ""
    return Step(f"Set {shown} kHz{where}", tuple(lines))


def clock(rig: Rig) -> Iterator[Step]:
    """The clock source of every unit, the master first; nothing to set with one."""
    clocked = _clocked(rig)
    if len(clocked) == 1:
        return
    lines = [_clock(unit, rig) for unit in clocked]
    lines += [
        f"{receiver(link)}: switch its sample-rate converter on, since {link.from_unit} runs "
        "on another clock."
        for link in crossing(rig)
    ]
    first = "master" if len(trees(rig.units)) == 1 else "masters"
    title = f"Choose the clock of every unit, the {first} first"
    yield Step(title, tuple(lines), (cautions.LEVELS,))


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
    yield Step("Wait until every lock lamp is on", (*lines, *program(rig)))


def program(rig: Rig) -> Iterator[str]:
    """The recording program, once there is a clock; several hosts are joined before it."""
    if sum(unit.role == "host" for unit in rig.units) == 1:
        yield f"Only now open the recording program, and set it to {khz(rig.rate_hz)} kHz."


def _clocked(rig: Rig) -> list[Unit]:
    return [unit for unit in from_master(rig.units) if unit.clock is not None]


def _set(clocked: list[Unit], shown: str) -> Iterator[str]:
    """The rate where there is a clock to set; all it can be for the others."""
    saved = [unit.name for unit in clocked if stands_alone(unit)]
    bound = [u.name for u in clocked if not u.device.internal_clock and u.name not in saved]
    free = [unit.name for unit in clocked if unit.name not in (*saved, *bound)]
    yield (
        f"Choose the internal clock on {listed(free)}, then set {shown} kHz there: on another "
        "clock, a rate that is set at the computer is refused."
    )
    if bound:
        has, runs = ("has", "runs") if len(bound) == 1 else ("have", "run")
        yield f"{listed(bound)} {has} no clock to choose, and {runs} at the rate that comes in."
    if saved:
        kept = "keeps" if len(saved) == 1 else "keep"
        yield f"{listed(saved)} {kept} what was saved."


def _word(rig: Rig) -> Iterator[str]:
    """Some outputs send the base rate only, some the full one, some by a setting.

    An open PCIe driver's and FireWire control services' clock tables (text), a guide.
    """
    multiplier = RATE_MULTIPLIER[rig.rate_hz]
    base = khz(rig.rate_hz // multiplier)
    for chain in chains(rig.links) if multiplier > 1 else []:
        into = listed([receiver(link) for link in chain])
        yield (
            f"{sender(chain[0])} may send {khz(rig.rate_hz)} kHz or the base rate, {base} kHz, "
            f"often by a setting: look which, and set {into} to the same."
        )


def _shows(number: int, link: Link) -> str:
    if link.format.duplex:
        return f"{sender(link)} and {receiver(link)} (cable {number}) show lock."
    return f"{receiver(link)} (cable {number}) shows lock."


def _clock(unit: Unit, rig: Rig) -> str:
    setting = unit.clock
    assert setting is not None, "only units with a clock are told"
    saved = ", as it was saved" if stands_alone(unit) else ""
    if setting.source == "internal":
        return f"{unit.name}: internal clock{saved}. {_leads(unit.name, rig)}"
    way = "socket" if both_ways(unit, setting.source) else "in"
    socket = f"{setting.source} {way} {setting.socket}"
    return f"{unit.name}: clock from {socket}, which {setting.from_unit} feeds{saved}."


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
