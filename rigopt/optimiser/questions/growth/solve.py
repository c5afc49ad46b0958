"""The cheapest journey, found among what the linear relaxation leaves.

The relaxation gives a bound on all money, and for each variable what it adds to that. So
among the journeys that cost at most a little more than the bound, most columns and packs
do not occur, or not often. All stages together are widened as the problem of one rig is.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import takewhile
from typing import Final, NamedTuple

from rigopt.optimiser.model.model import columns
from rigopt.optimiser.questions.growth.journey import Journey
from rigopt.optimiser.questions.growth.model import Posed, pose
from rigopt.optimiser.search.widening import Asked, Outlook, Widening, outlook
from rigopt.optimiser.solver.lexicographic import optimise
from rigopt.optimiser.solver.linear import LARGEST, Terms, Var, amount, reach, total
from rigopt.optimiser.solver.relaxation import Relaxation, relax
from rigopt.optimiser.solver.run import Deadline, Result, run

FIRST_SHARE: Final = 32
LAST_SHARE: Final = 2
FACTOR: Final = 4
"""First look at what is within 3 % of the bound, then 12 %, then 50 %, then at all."""

FINE: Final = 10**6
"""Parts of a minor unit in which the relaxation counts, as far as sums stay exact."""


class Solved(NamedTuple):
    """How the search for a journey ended; nothing costs less than `result.bound` says."""

    posed: Posed
    result: Result


@dataclass(frozen=True, slots=True)
class Prospect:
    """All columns of all stages, and what the relaxation says in parts of a minor unit."""

    trip: Journey
    stages: Sequence[Outlook]
    known: Relaxation
    parts: int
    top: int
    """What costs more, in minor units, is of no interest."""
    deadline: Deadline

    @property
    def bound(self) -> int:
        """No journey costs less, in minor units."""
        return max(0, -(-self.known.bound // self.parts))

    def first(self) -> Asked[Posed]:
        """What to look at first."""
        return self.up_to(self.bound + max(1, self.bound // FIRST_SHARE))

    def further(self, upper: int) -> int:
        """Up to where to look where there is nothing up to `upper`."""
        return self.bound + FACTOR * max(1, upper - self.bound)

    def up_to(self, upper: int) -> Asked[Posed]:
        """The journeys that cost at most `upper` minor units; all, if that is far off."""
        far = upper - self.bound > self.bound // LAST_SHARE
        upper = self.top if far else min(upper, self.top)
        return Asked(self.within(upper), upper, self.bound)

    def within(self, upper: int) -> Posed:
        """The model of the journeys that cost at most `upper` minor units."""
        posed = pose(
            self.trip, [stage.near(upper * self.parts) for stage in self.stages], self.deadline
        )
        self.tighten(posed, upper)
        posed.model.minimize(total(posed.spent))
        return posed

    def tighten(self, posed: Posed, upper: int) -> None:
        """Leave out journeys that cost more than `upper` minor units."""
        parts = upper * self.parts
        # What is bought has the same numbers in each model of the journey.
        self.known.only(var.index for var in _bought(posed)).hold(posed.model, parts)
        for stage, rig in zip(self.stages, posed.rigs, strict=True):
            for column, count in rig.columns():
                if not stage.may_hold(column, parts):
                    posed.model.add(count == 0)
        posed.model.add(total(posed.spent) <= upper)


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

    The bound of the result is that of `Posed.spent`, with `Journey.most_sold`.

    To `settle` is to take, of those that cost the same, the first by `Posed.ties`, as far
    as the time allows.

    Raises:
        TooLargeError: When what is paid could exceed what is exact.
        TimeIsUpError: When the deadline comes before there is a model.
    """

    def ask(posed: Posed, _limit: int, _effort: float | None) -> tuple[Result, int]:
        result = run(posed.model, deadline, _told(posed))
        return result, amount(posed.spent, result.value) if result.found else 0

    top = trip.most_money() if limit is None else limit
    seen = _prospect(trip, top + trip.most_sold, deadline)
    widening = Widening(seen.further, seen.up_to, ask)
    best = Solved(*widening.best(seen.first(), seen.top))
    if not settle or best.result.status != "optimal":
        return best
    seen.tighten(best.posed, best.result.bound)
    return _settled(best, deadline)


def _prospect(trip: Journey, top: int, deadline: Deadline) -> Prospect:
    counted = [columns(problem, 0, (), deadline.check) for problem in trip.problems]
    # The clock is most of a model, and adds little to the bound.
    whole = pose(trip, counted, deadline, clocked=False)
    parts = max(1, min(FINE, LARGEST // (2 * reach(whole.spent) + 1)))
    whole.model.minimize(total([(var, price * parts) for var, price in whole.spent]))
    known = relax(whole.model, parts, deadline)
    stages = [
        outlook(found, rig, known) for found, rig in zip(counted, whole.rigs, strict=True)
    ]
    return Prospect(trip, stages, known, parts, top, deadline)


def _told(posed: Posed) -> Terms | None:
    """What a solution costs; None where hosts are pooled, and it may be no rig yet."""
    several = any(p.needs.max_hosts > 1 for p in (rig.problem for rig in posed.rigs))
    return None if several else [term for outlay in posed.outlays for term in outlay]


def _settled(best: Solved, deadline: Deadline) -> Solved:
    """A journey that costs no more than the best, and is the first of these."""
    ties = list(takewhile(lambda terms: reach(terms) <= LARGEST, best.posed.ties()))
    if not ties:
        return best
    first = optimise(best.posed.model, ties, deadline).result
    if not first.found:
        return best
    return Solved(best.posed, replace(first, status="optimal", bound=best.result.bound))
