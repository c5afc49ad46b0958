"""A plan where prices are ranges: the rig with the least largest regret.

Of rigs with the same, the one with the least money in the middle of the ranges, and then as
in any plan. That one is looked for among rigs whose regret over all rivals seen is small
enough; if over another one it is not, that is a rival more.
"""

from __future__ import annotations

from dataclasses import replace

from rigopt.answers.outcome import Answered, Outcome, Regret
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.optimiser.problem.pricing import Pricing
from rigopt.optimiser.problem.problem import Problem, state
from rigopt.optimiser.questions.plan import answered, unanswered, with_pairs
from rigopt.optimiser.questions.regret.largest import Largest, Shared, largest_regret, rival
from rigopt.optimiser.questions.regret.least import Least, Others, least_regret, priced
from rigopt.optimiser.search.fixing import Scope
from rigopt.optimiser.search.pooled import Best
from rigopt.optimiser.solver.run import Deadline
from rigopt.optimiser.solver.watch import Silent, Watch
from rigopt.rig.types import Rig

UNTIED = Scope(ties="nothing")


def solve_ranges(
    catalogue: Catalogue,
    needs: Needs,
    time_limit: float | None = None,
    watch: Watch | None = None,
) -> Outcome:
    """The rig with the least largest regret, or that there is none. `time_limit` in seconds.

    Raises:
        TooLargeError: When prices and counts are too large to add up exactly.
        KeyboardInterrupt: When `watch` was told to stop before there was a rig.
    """
    deadline = Deadline(time_limit, Silent(watch or Watch(catalogue.currency)))
    problem, shared = state(catalogue, needs), Shared()
    first = priced(problem, Pricing("middle"), shared).best_exact(deadline)
    if not isinstance(first, Best):
        return unanswered(first, deadline)
    start = answered(problem, first, deadline).rig
    low = priced(problem, Pricing("against"), shared).best_exact(deadline, UNTIED)
    bound, rivals = -problem.sale, [rival(start)]
    if isinstance(low, Best):
        bound, rivals = low.bound, [*rivals, rival(answered(problem, low, deadline).rig)]
    found = least_regret(problem, start, shared, deadline, rivals)
    if found.proven and (settled := first_of(problem, found, shared, deadline)):
        return _told(problem, *settled, found.bound, bound)
    return replace(_told(problem, found.rig, found.known, found.bound, bound), proven=False)


def first_of(
    problem: Problem,
    found: Least,
    shared: Shared,
    deadline: Deadline,
    others: Others | None = None,
) -> tuple[Rig, Largest] | None:
    """The first rig with the least regret; None if time is up."""
    rivals = list(found.rivals)
    while True:
        counts = Pricing("middle", rivals=tuple(rivals), limit=found.bound)
        search = priced(problem, counts, shared)
        best = search.best_exact(deadline)
        if not (isinstance(best, Best) and best.proven):
            return None
        rig = with_pairs(search, best, deadline).rig
        known = largest_regret(*(others or (problem, shared)), rig, deadline)
        if known.proven and known.most <= found.bound:
            return rig, known
        if known.other is None or deadline.over:
            return None
        rivals.append(rival(known.other))


def _told(problem: Problem, rig: Rig, known: Largest, least: int, bound: int) -> Answered:
    worst = _worst(problem, rig, known.other) if known.most and known.other else ()
    regret = Regret(known.most, least, worst)
    return Answered(rig, min(bound, rig.total_from), True, regret=regret)


def _worst(problem: Problem, rig: Rig, other: Rig) -> tuple[tuple[str, int], ...]:
    """Prices at which the rig costs so much more: those of which it has more, or fewer."""
    one, two = rival(rig).packs, rival(other).packs
    found = []
    for item in sorted({*one, *two}):
        way = next(way for way in problem.ways(item) if way.ranges)
        more = one.get(item, 0) - two.get(item, 0)
        if more:
            found.append((item, way.price if more > 0 else way.low))
    return tuple(found)
