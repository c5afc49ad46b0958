"""The smallest change that gives a unit its clock, in words that can be followed.

A cable that is there already comes before a new one; a new one comes from the unit that
is nearest to the master and has an output free.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from rigopt.rig.audit.chain import chain
from rigopt.rig.audit.sockets import ends, is_live, live
from rigopt.rig.audit.wiring import Wiring
from rigopt.rig.types import ClockSetting, Unit

INTERNAL = ClockSetting("internal")


def way(wiring: Wiring, unit: Unit, master: str | None = None) -> str | None:
    """How to lock `unit` to a chain that ends in a master, or in the one named."""
    return _known_cable(wiring, unit, master) or _new_cable(wiring, unit, master)


def missing(wiring: Wiring, unit: Unit) -> str | None:
    """How to give `unit` what it is set to; where that cannot be, any other way."""
    kind, socket = unit.clock.source, unit.clock.socket
    if kind in unit.device.clock_in and socket in free(wiring, unit, kind, "input"):
        for giver in _givers(wiring, unit, None):
            for out in free(wiring, giver, kind, "output")[:1]:
                return (
                    f"plug the {kind} cable that is missing from {giver.name} out {out}"
                    f" into {unit.name} in {socket}"
                )
    return way(wiring, unit)


def settle(wiring: Wiring, masters: Sequence[Unit]) -> str | None:
    """Which of several masters to keep, and how to lock the others to it."""
    best: list[str] | None = None
    for kept in masters:
        ways = [way(wiring, unit, kept.name) for unit in masters if unit is not kept]
        said = [text for text in ways if text]
        if len(said) == len(ways) and (best is None or _cables(said) < _cables(best)):
            best = said
    return " and ".join(best) if best else None


def crown(wiring: Wiring) -> str | None:
    """The unit that makes all chains end in it when set to its internal clock."""
    if any(unit.clock.source == "internal" for unit in wiring.units):
        return None
    for unit in wiring.units:
        if unit.device.internal_clock:
            units = [replace(u, clock=INTERNAL) if u is unit else u for u in wiring.units]
            if all(chain(units, other) for other in units):
                return f"set {unit.name} to its internal clock"
    return None


def open_circle(wiring: Wiring, circle: Sequence[str]) -> str | None:
    """How to lock one unit of a circle to a chain outside it."""
    ways = (way(wiring, wiring.unit(name)) for name in circle)
    return next((text for text in ways if text), None)


def free(wiring: Wiring, unit: Unit, kind: str, way_of: str) -> list[int]:
    """Sockets of `unit` that work at the rate and have no cable."""
    taken = {end for link in wiring.links for end in ends(link)}
    count = live(unit.device, kind, way_of, wiring.rate_hz)
    return [n for n in range(1, count + 1) if (unit.name, kind, way_of, n) not in taken]


def _known_cable(wiring: Wiring, unit: Unit, master: str | None) -> str | None:
    givers = [giver.name for giver in _givers(wiring, unit, master)]
    for link in wiring.links:
        if (
            link.to_unit == unit.name
            and link.kind in unit.device.clock_in
            and link.from_unit in givers
            and is_live(wiring, link)
        ):
            return (
                f"lock {unit.name} to {link.kind} in {link.to_socket},"
                f" where the cable from {link.from_unit} is"
            )
    return None


def _new_cable(wiring: Wiring, unit: Unit, master: str | None) -> str | None:
    for giver in _givers(wiring, unit, master):
        for kind in unit.device.clock_in:
            outs = free(wiring, giver, kind, "output")
            sockets = free(wiring, unit, kind, "input")
            if outs and sockets:
                return (
                    f"plug {'an' if kind == 'optical' else 'a'} {kind} cable from"
                    f" {giver.name} out {outs[0]} into {unit.name} in {sockets[0]},"
                    f" and lock {unit.name} to it"
                )
    return None


def _givers(wiring: Wiring, unit: Unit, master: str | None) -> Iterator[Unit]:
    """Units whose chain ends in a master and not in `unit`, the nearest to it first."""
    found = []
    for other in wiring.units:
        names = chain(wiring.units, other)
        if names and unit.name not in names and master in (None, names[-1]):
            found.append((len(names), other))
    return (other for _, other in sorted(found, key=lambda pair: pair[0]))


def _cables(ways: Sequence[str]) -> int:
    """How many of these ways need a new cable."""
    return sum(text.startswith("plug") for text in ways)
