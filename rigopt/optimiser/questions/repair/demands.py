"""Rule: every source that is asked for finds an arriving channel; enough outputs are fed.

As for a planned rig (see `model/channels`), but the units and their banks have names.

Variables: on; and one for each product of 'this end is used' and 'that bank is on'.
Constraints: one inequality for each set of groups; fed line outputs of expanders and
all of hosts >= those asked for.
Cost: banks that change.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from rigopt.needs.types import Group
from rigopt.optimiser.problem.demands import serves_any, subsets
from rigopt.optimiser.questions.repair.variables import RepairVars
from rigopt.optimiser.solver.linear import Terms, Var, total
from rigopt.rig.banks import bank_of, banks
from rigopt.rig.types import Unit


class Arrival(NamedTuple):
    """Channels of a unit that arrive: always, or if `used` is 1."""

    unit: Unit
    channels: range
    used: Var | None = None


def add(repair: RepairVars) -> None:
    """Add the rule and its variables."""
    case = repair.case
    for unit in case.units:
        for bank in banks(unit.device):
            repair.on[unit.name, bank] = repair.flag("on", unit.name, bank)
            if not case.judged:
                on = bank in unit.phantom_banks_on
                repair.model.add(repair.on[unit.name, bank] == int(on))
    if case.asks("inputs"):
        _sources(repair)
    if case.asks("outputs"):
        own = sum(host.device.line_out for host in case.hosts)
        fed = [(var, 1) for var in repair.fed.values()]
        repair.model.add(total(fed) + own >= case.needs.out_line)


def _sources(repair: RepairVars) -> None:
    arrivals = list(_arrivals(repair))
    for groups, asked in subsets(repair.case.needs.groups):
        terms: Terms = []
        constant = 0
        for arrival in arrivals:
            more, fixed = _serving(repair, arrival, groups)
            terms += more
            constant += fixed
        repair.model.add(total(terms) + constant >= asked)


def _arrivals(repair: RepairVars) -> Iterable[Arrival]:
    """Channels that arrive, or may."""
    for host in repair.case.hosts:
        numbers = repair.case.numbers[host.name]
        before = numbers.before(None)
        for others in range(before + 1):
            used = repair.others[host.name, before][others] if before else None
            yield Arrival(host, range(1, numbers.own(others) + 1), used)
    for deal in repair.deals:
        yield Arrival(repair.case.by_name[deal.rank.unit], deal.channels, deal.var)


def _serving(
    repair: RepairVars, arrival: Arrival, groups: Sequence[Group]
) -> tuple[Terms, int]:
    """How many of the channels serve one of the groups: terms, and a constant."""
    unit, kinds = arrival.unit, arrival.unit.device.channel_kinds
    if_off, more_on = 0, dict.fromkeys(banks(unit.device), 0)
    for channel in arrival.channels:
        kind, bank = kinds[channel - 1], bank_of(unit.device, channel)
        off = serves_any(kind, False, groups)
        if_off += off
        if bank is not None:
            more_on[bank] += serves_any(kind, True, groups) - off
    terms: Terms = [] if arrival.used is None else [(arrival.used, if_off)]
    for bank, more in more_on.items():
        if more:
            terms.append((_and(repair, arrival.used, repair.on[unit.name, bank]), more))
    return terms, if_off if arrival.used is None else 0


def _and(repair: RepairVars, used: Var | None, on: Var) -> Var:
    """1 exactly if both are."""
    if used is None:
        return on
    key = (used.index, on.index)
    if key not in repair.both:
        both = repair.both[key] = repair.flag("both", *key)
        repair.model.add_bool_and(used, on).only_enforce_if(both)
        repair.model.add_bool_or(~used, ~on, both)
    return repair.both[key]
