"""The largest regret of a rig that is known, and the rig beside which it is so large.

At the prices that are worst for a rig, what it has more of than another is at its upper end,
and what it has less of at its lower. So the other one pays the upper end for as many packs
as the known rig has, and the lower end for each further one: the cheapest rig at these prices
is the one that would have been best.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import NamedTuple

from rigopt.optimiser.problem.outlines import Listing
from rigopt.optimiser.problem.pricing import Pricing, Rival
from rigopt.optimiser.problem.problem import Problem
from rigopt.optimiser.questions.plan import answered
from rigopt.optimiser.search.fixing import Scope
from rigopt.optimiser.search.pooled import Best, Search
from rigopt.optimiser.solver.run import Deadline
from rigopt.rig.types import Purchase, Rig

Shared = dict[bool, Listing]
"""Columns by whether hosts are pooled: the same whatever prices are."""


class Largest(NamedTuple):
    """`most` is no less than the largest regret of a rig, and equal to it if `proven`; the
    regret over `other` is `seen`. Money in minor units."""

    seen: int
    most: int
    proven: bool
    other: Rig | None


def ranged(rig: Rig) -> dict[str, int]:
    """Packs that a rig buys at prices that are ranges, by item."""
    found: Counter[str] = Counter()
    for line in _at_ranges(rig):
        found[line.item] += line.quantity
    return dict(found)


def _at_ranges(rig: Rig) -> list[Purchase]:
    lines = rig.purchases
    return [x for x in lines if x.least is not None and x.least < x.unit_price]


def rival(rig: Rig) -> Rival:
    """A rig as others are measured against it."""
    lines = _at_ranges(rig)
    exact = rig.total - sum(line.total for line in lines)
    return Rival(exact, ranged(rig), {line.item: line.least or 0 for line in lines})


def largest_regret(problem: Problem, shared: Shared, rig: Rig, deadline: Deadline) -> Largest:
    """How much more than the best rig of `problem` `rig` can cost, whatever the true prices."""
    against = replace(problem, pricing=Pricing("against", ranged(rig)))
    found = Search(against, listed=shared).best_exact(deadline, Scope(ties="nothing"))
    if not isinstance(found, Best):
        # Nothing costs less than all that can be sold.
        return Largest(0, rig.total + problem.sale, False, None)
    other = answered(against, found, deadline).rig
    return Largest(
        max(0, regret(problem, rig, other)),
        max(0, rig.total - found.bound),
        found.proven,
        other,
    )


def regret(problem: Problem, rig: Rig, other: Rig) -> int:
    """How much more than `other` a rig costs at the prices that are worst for it."""
    one, two = rival(rig), rival(other)
    more = one.exact - two.exact
    for item in {*one.packs, *two.packs}:
        way = next(way for way in problem.ways(item) if way.ranges)
        beyond = one.packs.get(item, 0) - two.packs.get(item, 0)
        more += beyond * (way.price if beyond > 0 else way.low)
    return more
