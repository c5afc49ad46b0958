"""Rule: one clock master; every other unit is locked to a socket with a link on it.

Variables: locks, hop, deepest.
Constraints: one lock a unit; one internal clock in all, of a unit that has one and, where
the needs wish it, that suits the wish; a lock to a cable only with that cable; hop[unit]
>= hop[giver] + 1, so that there is no circle; hop <= max_hops.
Cost: settings that change; then the deepest hop and the sum of hops.
"""

from __future__ import annotations

from collections.abc import Iterator

from rigopt.facts import AUDIO_KINDS, Kind
from rigopt.optimiser.questions.repair.variables import Lock, Rewire
from rigopt.optimiser.solver.linear import total
from rigopt.rig.types import Unit


def create(rewire: Rewire) -> None:
    """Create every way in which each unit can have its clock."""
    case = rewire.case
    for unit in case.units:
        rewire.locks[unit.name] = {}
        for lock in [*_internal(rewire, unit), *_known(rewire, unit), *_new(rewire, unit)]:
            rewire.locks[unit.name][lock] = rewire.flag(unit.name, lock)
        rewire.hop[unit.name] = rewire.count(case.max_hops, "hop", unit.name)
    rewire.deepest = rewire.count(case.max_hops, "deepest")


def add(rewire: Rewire) -> None:
    """Add the rule."""
    model = rewire.model
    assert rewire.deepest is not None
    masters = []
    for unit, locks in rewire.locks.items():
        model.add_exactly_one(locks.values())
        model.add(rewire.hop[unit] <= rewire.deepest)
        for lock, var in locks.items():
            if lock.giver is None:
                masters.append(var)
                continue
            model.add(rewire.hop[unit] >= rewire.hop[lock.giver] + 1).only_enforce_if(var)
            _needs_cable(rewire, unit, lock)
        _one_by_audio(rewire, unit)
    model.add_exactly_one(masters)


def _internal(rewire: Rewire, unit: Unit) -> Iterator[Lock]:
    needs = rewire.case.needs
    wished = needs.master in ("any", unit.role, unit.device.id)
    if unit.device.internal_clock and (wished or not rewire.case.asks("master")):
        yield Lock("internal", same=unit.clock.source == "internal")


def _known(rewire: Rewire, unit: Unit) -> Iterator[Lock]:
    """Cables that are there, and stay; and audio links to a host, staying or new."""
    case = rewire.case
    for index, link in enumerate(case.links):
        if link.to_unit == unit.name and link.kind in unit.device.clock_in and case.whole(link):
            same = _same(unit, link.kind, link.to_socket)
            yield Lock("kept", link.from_unit, link.kind, link.to_socket, index, same)
    ends = {
        (sender[0], sender[1], socket)
        for sender, goes in rewire.goes.items()
        for host, socket in goes
        if host == unit.name and sender[1] in unit.device.clock_in
    }
    for giver, kind, socket in sorted(ends):
        yield Lock("audio", giver, kind, socket, same=_same(unit, kind, socket))


def _new(rewire: Rewire, unit: Unit) -> Iterator[Lock]:
    """New cables: into the socket that the unit is set to, or into any that is free."""
    for giver, taker, kind in rewire.case.pairs():
        if taker is unit and kind in unit.device.clock_in:
            socket = unit.clock.socket or 0
            live = rewire.case.live(unit, kind, "in")
            if unit.clock.source == kind and 1 <= socket <= live:
                yield Lock("new", giver.name, kind, socket, same=True)
            yield Lock("new", giver.name, kind)


def _same(unit: Unit, kind: Kind, socket: int) -> bool:
    return (unit.clock.source, unit.clock.socket) == (kind, socket)


def _needs_cable(rewire: Rewire, unit: str, lock: Lock) -> None:
    """A lock to a cable that has other work too is there only with the cable."""
    model, var = rewire.model, rewire.locks[unit][lock]
    if lock.how == "audio":
        feeding = [
            (end, 1)
            for sender, goes in rewire.goes.items()
            for place, end in goes.items()
            if sender[:2] == (lock.giver, lock.kind) and place == (unit, lock.socket)
        ]
        model.add(total(feeding) >= var)
    elif rewire.is_back(lock.giver, unit, lock.kind):
        assert lock.giver is not None
        assert lock.kind is not None
        if lock.link is not None:
            model.add_implication(var, rewire.kept_back[lock.link])
        else:
            model.add(rewire.new_back[lock.giver, unit, lock.kind] >= var)


def _one_by_audio(rewire: Rewire, unit: str) -> None:
    """A cable that stays brings audio, or clock alone, not both as two cables."""
    for lock, var in rewire.locks[unit].items():
        if lock.link is not None and lock.kind in AUDIO_KINDS:
            audio = rewire.kept_audio.get(lock.link, {})
            rewire.model.add_at_most_one([var, *audio.values()])
