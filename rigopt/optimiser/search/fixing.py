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

from rigopt.optimiser.model.model import build, columns, objective_of
from rigopt.optimiser.model.variables import RigVars
from rigopt.optimiser.problem.columns import Columns, HostColumn, SatelliteColumn
from rigopt.optimiser.problem.problem import Problem
from rigopt.optimiser.problem.reach import reaching
from rigopt.optimiser.solver.linear import LARGEST, amount, total
from rigopt.optimiser.solver.run import Deadline, Result, run

Cut = Callable[[cp_model.CpModel, RigVars], object]

Limits = Mapping[str, tuple[int, int]]
"""Least and most units of some types."""

Ties = Literal["ids", "ids of packs", "nothing"]

FEW = 50
"""Up to so many columns for one host, all of them take less time than the relaxation."""

FIRST_SLACK, NEXT_SLACK = 100, 20
"""First look at what is within a 100th of the bound; then, if there is no rig, at 20 times
as much."""

NONE_SO_CHEAP = Result("infeasible", 0, lambda _: 0)


@dataclass(frozen=True, slots=True)
class Scope:
    """What is known and what is wanted of the objective.

    No rig is better than `least`; one worse than `limit` is of no interest. `ties`: what
    settles ties in the objective: ids; ids of cables and the like, while of several mixes of
    units any will do; or nothing.
    """

    least: int = 0
    limit: int | None = None
    ties: Ties = "ids"

    def within(self, least: int, cost: int | None) -> Scope:
        """The same, when it is known that the best lies between `least` and `cost`."""
        known = [end for end in (self.limit, cost) if end is not None]
        return replace(self, least=least, limit=min(known, default=None))


class Posed:
    """A model of some columns, ready to be solved, and more than once.

    A cut stays once it is added. Limits and the span of the objective are set anew each time.
    """

    def __init__(self, problem: Problem, counted: Columns, cuts: Sequence[Cut]) -> None:
        self.model = cp_model.CpModel()
        self.rig = build(self.model, problem, counted)
        self.objective = objective_of(self.rig)
        self.model.minimize(total(self.objective.terms))
        self._cuts: list[Cut] = []
        self._limits: dict[str, cp_model.Constraint] = {}
        self._span: cp_model.Constraint | None = None
        self._cut(cuts)

    def serves(self, cuts: Sequence[Cut]) -> bool:
        """Whether no cut was added that is not among these."""
        return list(cuts[: len(self._cuts)]) == self._cuts

    def ask(self, cuts: Sequence[Cut], limits: Limits, least: int, most: int) -> None:
        """Ask for an objective from `least` to `most`, with these cuts and limits."""
        self._cut(cuts[len(self._cuts) :])
        free = (0, self.rig.problem.max_units)
        for item in sorted({*self._limits, *limits}):
            if item not in self._limits:
                self._limits[item] = within(self.model, self.rig, item, *free)
            _move(self._limits[item], *limits.get(item, free))
        if self._span is None:
            objective = total(self.objective.terms)
            self._span = self.model.add_linear_constraint(objective, least, most)
        else:
            _move(self._span, least, most)

    def _cut(self, cuts: Sequence[Cut]) -> None:
        for cut in cuts:
            cut(self.model, self.rig)
        self._cuts += cuts


def _move(row: cp_model.Constraint, least: int, most: int) -> None:
    domain = row.proto.linear.domain
    domain.clear()
    domain.extend(cp_model.Domain(least, most).flattened_intervals())


class Asked(NamedTuple):
    """A model that can be asked, and the slack above the bound it is good for."""

    posed: Posed
    slack: int


@dataclass(frozen=True, slots=True)
class Outlook:
    """The columns of a problem, a bound on its objective, and how much more than that a rig
    with each column costs at least, where that is known."""

    columns: Columns
    bound: int = 0
    extra: Mapping[HostColumn | SatelliteColumn, int] = field(default_factory=dict)

    def near(self, slack: int) -> Columns:
        """The columns that a rig may hold whose objective is within `slack` of the bound."""
        return self.columns.only(lambda column: self.extra.get(column, 0) <= slack)

    def posed(self, problem: Problem, cuts: Sequence[Cut], slack: int) -> Asked:
        """A model of these columns; if they are all there are, it is good for any slack."""
        near = self.near(slack)
        every = len(near) == len(self.columns)
        return Asked(Posed(problem, near, cuts), LARGEST if every else slack)


def within(
    model: cp_model.CpModel, rig: RigVars, item: str, least: int, most: int
) -> cp_model.Constraint:
    """Ask for `least` to `most` units of a type."""
    units = total(rig.units_by_type.get(item, []))
    return model.add_linear_constraint(units, least, most)


def _first_slack(bound: int, scope: Scope) -> int:
    if scope.limit is not None:
        return scope.limit - bound
    return max(1, bound // FIRST_SLACK) + max(0, scope.least - bound)


class Narrow:
    """Models of a problem, with hosts pooled or apart, for cuts that grow and limits.

    `ranks`: how many of the cheapest mixes are of interest; `focus`: types that must stay
    in the model although others do the same for less. `counted`: columns by whether hosts
    are pooled, as far as they are known.
    """

    def __init__(self, ranks: int, focus: Iterable[str], counted: dict[bool, Columns]) -> None:
        self.ranks, self.focus, self.counted = ranks, tuple(focus), counted
        self._seen: dict[bool, Outlook] = {}
        self._kept: dict[bool, Asked] = {}

    def solve(
        self,
        problem: Problem,
        cuts: Sequence[Cut],
        limits: Limits,
        deadline: Deadline,
        scope: Scope,
    ) -> tuple[Posed, Result]:
        """Solve for an objective within the scope."""
        outlook = self._outlook(problem, cuts)
        bound, least, dearest = outlook.bound, scope.least, scope.limit
        # Mixes one after another are asked of one model.
        again = scope.ties == "ids of packs"
        asked = self._kept.get(problem.pooled) if again else None
        if not (asked and asked.slack >= least - bound and asked.posed.serves(cuts)):
            asked = outlook.posed(problem, cuts, _first_slack(bound, scope))
        last: tuple[Posed, Result] | None = None
        while True:
            posed, slack = asked
            # Where several hosts are pooled, what is found is not a rig yet.
            real = not problem.pooled or problem.needs.max_hosts == 1
            rigs = posed.rig.spent() if real else None
            deadline.watch.bounded(bound // posed.objective.money)
            if slack < 0:
                return posed, NONE_SO_CHEAP
            posed.ask(cuts, limits, least, LARGEST if dearest is None else dearest)
            if again:
                self._kept[problem.pooled] = asked
            result = run(posed.model, deadline, rigs)
            deadline.watch.kept |= result.found
            if result.status == "unknown" and last is not None:
                return last
            if slack == LARGEST:
                return posed, result
            optimal = result.status == "optimal"
            cost = amount(posed.objective.terms, result.value) if optimal else 0
            if result.status == "infeasible" and (dearest is None or dearest - bound > slack):
                slack *= NEXT_SLACK
            elif cost - bound > slack:
                last = posed, Result("feasible", bound, result.value)
                slack = cost - bound
                if again:  # and a little more, for those that come after it
                    slack += slack // 2
                else:
                    dearest = cost
            else:
                # What the solver knows of a part is no bound for the whole.
                return posed, Result(result.status, bound, result.value)
            asked = outlook.posed(problem, cuts, slack)

    def _outlook(self, problem: Problem, cuts: Sequence[Cut]) -> Outlook:
        """The columns and their relaxation, with the cuts that there are by now.

        It is kept: more cuts can only make rigs dearer, so what it says stays true.
        """
        if problem.pooled not in self._seen:
            if problem.pooled not in self.counted:
                self.counted[problem.pooled] = columns(problem, self.ranks, self.focus)
            counted = reaching(problem, self.counted[problem.pooled])
            few = len(counted) <= FEW and problem.needs.max_hosts == 1
            seen = Outlook(counted) if few else _relaxed(problem, counted, cuts)
            self._seen[problem.pooled] = seen
        return self._seen[problem.pooled]


def _relaxed(problem: Problem, counted: Columns, cuts: Sequence[Cut]) -> Outlook:
    # Here and not above, so that a small problem does not wait for the linear solver.
    from rigopt.optimiser.solver.relaxation import relax  # noqa: PLC0415

    whole = Posed(problem, counted, cuts)
    known = relax(whole.model, whole.objective.money)
    if known is None:
        return Outlook(counted)
    extra = {c: known.reduced_costs[count.index] for c, count in whole.rig.columns()}
    return Outlook(counted, known.bound, extra)
