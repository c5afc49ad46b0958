"""Rule: a socket takes one cable, and only sockets that work at the rate take any.

Variables: none of its own. Constraints: for each unit, kind and way, cables <= sockets
that work; for each socket, at most one of the cables that must sit just there.
Cost: none.
"""

from __future__ import annotations

from collections import defaultdict

from rigopt.facts import KINDS
from rigopt.optimiser.questions.repair.variables import RepairVars, Socket
from rigopt.optimiser.solver.linear import Terms, Var, total


def add(repair: RepairVars) -> None:
    """Add the rule."""
    case = repair.case
    outs: dict[tuple[str, str], Terms] = defaultdict(list)
    ins: dict[tuple[str, str], Terms] = defaultdict(list)
    for (sender, receiver, kind), cables in repair.links():
        outs[sender, kind] += cables
        ins[receiver, kind] += cables
    for unit in case.units:
        for kind in KINDS:
            repair.model.add(total(outs[unit.name, kind]) <= case.live(unit, kind, "out"))
            repair.model.add(total(ins[unit.name, kind]) <= case.live(unit, kind, "in"))
    starts, ends = _fixed(repair)
    for taken in (*starts.values(), *ends.values()):
        repair.model.add_at_most_one(taken)


def _fixed(repair: RepairVars) -> tuple[dict[Socket, list[Var]], dict[Socket, list[Var]]]:
    """Who must sit on which output, and on which input."""
    starts: dict[Socket, list[Var]] = defaultdict(list)
    ends: dict[Socket, list[Var]] = defaultdict(list)
    for rank, outs in repair.starts.items():
        for out, var in outs.items():
            starts[rank.unit, rank.kind, out].append(var)
    for rank, goes in repair.goes.items():
        for (host, socket), var in goes.items():
            ends[host, rank.kind, socket].append(var)
    staying = list(repair.kept_back.items())
    staying += [(lock.link, var) for _, lock, var in repair.alone() if lock.link is not None]
    for index, var in staying:
        link = repair.case.links[index]
        starts[link.from_unit, link.kind, link.from_socket].append(var)
        ends[link.to_unit, link.kind, link.to_socket].append(var)
    for unit, locks in repair.locks.items():
        for lock, var in locks.items():
            if lock.how == "new" and lock.socket is not None and lock.kind is not None:
                ends[unit, lock.kind, lock.socket].append(var)
    return starts, ends
