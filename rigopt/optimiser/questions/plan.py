"""The question answered: a rig with names, or that there is none."""

from __future__ import annotations

from rigopt.answers.outcome import Answered, Impossible, Outcome, OutOfTime
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.optimiser.decode.decode import decode
from rigopt.optimiser.problem.problem import Problem, state
from rigopt.optimiser.search.pooled import NOTHING_YET, Best, Search
from rigopt.optimiser.solver.run import Deadline, Result
from rigopt.optimiser.solver.watch import Watch


def solve(
    catalogue: Catalogue,
    needs: Needs,
    time_limit: float | None = None,
    watch: Watch | None = None,
) -> Outcome:
    """The cheapest rig, or that there is none. `time_limit` in seconds.

    Raises:
        TooLargeError: When prices and counts are too large to add up exactly.
        KeyboardInterrupt: When `watch` was told to stop before there was a rig.
    """
    deadline = Deadline(time_limit, watch)
    if deadline.over:
        return unanswered(NOTHING_YET, deadline)
    search = Search(state(catalogue, needs))
    found = search.best_exact(deadline)
    if isinstance(found, Best):
        return with_pairs(search, found, deadline)
    return unanswered(found, deadline)


def unanswered(found: Result, deadline: Deadline) -> Impossible | OutOfTime:
    """How a search without a rig ended.

    Raises:
        KeyboardInterrupt: When it was told to stop.
    """
    if found.status == "infeasible":
        return Impossible(minimal=False)
    if deadline.watch.stopped:
        raise KeyboardInterrupt
    return OutOfTime(deadline.seconds or 0.0)


def answered(problem: Problem, best: Best, deadline: Deadline) -> Answered:
    """The answer with its rig by name."""
    return Answered(decode(problem, best.counted, deadline=deadline), best.bound, best.proven)


OTHER_MIXES = 8
"""So many mixes are tried beside one that cannot seat all pairs."""


def with_pairs(search: Search, first: Best, deadline: Deadline) -> Answered:
    """The first answer that seats every pair; if none of the next does, the first of all.

    The model makes sure that there is room for all pairs, but not that the 48 V banks can
    be switched so that they all find it. Then the rig says which pair gave way.
    """
    best, answer = first, answered(search.problem, first, deadline)
    given = answer
    for _ in range(OTHER_MIXES):
        if not given.rig.split_pairs or not given.proven:
            return given
        search.other_than(best.mix)
        found = search.best(deadline)
        if not isinstance(found, Best):
            break
        best, given = found, answered(search.problem, found, deadline)
    return answer
