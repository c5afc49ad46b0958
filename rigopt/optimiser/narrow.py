"""A problem solved with as few columns as will do.

The linear relaxation tells which columns can be in a rig that costs at most a little more
than its bound. The model is solved with these alone. If the rig found lies within what was
allowed above the bound, no column that was left out is in a better one, and the proof is
complete; if not, its own distance from the bound says which columns must be looked at.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal, NamedTuple

from ortools.sat.python import cp_model

from rigopt.optimiser.columns import HostColumn, SatelliteColumn
from rigopt.optimiser.exact import LARGEST
from rigopt.optimiser.model import Columns, Goal, build, columns, goal
from rigopt.optimiser.problem import Problem
from rigopt.optimiser.reach import reaching
from rigopt.optimiser.run import Deadline, Result, run
from rigopt.optimiser.variables import RigVars, total

Wish = Callable[[cp_model.CpModel, RigVars], None]

Ties = Literal["ids", "ids of packs", "nothing"]

FEW = 50
"""Up to so many columns for one host, all of them take less time than the relaxation."""

FIRST_SLACK, NEXT_SLACK = 100, 20
"""First look at what is within a 100th of the bound; then, if there is no rig, at 20 times
as much."""

NONE_SO_CHEAP = Result("infeasible", 0, lambda _: 0)


@dataclass(frozen=True, slots=True)
class Scope:
    """What is known and what is wanted of the goal.

    No rig is better than `least`; one worse than `limit` is of no interest. `ties`: what
    settles ties in the goal: ids; ids of cables and the like, while of several mixes of
    units any will do; or nothing.
    """

    least: int = 0
    limit: int | None = None
    ties: Ties = "ids"

    def within(self, least: int, cost: int | None) -> Scope:
        """The same, when it is known that the best lies between `least` and `cost`."""
        known = [end for end in (self.limit, cost) if end is not None]
        return replace(self, least=least, limit=min(known, default=None))


class Posed(NamedTuple):
    """A model of some columns, ready to be solved."""

    model: cp_model.CpModel
    rig: RigVars
    goal: Goal

    def cost(self, result: Result) -> int:
        """The goal of a solution."""
        return sum(factor * result.value(var) for var, factor in self.goal.terms)


@dataclass(frozen=True, slots=True)
class Kept:
    """A posed model that waits for more wishes: those it has, and the slack it is good for."""

    posed: Posed
    wishes: Sequence[Wish]
    slack: int


@dataclass(frozen=True, slots=True)
class Outlook:
    """The columns of a problem, a bound on its goal, and how much more than that a rig with
    each column costs at least, where that is known."""

    columns: Columns
    bound: int = 0
    extra: Mapping[HostColumn | SatelliteColumn, int] = field(default_factory=dict)

    def near(self, slack: int) -> Columns:
        """The columns that a rig may hold whose goal is within `slack` of the bound."""
        return self.columns.only(lambda column: self.extra.get(column, 0) <= slack)


def wished(rig: RigVars, model: cp_model.CpModel, wishes: Iterable[Wish]) -> RigVars:
    """`rig` as it is, with `wishes` added to its model."""
    for wish in wishes:
        wish(model, rig)
    return rig


class Narrow:
    """Models of a problem, with hosts pooled or apart, for wishes that grow.

    `ranks`: how many of the cheapest mixes are of interest; `focus`: types that must stay
    in the model although others do the same for less. `counted`: columns by whether hosts
    are pooled, as far as they are known.
    """

    def __init__(self, ranks: int, focus: Iterable[str], counted: dict[bool, Columns]) -> None:
        self.ranks, self.focus, self.counted = ranks, tuple(focus), counted
        self._seen: dict[bool, Outlook] = {}
        self._kept: dict[bool, Kept] = {}

    def solve(
        self, problem: Problem, wishes: Sequence[Wish], deadline: Deadline, scope: Scope
    ) -> tuple[Posed, Result]:
        """Solve for goals within the scope."""
        outlook = self._outlook(problem, wishes)
        bound, least, dearest = outlook.bound, scope.least, scope.limit
        slack = max(1, bound // FIRST_SLACK) + max(0, least - bound)
        if dearest is not None:
            slack = dearest - bound
        # Mixes one after another are asked of one model: what is wished and known grows.
        again = scope.ties == "ids of packs" and dearest is None
        kept = self._kept_for(problem, wishes, max(1, least - bound)) if again else None
        if kept is not None:
            slack = kept.slack
        last: tuple[Posed, Result] | None = None
        while True:
            near = outlook.near(slack)
            posed = self._pose(problem, near, wishes) if kept is None else kept.posed
            if again:
                self._kept[problem.pooled] = Kept(posed, list(wishes), slack)
            kept = None
            # Where several hosts are pooled, what is found is not a rig yet.
            real = not problem.pooled or problem.needs.max_hosts == 1
            rigs = posed.rig.spent() if real else None
            deadline.watch.bounded(bound // posed.goal.money)
            if slack < 0:
                return posed, NONE_SO_CHEAP
            goals = total(posed.goal.terms)
            posed.model.add_linear_constraint(
                goals, least, LARGEST if dearest is None else dearest
            )
            result = run(posed.model, deadline, rigs)
            deadline.watch.kept |= result.found
            if result.status == "unknown" and last is not None:
                return last
            if len(near) == len(outlook.columns):
                return posed, result
            if result.status == "infeasible" and dearest is None:
                slack *= NEXT_SLACK
            elif result.status == "optimal" and posed.cost(result) - bound > slack:
                last = posed, Result("feasible", bound, result.value)
                slack = posed.cost(result) - bound
                if again:  # and a little more, for those that come after it
                    slack += slack // 2
                else:
                    dearest = posed.cost(result)
            else:
                # What the solver knows of a part is no bound for the whole.
                return posed, Result(result.status, bound, result.value)

    def _pose(self, problem: Problem, counted: Columns, wishes: Sequence[Wish]) -> Posed:
        model = cp_model.CpModel()
        rig = wished(build(model, problem, counted), model, wishes)
        goals = goal(rig)
        model.minimize(total(goals.terms))
        return Posed(model, rig, goals)

    def _outlook(self, problem: Problem, wishes: Sequence[Wish]) -> Outlook:
        """The columns and their relaxation, with the wishes that there are by now.

        It is kept: more wishes can only make rigs dearer, so what it says stays true.
        """
        if problem.pooled not in self._seen:
            if problem.pooled not in self.counted:
                self.counted[problem.pooled] = columns(problem, self.ranks, self.focus)
            counted = reaching(problem, self.counted[problem.pooled])
            few = len(counted) <= FEW and problem.needs.max_hosts == 1
            seen = Outlook(counted) if few else self._relaxed(problem, counted, wishes)
            self._seen[problem.pooled] = seen
        return self._seen[problem.pooled]

    def _relaxed(self, problem: Problem, counted: Columns, wishes: Sequence[Wish]) -> Outlook:
        # Here and not above, so that a small problem does not wait for the linear solver.
        from rigopt.optimiser.relaxation import relax  # noqa: PLC0415

        whole = self._pose(problem, counted, wishes)
        known = relax(whole.model, whole.goal.money)
        if known is None:
            return Outlook(counted)
        extra = {c: known.reduced_costs[count.index] for c, count in whole.rig.columns()}
        return Outlook(counted, known.bound, extra)

    def _kept_for(self, problem: Problem, wishes: Sequence[Wish], slack: int) -> Kept | None:
        """The model kept if it is good for `slack`, with all that is wished by now."""
        kept = self._kept.get(problem.pooled)
        if kept is None or kept.slack < slack:
            return None
        had = len(kept.wishes)
        if wishes[:had] != kept.wishes:
            return None
        wished(kept.posed.rig, kept.posed.model, wishes[had:])
        return replace(kept, wishes=list(wishes))
