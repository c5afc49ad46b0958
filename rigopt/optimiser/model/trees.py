"""Rule: which clock trees there are, and who must be in the same one.

All hosts are in tree 0. Where the needs allow hosts clocks of their own, and they are told
apart, a tree has the number of the lowest slot whose host is in it; pooled, all are in tree 0
and there may be as many masters as hosts. Units whose links to a host end at converters may
be in a tree without a host (FREE).

Variables: none of its own. Constraints: one master in each tree with a host; units joined to
a host in another tree are no more than the sockets of that host that convert.
Cost: none.
"""

from __future__ import annotations

from collections import defaultdict

from ortools.sat.python import cp_model

from rigopt.optimiser.model.variables import RigVars
from rigopt.optimiser.problem.columns import HostColumn
from rigopt.optimiser.problem.ports import Use
from rigopt.optimiser.problem.signatures import FREE, INTERNAL, ClockSignature, ClockState
from rigopt.optimiser.solver.linear import Terms, total


def trees(rig: RigVars) -> tuple[int, ...]:
    """All trees, in order; FREE, if any unit can be in it, comes first."""
    free = any(signature.apart for signature in rig.clocked)
    return (*((FREE,) if free else ()), *_of_hosts(rig))


def of(rig: RigVars, signature: ClockSignature) -> tuple[int, ...]:
    """The trees that units of a signature can be in."""
    if signature.host:
        assert signature.slot is not None
        return tuple(tree for tree in _of_hosts(rig) if tree <= signature.slot)
    return (*((FREE,) if signature.apart else ()), *_of_hosts(rig))


def _of_hosts(rig: RigVars) -> tuple[int, ...]:
    return tuple(rig.slots) if rig.problem.needs.own_clocks else (0,)


def add(model: cp_model.CpModel, rig: RigVars) -> None:
    """Add the rule to `model`."""
    _masters(model, rig)
    for slot in rig.slots:
        _joined(model, rig, slot)


def _masters(model: cp_model.CpModel, rig: RigVars) -> None:
    own = rig.problem.needs.own_clocks
    for tree in _of_hosts(rig):
        internal = ClockState(INTERNAL, 0, tree)
        masters = total([(s[internal], 1) for s in rig.clocked.values() if internal in s])
        if not own:
            model.add(masters == 1)
        elif rig.problem.per_slot > 1:
            model.add(masters >= 1)
            model.add(masters <= total([(number, 1) for number in rig.hosts.values()]))
        else:
            model.add(masters == total(_in(rig, tree, tree)))
            for slot in rig.slots[tree + 1 :]:
                model.add(total(_in(rig, slot, tree)) <= total(_in(rig, tree, tree)))


def _in(rig: RigVars, slot: int, tree: int) -> Terms:
    """Whether the host in a slot is in a tree."""
    return [
        (number, 1)
        for _, states in rig.at(slot)
        for state, number in states.items()
        if state.tree == tree
    ]


def _joined(model: cp_model.CpModel, rig: RigVars, slot: int) -> None:
    """Units joined to a host are in its tree, or their links end at converters."""
    sending: dict[tuple[str, int], Terms] = defaultdict(list)
    bound: dict[int, Terms] = defaultdict(list)
    for signature, states in rig.clocked.items():
        if signature.host or signature.slot != slot:
            continue
        for state, number in states.items():
            if signature.brings is not None:
                sending[signature.brings, state.tree].append((number, 1))
            if not signature.apart:
                bound[state.tree].append((number, 1))
    several = len(_of_hosts(rig)) > 1
    for (name, tree), units in sending.items():
        rig.beat()
        if tree == FREE or several:
            room: Terms = [(n, sockets(c, name)) for c, n in rig.slot(slot) if mends(c, name)]
            # No host is in FREE.
            room += [(n, rig.problem.max_units) for n, _ in _in(rig, slot, tree)]
            model.add(total(units) <= total(room))
    for tree, units in bound.items() if several else ():
        here = [(number, rig.problem.max_units) for number, _ in _in(rig, slot, tree)]
        model.add(total(units) <= total(here))


def mends(column: HostColumn, name: str) -> bool:
    """Whether a converter stands behind the sockets of a format."""
    return any(
        socket.converts and any(row.id == name for row in socket.formats)
        for socket in column.at_rate.sockets
    )


def sockets(column: HostColumn, name: str) -> int:
    """How many sockets of a host take links of a format."""
    return column.hosting.serving(Use("in", name))
