"""The smallest change that gives a unit its clock.

A cable that is there already comes before a new one; a new one comes from the unit that
is nearest to the master and has an output free. Nothing is proposed where that takes more.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from rigopt.rig.audit.chain import chain
from rigopt.rig.audit.finding import Remedy
from rigopt.rig.audit.sockets import ends, is_live, live
from rigopt.rig.audit.wiring import Wiring
from rigopt.rig.types import ClockSetting, Unit

Remedies = tuple[Remedy, ...]
"""Steps that are taken together; none where nothing is known."""

INTERNAL = ClockSetting("internal")


def way(wiring: Wiring, unit: Unit, master: str | None = None) -> Remedies:
    """How to lock `unit` to a chain that ends in a master, or in the one named."""
    return _known_cable(wiring, unit, master) or _new_cable(wiring, unit, master)


def missing(wiring: Wiring, unit: Unit) -> Remedies:
    """How to give `unit` what it is set to; where that cannot be, any other way."""
    kind, socket = unit.clock.source, unit.clock.socket
    if kind in unit.device.clock_in and socket in free(wiring, unit, kind, "input"):
        for sender in _senders(wiring, unit, None):
            for out in free(wiring, sender, kind, "output")[:1]:
                return (Remedy("plug", unit.name, kind, socket, sender.name, out),)
    return way(wiring, unit)


def settle(wiring: Wiring, masters: Sequence[Unit]) -> Remedies:
    """Which of several masters to keep, and how to lock the others to it."""
    best: list[Remedy] = []
    for kept in masters:
        ways = [way(wiring, unit, kept.name) for unit in masters if unit is not kept]
        steps = [step for steps in ways for step in steps]
        if all(ways) and (not best or _new_cables(steps) < _new_cables(best)):
            best = steps
    return tuple(best)


def crown(wiring: Wiring) -> Remedies:
    """The unit that makes all chains end in it when set to its internal clock."""
    if any(unit.clock.source == "internal" for unit in wiring.units):
        return ()
    for unit in wiring.units:
        if unit.device.internal_clock:
            units = [replace(u, clock=INTERNAL) if u is unit else u for u in wiring.units]
            if all(chain(units, other) for other in units):
                return (Remedy("internal", unit.name),)
    return ()


def open_circle(wiring: Wiring, circle: Sequence[str]) -> Remedies:
    """How to lock one unit of a circle to a chain outside it."""
    ways = (way(wiring, wiring.unit(name)) for name in circle)
    return next((steps for steps in ways if steps), ())


def free(wiring: Wiring, unit: Unit, kind: str, way_of: str) -> list[int]:
    """Sockets of `unit` that work at the rate and have no cable."""
    taken = {end for link in wiring.links for end in ends(link)}
    count = live(unit.device, kind, way_of, wiring.rate_hz)
    return [n for n in range(1, count + 1) if (unit.name, kind, way_of, n) not in taken]


def _known_cable(wiring: Wiring, unit: Unit, master: str | None) -> Remedies:
    senders = [sender.name for sender in _senders(wiring, unit, master)]
    for link in wiring.links:
        if (
            link.to_unit == unit.name
            and link.kind in unit.device.clock_in
            and link.from_unit in senders
            and is_live(wiring, link)
        ):
            return (Remedy("lock", unit.name, link.kind, link.to_socket, link.from_unit),)
    return ()


def _new_cable(wiring: Wiring, unit: Unit, master: str | None) -> Remedies:
    for sender in _senders(wiring, unit, master):
        for kind in unit.device.clock_in:
            outs = free(wiring, sender, kind, "output")
            sockets = free(wiring, unit, kind, "input")
            for out, socket in zip(outs, sockets, strict=False):
                return (Remedy("plug and lock", unit.name, kind, socket, sender.name, out),)
    return ()


def _senders(wiring: Wiring, unit: Unit, master: str | None) -> Iterator[Unit]:
    """Units whose chain ends in a master and not in `unit`, the nearest to it first."""
    found = []
    for other in wiring.units:
        names = chain(wiring.units, other)
        if names and unit.name not in names and master in (None, names[-1]):
            found.append((len(names), other))
    return (other for _, other in sorted(found, key=lambda pair: pair[0]))


def _new_cables(steps: Sequence[Remedy]) -> int:
    """How many of these steps need a new cable."""
    return sum(step.how != "lock" for step in steps)
