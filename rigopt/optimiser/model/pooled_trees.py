"""Rule: what is said of clock trees where hosts are pooled, and no tree is told from another.

A unit that has its clock from nobody is the master of its host's tree, or a converter of its
host's sockets is between them. All links of a unit go to one host, so units with s links take
hosts with s sockets, s = 1, 2, 3 ... Hosts apart keep all this by the rules of `trees`; said of
the pool as well, fewer mixes are looked at that cannot be wired.

Variables: of hosts that look alike to the clock, those that lock to a link in a socket with a
converter, at least. Constraints: those of `_one_each` and `_converted`. Cost: none.
"""

from __future__ import annotations

from collections import defaultdict

from ortools.sat.python import cp_model

from rigopt.optimiser.model.trees import mends, sockets
from rigopt.optimiser.model.variables import RigVars
from rigopt.optimiser.problem.columns import SatelliteColumn
from rigopt.optimiser.problem.signatures import FREE, INTERNAL, ClockSignature
from rigopt.optimiser.solver.linear import Terms, Var, total


def add(model: cp_model.CpModel, rig: RigVars) -> None:
    """Add the rule to `model`, whose hosts are pooled."""
    _one_each(model, rig)
    _converted(model, rig)


def _one_each(model: cp_model.CpModel, rig: RigVars) -> None:
    """Of units that lock to nothing, no two are joined to hosts of one tree, but by
    converters.

    Where each host may have a tree of its own, those that could lock to something count too.
    """
    several = rig.problem.needs.own_clocks
    units: dict[tuple[str, int], Terms] = defaultdict(list)
    for unit, columns in _joining(rig).items():
        name, alone = unit.brings or "", _alone(unit)
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
        room: Terms = []
        for host, number in rig.hosts.items():
            mended, whole = mends(host, name), sockets(host, name) // links
            if whole and (several or mended):
                room.append((number, whole if mended else 1))
        model.add(total(stuck) <= total(room) + (not several))


def _converted(model: cp_model.CpModel, rig: RigVars) -> None:
    """Units that are in no host's tree are joined to converters; where the host locks to a
    link, that has one of the sockets.
    """
    units: dict[tuple[str, int], Terms] = defaultdict(list)
    for unit, columns in _joining(rig).items():
        if not unit.apart:
            continue
        bound = [(n, -1) for state, n in rig.clocked[unit].items() if state.tree != FREE]
        for links in range(2, max(column.wiring.audio for column, _ in columns) + 1):
            wide = [(n, 1) for column, n in columns if column.wiring.audio >= links]
            if len(wide) == len(columns) or _alone(unit):
                units[unit.brings or "", links] += [*wide, *bound]
    for (name, links), free in units.items():
        room = [
            (number, sockets(host, name) // links)
            for host, number in rig.hosts.items()
            if mends(host, name)
        ]
        model.add(total([*free, *_taken(model, rig, name, links)]) <= total(room))


def _joining(
    rig: RigVars,
) -> dict[ClockSignature, list[tuple[SatelliteColumn, Var]]]:
    """The columns of units whose audio goes to a host, by what the clock knows of them."""
    found: dict[ClockSignature, list[tuple[SatelliteColumn, Var]]] = defaultdict(list)
    for column, number in rig.satellites.items():
        if column.signature is not None and column.signature.brings is not None:
            found[column.signature].append((column, number))
    return found


def _alone(unit: ClockSignature) -> bool:
    """Whether it cannot lock to anything."""
    return not (unit.shared or unit.alone)


def _taken(model: cp_model.CpModel, rig: RigVars, name: str, links: int) -> Terms:
    """At least how many hosts lock to a link that leaves converters behind so many sockets once
    less: of hosts that look alike to the clock, all that lock to one but for the others.
    """
    others: dict[ClockSignature, Terms] = {}
    tight = set()
    for host, number in rig.hosts.items():
        there = sockets(host, name) if mends(host, name) else 0
        rest = others.setdefault(host.signature, [])
        if there and there % links == 0:
            tight.add(host.signature)
        else:
            rest.append((number, -1))
    taken: Terms = []
    for unit, rest in others.items():
        locked = [(n, 1) for state, n in rig.clocked[unit].items() if state.lock.format == name]
        if unit not in tight or not locked:
            continue
        if rest:
            some = model.new_int_var(0, rig.problem.needs.max_hosts, "locked at converters")
            model.add(total([(some, 1)]) >= total([*locked, *rest]))
            locked = [(some, 1)]
        taken += locked
    return taken
