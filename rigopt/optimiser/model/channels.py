"""Rule: every source takes one arriving channel that accepts it, and 48 V is per bank.

Sources fall into five groups: microphones that need 48 V, that must not get it, that do
not care; line; instrument. For every set of groups, the channels that accept at least one
of them must be at least as many as the sources in it. By Hall's theorem (P. Hall, 1935)
this is not only necessary but enough, so no variable says which source sits where.

Variables: on[c], how many banks of composition c are switched on, over all units; a bank
is known by what its arriving channels accept. Only present when some microphones need
48 V and others must not get it; otherwise all banks are on, or all off.
Constraints: 0 <= on[c] <= banks of that composition; one inequality for each set of groups.
Cost: none.
"""

from __future__ import annotations

from collections import Counter

from ortools.sat.python import cp_model

from rigopt.optimiser.model.variables import RigVars
from rigopt.optimiser.problem.columns import HostColumn, SatelliteColumn
from rigopt.optimiser.problem.demands import Group, demands, serves_any, subsets
from rigopt.optimiser.solver.linear import Terms, Var, total

Bank = tuple[str, ...]
"""Kinds of the channels of one bank that arrive."""


def split(column: HostColumn | SatelliteColumn) -> tuple[Counter[Bank], Counter[str]]:
    """Arriving channels: banks by composition, and channels outside any bank by kind."""
    device = column.device
    kinds, size = device.channel_kinds, device.phantom_bank
    members: dict[int, list[str]] = {}
    single: Counter[str] = Counter()
    for number in column.arriving:
        kind = kinds[number - 1]
        if size and number <= device.mic_capable:
            members.setdefault((number - 1) // size, []).append(kind)
        else:
            single[kind] += 1
    return Counter(tuple(bank) for bank in members.values()), single


def add(model: cp_model.CpModel, rig: RigVars) -> None:
    """Add the rule to `model`."""
    wanted = demands(rig.problem.needs)
    banks: dict[Bank, Terms] = {}
    single: dict[str, Terms] = {}
    for column, count in rig.columns():
        in_banks, outside = split(column)
        for bank, number in in_banks.items():
            banks.setdefault(bank, []).append((count, number))
        for kind, number in outside.items():
            single.setdefault(kind, []).append((count, number))
    most = rig.problem.max_units * max((d.analogue for d in rig.problem.devices), default=0)
    sums = {kind: _sum(model, kind, terms, most) for kind, terms in single.items()}
    counts = {bank: _sum(model, " ".join(bank), terms, most) for bank, terms in banks.items()}
    on = _switches(model, counts, wanted)
    for groups, asked in subsets(wanted):
        terms = [(var, serves_any(kind, "none", groups)) for kind, var in sums.items()]
        for bank, var in counts.items():
            terms += _bank_terms(bank, var, on, groups)
        model.add(total(terms) >= asked)


def _sum(model: cp_model.CpModel, name: str, terms: Terms, most: int) -> Var:
    """A variable for a sum that stands in many inequalities."""
    var = model.new_int_var(0, most, name)
    model.add(var == total(terms))
    return var


def _switches(
    model: cp_model.CpModel, banks: dict[Bank, Var], wanted: dict[Group, int]
) -> dict[Bank, Var] | bool:
    """Banks on, by composition; or True for all on, False for all off."""
    if "no_phantom" not in wanted:
        return True
    if "phantom" not in wanted:
        return False
    on = {}
    for bank, count in banks.items():
        on[bank] = model.new_int_var(0, wanted["phantom"], f"on {' '.join(bank)}")
        model.add(on[bank] <= count)
    return on


def _bank_terms(
    bank: Bank, count: Var, on: dict[Bank, Var] | bool, groups: tuple[Group, ...]
) -> Terms:
    if_on = sum(serves_any(kind, "on", groups) for kind in bank)
    if_off = sum(serves_any(kind, "off", groups) for kind in bank)
    if isinstance(on, bool):
        return [(count, if_on if on else if_off)]
    return [(count, if_off), (on[bank], if_on - if_off)]
