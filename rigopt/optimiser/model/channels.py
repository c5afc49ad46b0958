"""Rule: every source takes one arriving channel that accepts it, and 48 V is per bank.

Sources fall into groups of one kind and one wish for 48 V. For every set of groups, the
channels that accept at least one of them must be at least as many as the sources in it.
That is not only necessary but enough (see `demands`), so no variable says which source
sits where.

Variables: on[c], how many banks of composition c are switched on, over all units; a bank
is known by what its arriving channels accept. Only present when some microphones need
48 V and others must not get it; otherwise all banks are on, or all off.
Constraints: 0 <= on[c] <= banks of that composition; one inequality for each set of groups.
Cost: none.
"""

from __future__ import annotations

from collections import Counter

from ortools.sat.python import cp_model

from rigopt.needs.types import NO_PHANTOM, PHANTOM, Group
from rigopt.optimiser.model.variables import RigVars
from rigopt.optimiser.problem.columns import HostColumn, SatelliteColumn
from rigopt.optimiser.problem.demands import serves_any, subsets
from rigopt.optimiser.solver.linear import Terms, Var, total
from rigopt.rig.banks import bank_of

Composition = tuple[str, ...]
"""Kinds of the channels of one bank that arrive."""


def split(column: HostColumn | SatelliteColumn) -> tuple[Counter[Composition], Counter[str]]:
    """Arriving channels: banks by composition, and channels outside any bank by kind."""
    kinds = column.device.channel_kinds
    members: dict[int, list[str]] = {}
    single: Counter[str] = Counter()
    for number in column.arriving:
        bank = bank_of(column.device, number)
        if bank is None:
            single[kinds[number - 1]] += 1
        else:
            members.setdefault(bank, []).append(kinds[number - 1])
    return Counter(tuple(bank) for bank in members.values()), single


def add(model: cp_model.CpModel, rig: RigVars) -> None:
    """Add the rule to `model`."""
    wanted = rig.problem.needs.groups
    banks: dict[Composition, Terms] = {}
    single: dict[str, Terms] = {}
    for column, count in rig.columns():
        in_banks, outside = split(column)
        for bank, number in in_banks.items():
            banks.setdefault(bank, []).append((count, number))
        for kind, number in outside.items():
            single.setdefault(kind, []).append((count, number))
    upper = rig.problem.max_units * max(
        (box.device.analogue for box in rig.problem.devices), default=0
    )
    sums = {kind: _sum(model, kind, terms, upper) for kind, terms in single.items()}
    counts = {bank: _sum(model, " ".join(bank), terms, upper) for bank, terms in banks.items()}
    on = _switches(model, counts, wanted)
    for groups, asked in subsets(wanted):
        terms = [(var, serves_any(kind, False, groups)) for kind, var in sums.items()]
        for bank, var in counts.items():
            terms += _bank_terms(bank, var, on, groups)
        model.add(total(terms) >= asked)


def _sum(model: cp_model.CpModel, name: str, terms: Terms, upper: int) -> Var:
    """A variable for a sum that stands in many inequalities."""
    var = model.new_int_var(0, upper, name)
    model.add(var == total(terms))
    return var


def _switches(
    model: cp_model.CpModel, banks: dict[Composition, Var], wanted: dict[Group, int]
) -> dict[Composition, Var] | bool:
    """Banks on, by composition; or True for all on, False for all off."""
    if NO_PHANTOM not in wanted:
        return True
    if PHANTOM not in wanted:
        return False
    on = {}
    for bank, count in banks.items():
        on[bank] = model.new_int_var(0, wanted[PHANTOM], f"on {' '.join(bank)}")
        model.add(on[bank] <= count)
    return on


def _bank_terms(
    bank: Composition, count: Var, on: dict[Composition, Var] | bool, groups: tuple[Group, ...]
) -> Terms:
    if_on = sum(serves_any(kind, True, groups) for kind in bank)
    if_off = sum(serves_any(kind, False, groups) for kind in bank)
    if isinstance(on, bool):
        return [(count, if_on if on else if_off)]
    return [(count, if_off), (on[bank], if_on - if_off)]
