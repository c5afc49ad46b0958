"""Rule: every source that is asked for finds an arriving channel; enough outputs are fed.

By Hall's theorem (P. Hall, 1935, from memory) an assignment exists exactly if, for every
set of groups of like sources, as many channels arrive that suit at least one of them.

Variables: on; and one for each product of 'this end is used' and 'that bank is on'.
Constraints: one inequality for each set of groups; fed line outputs of expanders and
all of hosts >= those asked for.
Cost: banks that change.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import combinations

from rigopt.catalogue.types import ACCEPTS
from rigopt.needs.types import Needs
from rigopt.optimiser.questions.repair.variables import Rewire
from rigopt.optimiser.solver.linear import Terms, Var, total
from rigopt.rig.banks import bank_of, banks
from rigopt.rig.types import Unit


@dataclass(frozen=True, slots=True)
class Group:
    """Like sources: kind, 48 V (None: either will do), and how many."""

    kind: str
    power: bool | None
    count: int

    def suits(self, channel_kind: str, power: bool) -> bool:
        """Whether a channel takes one of them with its 48 V so."""
        return self.kind in ACCEPTS[channel_kind] and self.power in (None, power)


@dataclass(frozen=True, slots=True)
class End:
    """Channels of a unit that arrive: always, or if `used` is 1."""

    unit: Unit
    channels: range
    used: Var | None = None


def groups(needs: Needs) -> list[Group]:
    """The groups that are not empty."""
    plain = needs.mic - needs.phantom - needs.no_phantom
    found = [
        Group("mic", True, needs.phantom),
        Group("mic", False, needs.no_phantom),
        Group("mic", None, plain),
        Group("line", None, needs.line),
        Group("instrument", None, needs.instrument),
    ]
    return [group for group in found if group.count]


def add(rewire: Rewire) -> None:
    """Add the rule and its variables."""
    case = rewire.case
    for unit in case.units:
        for bank in banks(unit.device):
            rewire.on[unit.name, bank] = rewire.flag("on", unit.name, bank)
            if not case.judged:
                on = bank in unit.phantom_banks_on
                rewire.model.add(rewire.on[unit.name, bank] == int(on))
    if case.asks("inputs"):
        _sources(rewire)
    if case.asks("outputs"):
        own = sum(host.device.line_out for host in case.hosts)
        fed = [(var, 1) for var in rewire.fed.values()]
        rewire.model.add(total(fed) + own >= case.needs.out_line)


def _sources(rewire: Rewire) -> None:
    arriving = list(_arriving(rewire))
    wanted = groups(rewire.case.needs)
    for size in range(1, len(wanted) + 1):
        for chosen in combinations(wanted, size):
            terms: Terms = []
            constant = 0
            for end in arriving:
                more, fixed = _suiting(rewire, end, chosen)
                terms += more
                constant += fixed
            asked = sum(group.count for group in chosen)
            rewire.model.add(total(terms) + constant >= asked)


def _arriving(rewire: Rewire) -> Iterable[End]:
    """Channels that arrive, or may."""
    case = rewire.case
    for host in case.hosts:
        yield End(host, range(1, len(case.spans[host.name].analogue()) + 1))
    for (name, kind, rank), ends in rewire.goes.items():
        unit = case.by_name[name]
        for (to, socket), var in ends.items():
            yield End(unit, case.brings(unit, kind, rank, to, socket), var)


def _suiting(rewire: Rewire, end: End, chosen: Iterable[Group]) -> tuple[Terms, int]:
    """How many of the channels suit one of the groups: terms, and a constant."""
    unit, kinds = end.unit, end.unit.device.channel_kinds
    if_off, more_on = 0, dict.fromkeys(banks(unit.device), 0)
    for channel in end.channels:
        kind, bank = kinds[channel - 1], bank_of(unit.device, channel)
        off = any(group.suits(kind, False) for group in chosen)
        if_off += off
        if bank is not None:
            more_on[bank] += any(group.suits(kind, True) for group in chosen) - off
    terms: Terms = [] if end.used is None else [(end.used, if_off)]
    for bank, more in more_on.items():
        if more:
            terms.append((_and(rewire, end.used, rewire.on[unit.name, bank]), more))
    return terms, if_off if end.used is None else 0


def _and(rewire: Rewire, used: Var | None, on: Var) -> Var:
    """1 exactly if both are."""
    if used is None:
        return on
    key = (used.index, on.index)
    if key not in rewire.both:
        both = rewire.both[key] = rewire.flag("both", *key)
        rewire.model.add_bool_and(used, on).only_enforce_if(both)
        rewire.model.add_bool_or(~used, ~on, both)
    return rewire.both[key]
