"""Rule: each unit that needs a clock is a master, or locked to a socket with a link on it.

Variables: internal, idle, locked, tree, leads, hop, deepest.
Constraints: exactly one of these for a unit; idle is one without any cable that is no host;
locked <= cables with clock in the socket; hop[unit] >= hop[sender] + 1, so that there is no
circle, and both in the same tree; hosts are in one tree, unless they may run on clocks of their
own; of the units in it, exactly one leads a tree with a host: it is on its internal clock, and
is one that is asked for; hop <= max_hops.
Cost: settings that change; then the deepest hop and the sum of hops.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from rigopt.optimiser.questions.repair.routes import Place
from rigopt.optimiser.questions.repair.variables import RepairVars
from rigopt.optimiser.solver.linear import Var, total


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
        for host in _trees(repair):
            repair.tree[name, host] = repair.flag("tree", name, host)
        repair.hop[name] = repair.count(case.max_hops, "hop", name)
    repair.deepest = repair.count(case.max_hops, "deepest")


def add(repair: RepairVars) -> None:
    """Add the rule."""
    model, case = repair.model, repair.case
    for unit in case.units:
        model.add_exactly_one(repair.states[unit.name])
        model.add(repair.hop[unit.name] <= repair.deepest)
    touching: dict[str, list[Var]] = defaultdict(list)
    for route, plug in repair.plug.items():
        for name in (route.start.unit, route.end.unit):
            touching[name].append(plug)
    for name in repair.idle:
        _idle(repair, name, touching[name])
    for place, locked in repair.locked.items():
        cables = [(repair.plug[r], 1) for r in case.taken(place) if r.format.clock]
        model.add(total(cables) >= locked)
    _follow(repair)
    for host in case.hosts:
        model.add(repair.same_clock(host.name, host.name) == 1)
    for host_name in _trees(repair):
        _one_master(repair, host_name)


def _idle(repair: RepairVars, name: str, touching: Sequence[Var]) -> None:
    """It has no cable exactly if it needs no clock."""
    for plug in touching:
        repair.model.add_implication(repair.idle[name], ~plug)
    repair.model.add_bool_or([*touching, repair.idle[name]])


def _follow(repair: RepairVars) -> None:
    """A unit is one link further from the master than the one it has its clock from.

    In a chain of word inputs it is as far as the unit at whose T-piece it hangs.
    """
    trees = _trees(repair)
    for route, plug in repair.plug.items():
        repair.beat()
        for sender, place in route.ways:
            if not route.format.clock or place not in repair.locked:
                continue
            where = (plug, repair.locked[place])
            far = repair.hop[sender] + (0 if route.tee else 1)
            repair.model.add(repair.hop[place.unit] >= far).only_enforce_if(*where)
            for host in trees:
                there = repair.tree[place.unit, host] == repair.tree[sender, host]
                repair.model.add(there).only_enforce_if(*where)


def _trees(repair: RepairVars) -> list[str]:
    """The hosts that name a clock tree."""
    return list(dict.fromkeys(repair.case.tree(host.name) for host in repair.case.hosts))


def _one_master(repair: RepairVars, host: str) -> None:
    model, case = repair.model, repair.case
    for unit in case.units:
        there = repair.tree[unit.name, host]
        if unit.name in repair.idle:
            model.add_implication(repair.idle[unit.name], ~there)
        if unit.name in repair.internal:
            internal = repair.internal[unit.name]
            leads = repair.leads[unit.name, host] = repair.flag("leads", unit.name, host)
            model.add_bool_and(there, internal).only_enforce_if(leads)
            model.add_bool_or(leads, ~there, ~internal)
            asked = case.needs.master in ("any", unit.role, unit.device.id)
            if case.asks("master") and not asked:
                model.add(leads == 0)
    model.add_exactly_one(var for (_, name), var in repair.leads.items() if name == host)
