"""The cheapest journey, found among what the linear relaxation leaves.

The relaxation gives a bound on all money, and for each variable what it adds to that. So
among the journeys that cost at most a little more than the bound, most columns and packs
do not occur, or not often. If there is no such journey, a little more is allowed. Whatever
was left out costs more than what was allowed, so the best one found is the best of all.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from rigopt.optimiser.model.model import columns
from rigopt.optimiser.problem.columns import Columns
from rigopt.optimiser.questions.growth.journey import Journey
from rigopt.optimiser.questions.growth.model import Posed, pose
from rigopt.optimiser.solver.linear import LARGEST, Terms, Var, amount, reach, total
from rigopt.optimiser.solver.relaxation import Relaxation, relax
from rigopt.optimiser.solver.run import Deadline, Result, run

SHARES: Final = (32, 8, 2)
"""First look at what is within this share of the bound, 3 %, then 12 %, then 50 %."""

FINE: Final = 10**6
"""Parts of a minor unit in which the relaxation counts, as far as sums stay exact."""


@dataclass(frozen=True, slots=True)
class Solved:
    """How the search for a journey ended; nothing costs less than `bound` minor units."""

    posed: Posed
    result: Result
    bound: int


@dataclass(frozen=True, slots=True)
class Outlook:
    """All columns, their model, and what the relaxation says in parts of a minor unit."""

    trip: Journey
    columns: Sequence[Columns]
    whole: Posed
    known: Relaxation | None
    parts: int

    @property
    def bound(self) -> int:
        """No journey costs less, in minor units."""
        return 0 if self.known is None else max(0, -(-self.known.bound // self.parts))

    def within(self, limit: int) -> Posed:
        """The model of the journeys that cost at most `limit` minor units."""
        if self.known is None:
            posed = pose(self.trip, self.columns)
        else:
            posed = self._near(self.known, limit * self.parts - self.known.bound)
        posed.model.add(total(posed.spent) <= limit)
        posed.model.minimize(total(posed.spent))
        return posed

    def _near(self, known: Relaxation, slack: int) -> Posed:
        """The model without what adds more than `slack`, or as often as that allows."""
        extra = known.reduced_costs
        rigs = [dict(rig.columns()) for rig in self.whole.rigs]
        near = [
            found.only(lambda column, rig=rig: extra[rig[column].index] <= slack)  # type: ignore[misc]
            for found, rig in zip(self.columns, rigs, strict=True)
        ]
        posed = pose(self.trip, near)
        for var in _bought(posed):
            each = extra[var.index]
            if each > 0 and slack // each < max(var.proto.domain):
                posed.model.add(var <= slack // each)
        return posed


def _bought(posed: Posed) -> list[Var]:
    """The packs of all baskets, and whether there are orders; the least of each is 0."""
    packs = [
        var
        for basket in posed.baskets
        for ways in basket.packs.values()
        for terms in ways
        for var, _ in terms
    ]
    return packs + [order.used for b in posed.baskets for order in b.orders.values()]


def solve(trip: Journey, deadline: Deadline, limit: int | None, settle: bool = True) -> Solved:
    """The cheapest journey; none above `limit` minor units is of interest.

    To `settle` is to take, of those that cost the same, the first by `Posed.ties`, as far
    as the time allows.

    Raises:
        TooLargeError: When what is paid could exceed what is exact.
    """
    top = trip.most_money() if limit is None else limit
    seen = _outlook(trip)
    least = seen.bound
    for end in _ends(least, top):
        posed = seen.within(end)
        result = run(posed.model, deadline, _told(posed))
        if result.status != "infeasible":
            break
        least = end + 1
    if result.status != "optimal":
        known = result.bound if result.found else 0
        return Solved(posed, result, max(least, known))
    money = amount(posed.spent, result.value)
    best = Solved(posed, result, money)
    return _settled(best, seen.within(money), deadline) if settle else best


def _outlook(trip: Journey) -> Outlook:
    counted = [columns(problem, ranks=0) for problem in trip.problems]
    whole = pose(trip, counted)
    parts = max(1, min(FINE, LARGEST // (2 * reach(whole.spent) + 1)))
    whole.model.minimize(total([(var, price * parts) for var, price in whole.spent]))
    return Outlook(trip, counted, whole, relax(whole.model, parts), parts)


def _ends(least: int, top: int) -> list[int]:
    """Up to where to look, step by step."""
    ends = [least + max(1, least // share) for share in SHARES]
    return [end for end in ends if least and end < top] + [top]


def _told(posed: Posed) -> Terms | None:
    """What a solution costs; None where hosts are pooled, and it may be no rig yet."""
    several = any(p.needs.max_hosts > 1 for p in (rig.problem for rig in posed.rigs))
    return None if several else posed.spent


def _settled(best: Solved, posed: Posed, deadline: Deadline) -> Solved:
    """A journey that costs no more than the best, and is the first of these."""
    for terms in posed.ties():
        if reach(terms) > LARGEST:
            break
        posed.model.minimize(total(terms))
        result = run(posed.model, deadline)
        if not result.found:
            break
        best = Solved(posed, replace(result, status="optimal"), best.bound)
        value = amount(terms, result.value)
        posed.model.add(total(terms) <= value)
    return best
