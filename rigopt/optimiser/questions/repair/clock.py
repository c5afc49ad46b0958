"""Rule: each unit that needs a clock is a master, or locked to a socket with a link on it.

Variables: internal, idle, locked, tree, hop, deepest.
Constraints: exactly one of these for a unit; idle is one without any cable that is no host;
locked <= cables with clock in the socket; hop[unit] >= hop[sender] + 1, so that there is no
circle, and both in one tree; the tree of a master is its own; all hosts are in one tree,
unless they may run on clocks of their own; the master of a tree with a host is one that is
asked for; hop <= max_hops.
Cost: settings that change; then the deepest hop and the sum of hops.
"""

from __future__ import annotations

from itertools import pairwise

from rigopt.optimiser.questions.repair.routes import Place
from rigopt.optimiser.questions.repair.variables import RepairVars
from rigopt.optimiser.solver.linear import total
from rigopt.rig.types import Unit


def create(repair: RepairVars) -> None:
    """Create every way in which each unit can have its clock."""
    case = repair.case
    into = {place for r in case.routes if r.format.clock for _, place in r.ways}
    for unit in case.units:
        name = unit.name
        if unit.role != "host":
            repair.idle[name] = repair.flag("idle", name)
        if unit.device.internal_clock:
            repair.internal[name] = repair.flag("internal", name)
        for ref, socket in case.sockets[name].items():
            if socket.locks and (name, ref) in into:
                repair.locked[Place(name, ref)] = repair.flag("locked", name, ref)
        repair.tree[name] = repair.count(len(case.units) - 1, "tree", name)
        repair.hop[name] = repair.count(case.max_hops, "hop", name)
    repair.deepest = repair.count(case.max_hops, "deepest")


def add(repair: RepairVars) -> None:
    """Add the rule."""
    model, case = repair.model, repair.case
    for unit in case.units:
        model.add_exactly_one(repair.states(unit.name))
        model.add(repair.hop[unit.name] <= repair.deepest)
        _own_tree(repair, unit)
    for unit in case.units:
        if unit.name in repair.idle:
            _idle(repair, unit.name)
    for place, locked in repair.locked.items():
        cables = [(repair.plug[r], 1) for r in case.taken(place) if r.format.clock]
        model.add(total(cables) >= locked)
    _follow(repair)
    _trees(repair)


def _own_tree(repair: RepairVars, unit: Unit) -> None:
    """A unit without a clock, or on its own, is in the tree that has its name."""
    for states in (repair.internal, repair.idle):
        if unit.name in states:
            own = repair.tree[unit.name] == repair.case.place[unit.name]
            repair.model.add(own).only_enforce_if(states[unit.name])


def _idle(repair: RepairVars, name: str) -> None:
    """It has no cable exactly if it needs no clock."""
    touching = {
        route: plug
        for route, plug in repair.plug.items()
        if name in (route.start.unit, route.end.unit)
    }
    for plug in touching.values():
        repair.model.add_implication(repair.idle[name], ~plug)
    states = [*touching.values(), repair.idle[name]]
    repair.model.add_bool_or(states)


def _follow(repair: RepairVars) -> None:
    """A unit is one link further from the master than the one it has its clock from.

    In a chain of word inputs it is as far as the unit at whose T-piece it hangs.
    """
    for route, plug in repair.plug.items():
        for sender, place in route.ways:
            if not route.format.clock or place not in repair.locked:
                continue
            where = (plug, repair.locked[place])
            far = repair.hop[sender] + (0 if route.tee else 1)
            repair.model.add(repair.hop[place.unit] >= far).only_enforce_if(*where)
            repair.in_one_tree(place.unit, sender, *where)


def _trees(repair: RepairVars) -> None:
    model, case = repair.model, repair.case
    if not case.needs.own_clocks:
        for one, other in pairwise(case.hosts):
            model.add(repair.tree[one.name] == repair.tree[other.name])
    if case.asks("master"):
        for unit in case.units:
            asked = case.needs.master in ("any", unit.role, unit.device.id)
            for host in case.hosts if unit.name in repair.internal and not asked else ():
                elsewhere = repair.tree[host.name] != case.place[unit.name]
                model.add(elsewhere).only_enforce_if(repair.internal[unit.name])
