"""Rule: one clock master; every other unit is locked to a socket with a link on it.

Variables: locks, hop, deepest.
Constraints: one lock a unit; one internal clock in all, of a unit that has one and, where
the needs say which, is that master; a lock to a cable only with that cable; hop[unit] >=
hop[sender] + 1, so that there is no circle; hop <= max_hops.
Cost: settings that change; then the deepest hop and the sum of hops.
"""

from __future__ import annotations

from collections.abc import Iterator

from rigopt.facts import AUDIO_KINDS, Kind
from rigopt.optimiser.questions.repair.variables import Lock, RepairVars
from rigopt.optimiser.solver.linear import total
from rigopt.rig.types import Unit


def create(repair: RepairVars) -> None:
    """Create every way in which each unit can have its clock."""
    case = repair.case
    for unit in case.units:
        locks = [*_internal(repair, unit), *_known(repair, unit), *_new(repair, unit)]
        repair.locks[unit.name] = {lock: repair.flag(unit.name, lock) for lock in locks}
        repair.hop[unit.name] = repair.count(case.max_hops, "hop", unit.name)
    repair.deepest = repair.count(case.max_hops, "deepest")


def add(repair: RepairVars) -> None:
    """Add the rule."""
    model = repair.model
    masters = []
    for unit, locks in repair.locks.items():
        model.add_exactly_one(locks.values())
        model.add(repair.hop[unit] <= repair.deepest)
        for lock, var in locks.items():
            if lock.sender is None:
                masters.append(var)
                continue
            model.add(repair.hop[unit] >= repair.hop[lock.sender] + 1).only_enforce_if(var)
            _needs_cable(repair, unit, lock)
        _one_by_audio(repair, unit)
    model.add_exactly_one(masters)


def _internal(repair: RepairVars, unit: Unit) -> Iterator[Lock]:
    needs = repair.case.needs
    asked = needs.master in ("any", unit.role, unit.device.id)
    if unit.device.internal_clock and (asked or not repair.case.asks("master")):
        yield Lock("internal", same=unit.clock.source == "internal")


def _known(repair: RepairVars, unit: Unit) -> Iterator[Lock]:
    """Cables that are there, and stay; and audio links to a host, staying or new."""
    case = repair.case
    for index, link in enumerate(case.links):
        if link.to_unit == unit.name and link.kind in unit.device.clock_in and case.whole(link):
            same = _same(unit, link.kind, link.to_socket)
            yield Lock("kept", link.from_unit, link.kind, link.to_socket, index, same)
    ends = {
        (rank.unit, rank.kind, socket)
        for rank, goes in repair.goes.items()
        for host, socket in goes
        if host == unit.name and rank.kind in unit.device.clock_in
    }
    for sender, kind, socket in sorted(ends):
        yield Lock("audio", sender, kind, socket, same=_same(unit, kind, socket))


def _new(repair: RepairVars, unit: Unit) -> Iterator[Lock]:
    """New cables: into the socket that the unit is set to, or into any that is free."""
    for sender, receiver, kind in repair.case.pairs():
        if receiver is unit and kind in unit.device.clock_in:
            socket = unit.clock.socket or 0
            live = repair.case.live(unit, kind, "in")
            if unit.clock.source == kind and 1 <= socket <= live:
                yield Lock("new", sender.name, kind, socket, same=True)
            yield Lock("new", sender.name, kind)


def _same(unit: Unit, kind: Kind, socket: int) -> bool:
    return (unit.clock.source, unit.clock.socket) == (kind, socket)


def _needs_cable(repair: RepairVars, unit: str, lock: Lock) -> None:
    """A lock to a cable that has other work too is there only with the cable."""
    model, var, way = repair.model, repair.locks[unit][lock], lock.way(unit)
    if lock.how == "audio":
        feeding = [
            (end, 1)
            for rank, goes in repair.goes.items()
            for place, end in goes.items()
            if (rank.unit, rank.kind) == (lock.sender, lock.kind)
            and place == (unit, lock.socket)
        ]
        model.add(total(feeding) >= var)
    elif repair.is_back(way):
        if lock.link is not None:
            model.add_implication(var, repair.kept_back[lock.link])
        else:
            model.add(repair.new_back[way] >= var)


def _one_by_audio(repair: RepairVars, unit: str) -> None:
    """A cable that stays brings audio, or clock alone, not both as two cables."""
    for lock, var in repair.locks[unit].items():
        if lock.link is not None and lock.kind in AUDIO_KINDS:
            audio = repair.kept_audio.get(lock.link, {})
            repair.model.add_at_most_one([var, *audio.values()])
