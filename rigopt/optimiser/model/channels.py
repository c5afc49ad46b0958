"""Rule: every source takes one arriving channel that accepts it, and 48 V is per bank.

Sources fall into groups of one kind and one wish for 48 V. For every set of groups, the
channels that accept at least one of them must be at least as many as the sources in it.
That is not only necessary but enough (see `demands`), so no variable says which source
sits where. Channels are those that arrive by themselves, without the inputs that direct
outs occupy, and with what these direct outs bring.

Variables: on[c], how many banks of composition c are switched on, over all units; a bank
is known by its channels. Only present when some microphones must not get 48 V, or a direct
out must find it off; otherwise all banks are on. moved[c, cell, on]: of the channels of a sort
in such banks, how many are occupied, or come by direct outs.
Constraints: 0 <= on[c] <= banks of that composition; one inequality for each set of groups.
Cost: none.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from ortools.sat.python import cp_model

from rigopt.needs.types import NO_PHANTOM, Group
from rigopt.optimiser.model.variables import Moved, RigVars
from rigopt.optimiser.problem.analogue import Cell, Cells, Inlet, Tap, needs_off
from rigopt.optimiser.problem.demands import serves_any, subsets
from rigopt.optimiser.solver.linear import Terms, Var, total, variable_for


class Pool(NamedTuple):
    """Channels with the same state of 48 V: of a cell, how many at once, and how often."""

    cells: Mapping[Cell, int]
    on: bool
    units: Terms
    bank: Cells | None


def add(model: cp_model.CpModel, rig: RigVars) -> None:
    """Add the rule to `model`."""
    pools = list(_pools(model, rig))
    for pool in pools:
        rig.beat()
        _move(model, rig, pool)
    wanted = rig.wanted()
    for groups, _ in subsets(dict.fromkeys(wanted, 0)):
        terms = [term for pool in pools for term in _serving(rig, pool, groups)]
        asked = total([term for group in groups for term in wanted[group][1]])
        model.add(total(terms) >= asked + sum(wanted[group][0] for group in groups))


def _pools(model: cp_model.CpModel, rig: RigVars) -> Iterator[Pool]:
    banks: dict[Cells, Terms] = {}
    single: dict[Cell, Terms] = {}
    for column, count in rig.columns():
        rig.beat()
        in_banks, outside = column.face.split
        for bank, number in in_banks.items():
            banks.setdefault(bank, []).append((count, number))
        for cell, number in outside.items():
            single.setdefault(cell, []).append((count, number))
    upper = rig.problem.max_units * max(
        (box.device.analogue for box in rig.problem.devices), default=0
    )
    for cell, terms in single.items():
        yield Pool({cell: 1}, False, [(variable_for(model, cell[0], terms, upper), 1)], None)
    for bank, terms in banks.items():
        count = variable_for(model, "bank", terms, upper)
        on = _switch(model, rig, bank, count)
        members = Counter(bank)
        if on is None:
            yield Pool(members, True, [(count, 1)], bank)
        else:
            rig.on[bank] = on
            yield Pool(members, True, [(on, 1)], bank)
            yield Pool(members, False, [(count, 1), (on, -1)], bank)


def _switch(model: cp_model.CpModel, rig: RigVars, bank: Cells, count: Var) -> Var | None:
    """How many banks of a composition are on, or None for all, which nobody minds then."""
    if NO_PHANTOM not in rig.wanted() and not any(map(needs_off, bank)):
        return None
    on = model.new_int_var(0, rig.most_powered, "on")
    model.add(on <= count)
    return on


def _move(model: cp_model.CpModel, rig: RigVars, pool: Pool) -> None:
    """Create what is occupied by direct outs, and what comes by them."""
    for cell, number in pool.cells.items():
        kind, place = cell
        brings = isinstance(place, Tap)
        if place is None or (pool.on and needs_off(cell)):
            continue
        var = model.new_int_var(
            0, rig.problem.most_lines, f"{kind} {'out' if brings else 'in'}"
        )
        model.add(var <= total([(unit, number * factor) for unit, factor in pool.units]))
        rig.moved[Moved(pool.bank, cell, pool.on)] = var


def _serving(rig: RigVars, pool: Pool, groups: Iterable[Group]) -> Terms:
    """Channels of a pool that serve some of the groups."""
    found: Terms = []
    for cell, number in pool.cells.items():
        kind, place = cell
        served = serves_any(kind, pool.on, groups)
        moved = rig.moved.get(Moved(pool.bank, cell, pool.on))
        if not isinstance(place, Tap):
            found += [(unit, factor * number * served) for unit, factor in pool.units]
        if moved is not None:
            found.append((moved, -served if isinstance(place, Inlet) else served))
    return found
