"""Rule: what is said of clock trees where hosts are pooled, and no tree is told from another.

A unit that has its clock from nobody is the master of its host's tree, or a converter of its
host's sockets is between them. All links of a unit go to one host, so units with s links take
hosts with s sockets, s = 1, 2, 3 ... Hosts apart keep all this by the rules of `trees`; said of
the pool as well, fewer mixes are looked at that cannot be wired.

Variables: of hosts that look alike to the clock, those that lock to a link in a socket with a
converter, at least; of hosts with s sockets, those that lock to units with fewer links, at
least. Constraints: those of `_one_each`, `_converted` and `_left_over`. Cost: none.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator

from ortools.sat.python import cp_model

from rigopt.optimiser.model.trees import mends, sockets
from rigopt.optimiser.model.variables import RACK, RigVars
from rigopt.optimiser.problem.columns import HostColumn, SatelliteColumn
from rigopt.optimiser.problem.signatures import FREE, INTERNAL, ClockSignature, Lock
from rigopt.optimiser.solver.linear import Terms, Var, total


def add(model: cp_model.CpModel, rig: RigVars) -> None:
    """Add the rule to `model`, whose hosts are pooled."""
    _one_each(model, rig)
    _converted(model, rig)
    _left_over(model, rig)


def _one_each(model: cp_model.CpModel, rig: RigVars) -> None:
    """Of units that lock to nothing, no two are joined to hosts of one tree, but by
    converters.

    Where each host may have a tree of its own, those that could lock to something count too.
    """
    several = rig.problem.needs.own_clocks
    units: dict[tuple[str, int], Terms] = defaultdict(list)
    for name, unit, columns in _joining(rig):
        alone = _alone(unit)
        if several and not alone:
            units[name, 1] += [
                (number, 1)
                for state, number in rig.clocked[unit].items()
                if state.lock == INTERNAL
            ]
        for column, number in columns if alone else ():
            for links in range(1, column.wiring.audio + 1):
                units[name, links].append((number, 1))
    for (name, links), stuck in units.items():
        room = _room(rig, name, links, plain=int(several))
        model.add(total(stuck) <= total(room) + (not several))


def _converted(model: cp_model.CpModel, rig: RigVars) -> None:
    """Units that are in no host's tree are joined to converters; where the host locks to a
    link, that has one of the sockets.
    """
    units: dict[tuple[str, int], Terms] = defaultdict(list)
    for name, unit, columns in _joining(rig):
        if not unit.apart:
            continue
        bound = [(n, -1) for state, n in rig.clocked[unit].items() if state.tree != FREE]
        for links in range(2, max(column.wiring.audio for column, _ in columns) + 1):
            wide = [(n, 1) for column, n in columns if column.wiring.audio >= links]
            if len(wide) == len(columns) or _alone(unit):
                units[name, links] += [*wide, *bound]
    for (name, links), free in units.items():
        taken, room = _taken(model, rig, name, links), _room(rig, name, links, plain=0)
        model.add(total([*free, *taken]) <= total(room))


def _left_over(model: cp_model.CpModel, rig: RigVars) -> None:
    """A host that locks to audio has the unit that sends it. Of hosts with s sockets, those
    that lock to no unit with s links lock to one in the sockets that such units leave.
    """
    joined: dict[str, list[tuple[ClockSignature, Var, int]]] = defaultdict(list)
    for name, unit, columns in _joining(rig):
        joined[name] += [(unit, number, column.wiring.links) for column, number in columns]
    for name, units in joined.items():
        for links in range(2, max(each for _, _, each in units) + 1):
            rig.beat()
            wide = {unit for unit, _, each in units if each >= links}
            narrow: Terms = []
            for (hop, tree), locked in _locked(model, rig, name, links).items():
                near = rig.clocked_at(RACK, hop - 1, tree)
                senders = [(number, -1) for unit, _, number in near if unit in wide]
                some = model.new_int_var(0, rig.problem.needs.max_hosts, "locked to few links")
                model.add(total([(some, 1)]) >= total([*locked, *senders]))
                narrow.append((some, 1))
            taken = [(number, each) for _, number, each in units if each >= links]
            room = [(n, r) for c, n in rig.hosts.items() if (r := sockets(c, name)) >= links]
            if narrow:
                model.add(total([*narrow, *taken]) <= total(room))


def _locked(
    model: cp_model.CpModel, rig: RigVars, name: str, links: int
) -> dict[tuple[int, int], Terms]:
    """By hop and tree: at least how many hosts with so many sockets lock to audio. Of those
    that look alike to the clock the others may be any that do."""
    found: dict[tuple[int, int], Terms] = defaultdict(list)
    for unit, (those, others) in _alike(rig, lambda host: sockets(host, name) >= links):
        free: Terms = []
        for state, number in rig.clocked[unit].items() if those else ():
            if state.lock == Lock("shared", name):
                found[state.hop, state.tree].append((number, 1))
                if others:
                    other = model.new_int_var(0, rig.problem.needs.max_hosts, "locked, small")
                    found[state.hop, state.tree].append((other, -1))
                    free.append((other, 1))
        if free:
            model.add(total(free) <= total(others))
    return found


def _joining(
    rig: RigVars,
) -> Iterator[tuple[str, ClockSignature, list[tuple[SatelliteColumn, Var]]]]:
    """By the format of their audio, and by what the clock knows of them: columns of units whose
    audio goes to a host."""
    found: dict[tuple[str, ClockSignature], list[tuple[SatelliteColumn, Var]]] = {}
    for column, number in rig.satellites.items():
        unit = column.signature
        if unit is not None and unit.brings is not None:
            found.setdefault((unit.brings, unit), []).append((column, number))
    return ((name, unit, columns) for (name, unit), columns in found.items())


def _room(rig: RigVars, name: str, links: int, plain: int) -> Terms:
    """Hosts, and for how many units with so many links each has sockets: with converters for as
    many as fill them, else for no more than `plain`."""
    room: Terms = []
    for host, number in rig.hosts.items():
        whole = sockets(host, name) // links
        if each := whole if mends(host, name) else min(whole, plain):
            room.append((number, each))
    return room


def _alone(unit: ClockSignature) -> bool:
    """Whether it cannot lock to anything."""
    return not (unit.shared or unit.alone)


def _taken(model: cp_model.CpModel, rig: RigVars, name: str, links: int) -> Terms:
    """At least how many hosts lock to a link that leaves converters behind so many sockets once
    less: of hosts that look alike to the clock, all that lock to one but for the others.
    """

    def tight(host: HostColumn) -> bool:
        there = sockets(host, name) if mends(host, name) else 0
        return there > 0 and there % links == 0

    taken: Terms = []
    for unit, (those, others) in _alike(rig, tight):
        locked = [(n, 1) for state, n in rig.clocked[unit].items() if state.lock.format == name]
        if not those or not locked:
            continue
        if others:
            some = model.new_int_var(0, rig.problem.needs.max_hosts, "locked at converters")
            model.add(total([(some, 1), *others]) >= total(locked))
            locked = [(some, 1)]
        taken += locked
    return taken


def _alike(
    rig: RigVars, wanted: Callable[[HostColumn], bool]
) -> Iterable[tuple[ClockSignature, tuple[Terms, Terms]]]:
    """Of the hosts that look alike to the clock, those that are wanted, and the others."""
    found: dict[ClockSignature, tuple[Terms, Terms]] = {}
    for host, number in rig.hosts.items():
        those, others = found.setdefault(host.signature, ([], []))
        (those if wanted(host) else others).append((number, 1))
    return found.items()
