"""The least largest regret, by cuts.

Rigs that have been seen are the rivals. The rig whose largest regret over these is least
comes first: no rig at all has less. Then the largest regret of that rig over all rigs is
worked out; the rig beside which it is so large is a rival more. Where both are the same, it
is proven. The true regret of any rig seen on the way is a limit within which the next is
looked for.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import NamedTuple

from rigopt.optimiser.problem.pricing import Pricing, Rival
from rigopt.optimiser.problem.problem import Problem
from rigopt.optimiser.questions.plan import answered
from rigopt.optimiser.questions.regret.largest import Largest, Shared, largest_regret, rival
from rigopt.optimiser.search.fixing import Scope
from rigopt.optimiser.search.pooled import Best, Search
from rigopt.optimiser.solver.run import Deadline
from rigopt.rig.types import Rig


@dataclass(frozen=True, slots=True)
class Least:
    """`rig` costs at most `known.most` more than the best; no rig has a largest regret below
    `bound`."""

    rig: Rig
    known: Largest
    bound: int
    rivals: tuple[Rival, ...]

    @property
    def proven(self) -> bool:
        """Whether no rig has less."""
        return self.known.most <= self.bound

    def settled(self, enough: int | None) -> bool:
        """Whether it is known if there is a rig with no more than `enough`."""
        return enough is not None and (self.known.most <= enough or self.bound > enough)


class Others(NamedTuple):
    """The rigs that a rig is measured against, and columns that their searches share."""

    problem: Problem
    shared: Shared


def priced(problem: Problem, counts: Pricing, shared: Shared) -> Search:
    """A search in which that money counts."""
    return Search(replace(problem, pricing=counts), listed=shared)


def least_regret(  # noqa: PLR0917
    problem: Problem,
    first: Rig,
    shared: Shared,
    deadline: Deadline,
    rivals: Iterable[Rival] = (),
    others: Others | None = None,
    enough: int | None = None,
) -> Least:
    """The least largest regret of all rigs; `first` is any rig, `rivals` some that are seen.

    `others`: where rivals come from, if not from the same problem. `enough`: whether there
    is a rig with no more than this is all that is asked.
    """
    beside = others or Others(problem, shared)
    known = largest_regret(*beside, first, deadline)
    seen = [*rivals, *_rivals(first, known)]
    best = Least(first, known, 0, tuple(seen))
    while not (best.proven or deadline.over or best.settled(enough)):
        counts = Pricing("regret", rivals=tuple(_once(seen)))
        scope = Scope(best.bound, best.known.most - 1, "nothing")
        found = priced(problem, counts, shared).best_exact(deadline, scope)
        if not isinstance(found, Best):
            if found.status == "infeasible":
                return replace(best, bound=best.known.most, rivals=tuple(seen))
            break
        if not found.proven:
            break
        rig = answered(problem, found, deadline).rig
        known = largest_regret(*beside, rig, deadline)
        seen += _rivals(rig, known)
        if known.most < best.known.most:
            best = replace(best, rig=rig, known=known)
        # What is least beside some rivals is no more than what any rig has beside all.
        best = replace(best, bound=max(best.bound, found.objective), rivals=tuple(seen))
    return best


def _once(rivals: list[Rival]) -> list[Rival]:
    """Each rival once, in the order in which they were seen."""
    unique = {(r.exact, tuple(sorted(r.packs.items()))): r for r in rivals}
    return list(unique.values())


def _rivals(rig: Rig, known: Largest) -> list[Rival]:
    return [rival(rig), *([rival(known.other)] if known.other else [])]
