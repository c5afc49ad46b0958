"""The smallest change that gives a unit its clock.

A cable that is there already comes before a new one; a new one comes from the unit that
is nearest to its master and has an output free. Nothing is proposed where that takes more.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Sequence, Set
from dataclasses import replace
from functools import lru_cache
from typing import Final

from rigopt.facts import SOCKET_KINDS as KINDS
from rigopt.facts import Format
from rigopt.rig.audit.finding import Remedy
from rigopt.rig.audit.forest import forest, is_master
from rigopt.rig.audit.sockets import closed, formats, is_live, last, live, locks, sides, ways
from rigopt.rig.audit.wiring import Wiring
from rigopt.rig.types import ClockSetting, End, Unit

INTERNAL = ClockSetting("internal")

TRIES: Final = 8
"""So many masters are tried as the one to keep."""


Remedies = tuple[Remedy, ...]
"""Steps that are taken together; none where nothing is known."""


def way(wiring: Wiring, unit: Unit) -> Remedies:
    """How to lock `unit` to a chain that ends in a master."""
    senders = _apart_from(wiring, unit)
    step = _known_cable(wiring, unit, senders) or _new_cable(wiring, unit, senders)
    return (step,) if step else ()


def missing(wiring: Wiring, unit: Unit) -> Remedies:
    """How to give `unit` what it is set to; where that cannot be, any other way."""
    clock = unit.clock
    if clock is not None and clock.socket is not None:
        only = (clock.source, clock.socket)
        if step := _new_cable(wiring, unit, _apart_from(wiring, unit), only=only):
            return (step._replace(how="plug"),)
    return way(wiring, unit)


def settle(wiring: Wiring, masters: Sequence[Unit]) -> Remedies:
    """Which of several masters to keep, and how to make the others hang on it."""
    best: list[Remedy] = []
    for kept in sorted(masters, key=lambda unit: not unit.device.internal_clock)[:TRIES]:
        steps = _hang(wiring, kept, masters)
        if steps and (not best or _new_cables(steps) < _new_cables(best)):
            best = steps
    return tuple(best)


def crown(wiring: Wiring) -> Remedies:
    """The unit that makes all chains end in it when set to its internal clock."""
    units, passed = wiring.clocked, list[str]()
    if not units or any(is_master(unit) for unit in wiring.units):
        return ()
    name: str | None = units[0].name
    while name in wiring.by_name and name not in passed:
        passed.append(name)
        clock = wiring.unit(name).clock
        name = clock.from_unit if clock is not None else None
    names = [unit.name for unit in units]
    circle = passed[passed.index(name) :] if name in passed else []
    ending = set(circle).intersection(names) or [one for one in passed if one in names][-1:]
    for unit in units:
        if unit.name in ending and unit.device.internal_clock:
            crowned = [replace(u, clock=INTERNAL) if u is unit else u for u in wiring.units]
            whole = forest(crowned).keys() >= set(names)
            return (Remedy("internal", unit.name),) if whole else ()
    return ()


def open_circle(wiring: Wiring, circle: Sequence[str]) -> Remedies:
    """How to lock one unit of a circle to a chain outside it."""
    found = (way(wiring, wiring.unit(name)) for name in circle)
    return next((steps for steps in found if steps), ())


def free(wiring: Wiring, unit: Unit, kind: str, way_of: str) -> list[int]:
    """Sockets of `unit` that work at the rate and can take a cable."""
    count, shut = live(unit.device, kind, way_of, wiring.rate_hz), closed(wiring)
    return [n for n in range(1, count + 1) if (unit.name, kind, way_of, n) not in shut]


def _hang(wiring: Wiring, kept: Unit, masters: Sequence[Unit]) -> list[Remedy]:
    """The steps by which all of `masters` hang on `kept`; none if one finds no way."""
    trees: dict[str, list[str]] = defaultdict(list)
    for name, place in wiring.places.items():
        trees[place.master].append(name)
    steps: list[Remedy] = []
    senders = set(trees[kept.name])
    waiting = [unit for unit in masters if unit is not kept]
    taken: set[End] = set()
    while waiting:
        before = len(steps)
        for unit in waiting:
            if step := _known_cable(wiring, unit, senders):
                steps.append(step)
                senders.update(trees[unit.name])
        if len(steps) == before:
            new = (_new_cable(wiring, unit, senders, taken) for unit in waiting)
            step = next((step for step in new if step), None)
            if step is None:
                return []
            taken |= _ends(step)
            steps.append(step)
            senders.update(trees[step.unit])
        waiting = [unit for unit in waiting if unit.name not in senders]
    return steps


def _known_cable(wiring: Wiring, unit: Unit, senders: Collection[str]) -> Remedy | None:
    for link, sender, socket in wiring.arrivals[unit.name]:
        row = link.format
        known = sender in senders and row.clock and locks(unit.device, row.socket, socket)
        if known and is_live(wiring, link):
            return Remedy("lock", unit.name, row, socket, sender)
    return None


def _new_cable(
    wiring: Wiring,
    unit: Unit,
    senders: Collection[str],
    taken: Set[End] = frozenset(),
    only: tuple[str, int] | None = None,
) -> Remedy | None:
    """A cable from the nearest of `senders`, into the input `only` if that is given."""
    found: list[tuple[int, Remedy]] = []
    for kind in KINDS:
        into, out = ways(unit.device, kind)[0], ways(unit.device, kind)[-1]
        for row in formats(unit.device, kind):
            inputs = [
                n
                for n in free(wiring, unit, kind, into)
                if n <= last(unit.device, row, into, wiring.rate_hz)
                and locks(unit.device, kind, n)
                and only in (None, (kind, n))
            ]
            for hops, sender, output in _outputs(wiring).get(row, ()) if inputs else ():
                if sender in senders and (sender, kind, out, output) not in taken:
                    step = Remedy("plug and lock", unit.name, row, inputs[0], sender, output)
                    found.append((hops, step))
                    break
    return min(found, key=lambda way: way[0])[1] if found else None


@lru_cache(maxsize=4)
def _outputs(wiring: Wiring) -> dict[Format, list[tuple[int, str, int]]]:
    """By format: free outputs of units that hang on a master, the nearest to it first."""
    found: dict[Format, list[tuple[int, str, int]]] = defaultdict(list)
    for name, place in wiring.places.items():
        unit = wiring.unit(name)
        for kind in KINDS:
            way_of = ways(unit.device, kind)[-1]
            for row in formats(unit.device, kind):
                most = last(unit.device, row, way_of, wiring.rate_hz)
                for number in free(wiring, unit, kind, way_of) if row.clock else ():
                    if number <= most:
                        found[row].append((place.hops, name, number))
    return {row: sorted(outs, key=lambda out: out[0]) for row, outs in found.items()}


def _apart_from(wiring: Wiring, unit: Unit) -> set[str]:
    """Units whose chain ends in a master and does not go by `unit`."""
    followers: dict[str | None, list[str]] = defaultdict(list)
    for other in wiring.units:
        if other.clock is not None:
            followers[other.clock.from_unit].append(other.name)
    below, queue = {unit.name}, [unit.name]
    for name in queue:
        queue += [follower for follower in followers[name] if follower not in below]
        below.update(followers[name])
    return set(wiring.places) - below


def _ends(step: Remedy) -> set[End]:
    """The sockets of a new cable."""
    assert step.row is not None
    out, into = sides(step.row)
    kind = step.row.socket
    return {End(step.sender, kind, out, step.output), End(step.unit, kind, into, step.socket)}


def _new_cables(steps: Sequence[Remedy]) -> int:
    """How many of these steps need a new cable."""
    return sum(step.how != "lock" for step in steps)
