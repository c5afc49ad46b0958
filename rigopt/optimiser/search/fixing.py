"""Models of a problem with few columns, asked with cuts that grow, limits and a scope.

Of many columns the outlines are relaxed first, without the clock, which is small and nearly as
good. The columns of those that come nearest to its bound are compared with each other, and put
into the model. The relaxation of that one then says what each variable can be in a rig up to an
objective.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Literal, NamedTuple

from rigopt.optimiser.model.model import compared, fits, listing
from rigopt.optimiser.problem.columns import Columns
from rigopt.optimiser.problem.outlines import Listing
from rigopt.optimiser.problem.problem import Problem
from rigopt.optimiser.search.posed import Cut, Limits, Posed
from rigopt.optimiser.search.ties import earlier, mix_of
from rigopt.optimiser.search.widening import Asked, Outlook, Widening, outlook
from rigopt.optimiser.solver.linear import LARGEST, TooLargeError, amount
from rigopt.optimiser.solver.memory import uncollected
from rigopt.optimiser.solver.run import Deadline, Result, TimeIsUpError, run

Ties = Literal["ids", "ids of packs", "nothing"]

FEW = 100
"""Up to so many columns for one host, all of them take less time than the relaxation."""

MANY = 140
"""Of more outlines than this, a relaxation without the clock leaves so many at first."""

FIRST_SHARE, FACTOR = 100, 20
"""First look at what is within a 100th of the bound; then, if there is no rig, at 20 times
as much."""

LARGE, STEP, STEP_SHARE = 3000, 2, 25
"""With more variables than this, a rig above that may take longest to find and is of no use. So
none is let in: the next look is at twice as much, up to a 25th of the bound."""

LOOK = 0.5
"""Work for such a look, in the solver's units, before dearer rigs are let in."""

GUESSES, GUESS = (200, 66, 25), 0.1
"""Among the first columns of many, those of rigs up to a 200th above what they allow, a rig is
looked for up to twice as much above it; then the same with a 66th and a 25th. With so much work
for each, in the solver's units."""

NONE_SO_CHEAP = Result("infeasible", 0, lambda _: 0)


@dataclass(frozen=True, slots=True)
class Scope:
    """What is known and what is wanted of the objective.

    No rig is below `lower`; one above `upper` is of no interest. `ties`: what settles ties
    in the objective: ids; ids of cables and the like, while of several mixes of units any
    will do; or nothing.
    """

    lower: int = 0
    upper: int = LARGEST
    ties: Ties = "ids"

    @property
    def span(self) -> tuple[int, int]:
        """From where to where."""
        return self.lower, self.upper

    def within(self, lower: int, upper: int) -> Scope:
        """The same, when it is known that the best lies between these."""
        return replace(self, lower=lower, upper=min(self.upper, upper))


class Guess(NamedTuple):
    """A solution among the first columns of many, and its objective."""

    posed: Posed
    result: Result
    objective: int


def _guess(
    some: Asked[Posed], scope: Scope, ask: Callable[[Posed, int, float], tuple[Result, int]]
) -> Guess | None:
    """A solution among the columns at hand, where these are not all and their relaxation is all
    that is known; None if there is none soon."""
    bound = some.posed.bound
    if some.upper == LARGEST or not scope.lower < bound <= scope.upper:
        return None
    for share in GUESSES:
        posed, room = some.posed.beside(()), bound // share
        limit = min(scope.upper, bound + 2 * room)
        posed.hold(min(limit, bound + room))
        result, objective = ask(posed, limit, GUESS)
        if result.found:
            return Guess(posed, replace(result, status="feasible", bound=some.bound), objective)
    return None


def _first(bound: int) -> int:
    """Up to where to look first."""
    return bound + max(1, bound // FIRST_SHARE)


def _further(bound: int, upper: int, *, fine: bool) -> int:
    """Up to where to look where there is nothing up to `upper`; `fine`: by small steps."""
    room = max(1, upper - bound)
    return bound + room * (STEP if fine and _is_near(bound, upper) else FACTOR)


def _is_large(posed: Posed) -> bool:
    return len(posed.model.proto.variables) > LARGE


def _is_near(bound: int, upper: int) -> bool:
    """Whether so little above the bound that a large model takes small steps from there."""
    return (upper - bound) * STEP_SHARE < bound


class Narrow:
    """Models of a problem, with hosts pooled or apart, for cuts that grow and limits.

    `ranks`: how many of the cheapest mixes are of interest; `focus`: types that must stay
    in the model although others do the same for less. `listed`: columns by whether hosts
    are pooled, as far as they are known. `whole`: a model of all columns with hosts pooled,
    where only prices differ.
    """

    def __init__(
        self,
        ranks: int,
        focus: Iterable[str],
        listed: dict[bool, Listing],
        whole: Posed | None = None,
    ) -> None:
        self.ranks, self.focus, self.listed = ranks, tuple(focus), listed
        self.whole = whole
        self._compared: dict[bool, Columns] = {}
        self._loose: dict[bool, Outlook] = {}
        self._whole: dict[bool, Asked[Posed]] = {}
        self._kept: dict[bool, Asked[Posed]] = {}

    def solve(
        self,
        problem: Problem,
        cuts: Sequence[Cut],
        limits: Limits,
        deadline: Deadline,
        scope: Scope,
        *,
        early: Callable[[Guess], bool] | None = None,
    ) -> tuple[Posed, Result]:
        """Solve for an objective within the scope; `early` hears of a solution that is found
        before all columns that matter are known, and says whether a rig comes to as much.

        Raises:
            TimeIsUpError: When the deadline comes before there is a model to solve.
        """
        # Mixes one after another are asked of one model.
        again = scope.ties == "ids of packs"
        # Where several hosts are pooled, what is found is not a rig yet.
        real = not problem.pooled or problem.needs.max_hosts == 1

        def solved(posed: Posed, effort: float | None = None) -> Result:
            result = run(posed.model, deadline, posed.rig.net() if real else None, effort)
            deadline.watch.kept |= result.found
            return result

        def ask(posed: Posed, limit: int, effort: float | None) -> tuple[Result, int]:
            posed.ask(cuts, limits, scope.lower, limit)
            result, terms = solved(posed, effort), posed.objective.terms
            return result, amount(terms, result.value) if result.found else 0

        def before(posed: Posed, other: Posed, known: Result, objective: int) -> None:
            than = posed.objective.terms, objective
            earlier(posed.model, posed.rig, mix_of(other.rig, known.value), than)

        if self.whole and problem.pooled:
            posed = self.whole.at(problem, cuts, limits, scope.span, deadline)
            return posed, NONE_SO_CHEAP if scope.upper < posed.bound else solved(posed)

        def pose(upper: int, room: bool = True) -> Asked[Posed]:
            upper = min(upper, scope.upper)
            whole = self._posed(problem, cuts, deadline, upper, room)
            while upper < min(whole.posed.bound, scope.upper):
                # Nothing there, as far as these columns go.
                upper = min(_first(whole.posed.bound), scope.upper)
                whole = self._posed(problem, cuts, deadline, upper)
            posed = whole.posed.beside(())
            every = not posed.hold(upper) and whole.upper == LARGEST
            near = _is_large(posed) and _is_near(whole.bound, upper)
            steps = () if near else (whole.upper, *whole.steps)
            asked = Asked(posed, LARGEST if every else upper, whole.bound, steps)
            if again:
                self._kept[problem.pooled] = asked
            return asked

        asked = self._kept.get(problem.pooled) if again else None
        guess: Guess | None = None
        if not (asked and asked.upper >= scope.lower and asked.posed.serves(cuts)):
            first = min(_first(scope.lower), scope.upper)
            guess = _guess(self._posed(problem, cuts, deadline, first), scope, ask)
            # Where it is a rig, nothing above it will be asked for.
            room = not (guess and early and early(guess))
            try:
                asked = pose(guess.objective if guess else first, room)
            except TimeIsUpError:
                if guess is None:
                    raise
                return guess.posed, guess.result
        deadline.watch.bounded(asked.bound // asked.posed.objective.money - problem.sale)
        if scope.upper < asked.bound:
            return asked.posed, NONE_SO_CHEAP
        large = _is_large(asked.posed)
        further = partial(_further, asked.bound, fine=large)
        settled = before if scope.ties == "ids" else None
        widening = Widening(further, pose, ask, LOOK, large, settled)
        if guess is None:
            return widening.best(asked, scope.upper)
        return widening.best(asked, guess.objective, (guess.posed, guess.result))

    def most(
        self,
        problem: Problem,
        cuts: Sequence[Cut],
        limits: Limits,
        deadline: Deadline,
        scope: Scope,
    ) -> dict[str, int]:
        """How many units of each type a rig within the scope can have, hosts pooled.

        Raises:
            TimeIsUpError: When the deadline comes first.
        """
        if self.whole:
            return self.whole.at(problem, cuts, limits, scope.span, deadline).most(scope.upper)
        found = self._posed(problem, cuts, deadline, scope.upper).posed.beside(())
        found.hold(scope.upper)
        return found.most(scope.upper)

    def columns(self, problem: Problem, deadline: Deadline) -> Columns:
        """The columns of the problem, pooled or not."""
        if problem.pooled not in self._compared:
            every = self._listed(problem, deadline).every(deadline.check)
            self._compared[problem.pooled] = self._best(problem, every, deadline)
        return self._compared[problem.pooled]

    def _listed(self, problem: Problem, deadline: Deadline) -> Listing:
        if problem.pooled not in self.listed:
            self.listed[problem.pooled] = listing(
                problem, self.ranks, self.focus, deadline.check
            )
        return self.listed[problem.pooled]

    def _best(self, problem: Problem, some: Columns, deadline: Deadline) -> Columns:
        return compared(problem, some, self.ranks, self.focus, deadline.check)

    @uncollected()
    def _posed(
        self,
        problem: Problem,
        cuts: Sequence[Cut],
        deadline: Deadline,
        upper: int,
        room: bool = True,
    ) -> Asked[Posed]:
        """A model of the columns of rigs up to an objective at least, and its relaxation; with
        `room`, of some above it as well.

        It is kept, with the cuts that there are when it is first asked for: more cuts can
        only make rigs dearer, so what it says stays true.
        """
        whole = self._whole.get(problem.pooled)
        if whole is not None and not whole.posed.serves(cuts):
            self._loose.pop(problem.pooled, None)
            whole = None
        if whole is None or upper > whole.upper:
            if len(self._listed(problem, deadline).outlines) > MANY:
                found, reach, further = self._near(problem, cuts, deadline, upper, room)
            else:
                found, reach, further = self.columns(problem, deadline), LARGEST, LARGEST
            posed = _fitting(problem, found, cuts, deadline)
            if len(found) > FEW or problem.needs.max_hosts > 1:
                posed.relax(deadline)
            # What a part of the columns says holds as far as no rig has others.
            whole = Asked(posed, reach, min(posed.bound, reach + 1), (further,))
            self._whole[problem.pooled] = whole
        return whole

    def _near(
        self,
        problem: Problem,
        cuts: Sequence[Cut],
        deadline: Deadline,
        upper: int,
        room: bool,
    ) -> tuple[Columns, int, int]:
        """The columns of what a relaxation without the clock leaves of the outlines up to an
        objective, with `room` for a little more; up to which, and up to which there are twice
        as many."""
        if problem.pooled not in self._loose:
            every = self._listed(problem, deadline).outlines
            posed = _fitting(problem, every, cuts, deadline, clocked=False)
            self._loose[problem.pooled] = outlook(every, posed.rig, posed.relax(deadline))
        loose = self._loose[problem.pooled]
        more = 2 * max(1, loose.bound // FIRST_SHARE) if room else 0
        reach = max(loose.reaching(MANY), max(loose.bound, upper) + more)
        near = loose.near(reach)
        further = loose.reaching(2 * len(near))
        if len(near) == len(loose.columns):
            reach = further = LARGEST
        near = self._listed(problem, deadline).of(near, deadline.check)
        return self._best(problem, near, deadline), reach, further


def _fitting(
    problem: Problem,
    counted: Columns,
    cuts: Sequence[Cut],
    deadline: Deadline,
    *,
    clocked: bool = True,
) -> Posed:
    if not fits(problem, counted):
        raise TooLargeError
    return Posed(problem, counted, cuts, deadline, clocked=clocked)
