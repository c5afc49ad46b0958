"""Rule: every source that is asked for finds an arriving channel.

As for a planned rig (see `model/channels`), but the units and their banks have names. A line
takes a channel away where it ends, and brings the one that it leaves. Instruments may be in DI
boxes.

Variables: on; boxed; and one for each product of 'this end is used' and 'that bank is on'.
Constraints: one inequality for each set of groups.
Cost: banks that change.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from rigopt.needs.types import Group
from rigopt.optimiser.decode.di import INSTRUMENT, boxes, in_box
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


def create(repair: RepairVars) -> None:
    """Create the 48 V banks, for other rules to switch.

    Without needs they are as they were, but those of an XLR with a line in it may go off.
    """
    case = repair.case
    lined = {
        (line.taker, bank_of(case.by_name[line.taker].device, line.into))
        for line in case.analogue.given
        if case.by_name[line.taker].device.line_plug == "xlr"
    }
    for unit in case.units:
        for bank in banks(unit.device):
            on = repair.on[unit.name, bank] = repair.flag("on", unit.name, bank)
            if not case.judged:
                was = int(bank in unit.phantom_banks_on)
                repair.model.add(on <= was)
                if (unit.name, bank) not in lined:
                    repair.model.add(on >= was)


def add(repair: RepairVars) -> None:
    """Add the rule and its variables."""
    if not repair.case.asks("inputs"):
        return
    _boxes(repair)
    arrivals = list(_arrivals(repair))
    wanted = dict(repair.case.needs.wanted)
    for powered in repair.boxed:
        wanted.setdefault(in_box(powered), 0)
    for groups, asked in subsets(wanted):
        terms: Terms = []
        constant = 0
        for arrival in arrivals:
            more, fixed = _serving(repair, arrival, groups)
            terms += more
            constant += fixed
        for powered, boxed in repair.boxed.items():
            terms.append((boxed, (INSTRUMENT in groups) - (in_box(powered) in groups)))
        terms += _lines(repair, groups)
        repair.model.add(total(terms) + constant >= asked)


def _boxes(repair: RepairVars) -> None:
    """Create the instruments in DI boxes."""
    instruments = repair.case.needs.instrument
    for powered, room in boxes(repair.case.units).items():
        repair.boxed[powered] = repair.count(min(room, instruments), "boxed", powered)
    repair.model.add(total((var, 1) for var in repair.boxed.values()) <= instruments)


def _lines(repair: RepairVars, groups: Sequence[Group]) -> Iterator[tuple[Var, int]]:
    """What lines bring to the groups, less what they take away."""
    for places, sign in ((repair.leaves, 1), (repair.enters, -1)):
        for (name, channel), used in places.items():
            unit = repair.case.by_name[name]
            arrival = Arrival(unit, range(channel, channel + 1), used)
            for var, factor in _serving(repair, arrival, groups)[0]:
                yield var, sign * factor


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
