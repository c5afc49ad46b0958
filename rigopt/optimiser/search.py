"""A problem that can be asked more than once, with more wishes each time.

The linear relaxation tells which columns can be in a rig that costs at most a little more
than its bound. The model is solved with these alone. If the rig found lies within what was
allowed above the bound, no column that was left out is in a better one, and the proof is
complete; if not, its own distance from the bound says which columns must be looked at.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from ortools.sat.python import cp_model

from rigopt.optimiser.columns import HostColumn, SatelliteColumn
from rigopt.optimiser.model import Columns, Goal, build, columns, goal
from rigopt.optimiser.problem import Problem
from rigopt.optimiser.relaxation import Relaxation, relax
from rigopt.optimiser.run import Deadline, Result, run
from rigopt.optimiser.ties import Mix, differ, first_mix, mix_of
from rigopt.optimiser.variables import Counted, RigVars, total

Wish = Callable[[cp_model.CpModel, RigVars], None]

FIRST_SLACK, NEXT_SLACK = 100, 20
"""First look at what is within 1 % of the bound, then, if there is no rig, at 20 %."""


@dataclass(frozen=True, slots=True)
class Best:
    """The best solution of a search: money and its lower bound in minor units."""

    counted: Counted
    mix: Mix
    money: int
    bound: int
    proven: bool


@dataclass(frozen=True, slots=True)
class Posed:
    """A model of some columns, ready to be solved."""

    model: cp_model.CpModel
    rig: RigVars
    goal: Goal

    def cost(self, result: Result) -> int:
        """The goal of a solution."""
        return sum(factor * result.value(var) for var, factor in self.goal.terms)


class Search:
    """A problem, its columns and what else is wished.

    `ranks`: how many of the cheapest mixes are of interest; `focus`: types that must stay
    in the model although others do the same for less.
    """

    def __init__(self, problem: Problem, ranks: int = 1, focus: Iterable[str] = ()) -> None:
        self.problem = problem
        self.columns = columns(problem, ranks, focus)
        self.wishes: list[Wish] = []

    def forbid(self, mix: Mix) -> None:
        """Ask for another mix of device types than `mix`."""
        self.wishes.append(lambda model, rig: differ(model, rig, mix))

    def at_least(self, item: str, units: int) -> None:
        """Ask for at least `units` of a type."""
        self._between(item, units, self.problem.max_units)

    def at_most(self, item: str, units: int) -> None:
        """Ask for at most `units` of a type."""
        self._between(item, 0, units)

    def _between(self, item: str, least: int, most: int) -> None:
        def wish(model: cp_model.CpModel, rig: RigVars) -> None:
            model.add_linear_constraint(total(rig.units_by_type.get(item, [])), least, most)

        self.wishes.append(wish)

    def possible(self, deadline: Deadline) -> Result:
        """Whether there is any rig; looks for no good one."""
        model = cp_model.CpModel()
        self._wished(model, build(model, self.problem, self.columns))
        return run(model, deadline)

    def best(self, deadline: Deadline) -> Best | Result:
        """The first rig in the order of the goals; a result that has not found any, if so.

        When the optimum is proven, ties are settled by ids and the wiring is that of the
        mix alone; otherwise it is the best so far.
        """
        posed, result = self._solve(deadline)
        if not result.found:
            return result
        counted, mix = posed.rig.read(result.value), mix_of(posed.rig, result.value)
        money = sum(factor * result.value(var) for var, factor in posed.rig.spent())
        if result.status == "feasible":
            bound = min(money, max(0, result.bound // posed.goal.money))
            return Best(counted, mix, money, bound, proven=False)
        goal_terms, cost = posed.goal.terms, posed.cost(result)
        mix = first_mix(posed.model, posed.rig, goal_terms, cost, mix, deadline)
        return Best(wire(self.problem, mix), mix, money, money, proven=True)

    def _pose(self, counted: Columns) -> Posed:
        model = cp_model.CpModel()
        rig = build(model, self.problem, counted)
        self._wished(model, rig)
        goals = goal(rig)
        model.minimize(total(goals.terms))
        return Posed(model, rig, goals)

    def _wished(self, model: cp_model.CpModel, rig: RigVars) -> None:
        for wish in self.wishes:
            wish(model, rig)

    def _solve(self, deadline: Deadline) -> tuple[Posed, Result]:
        whole = self._pose(self.columns)
        known = relax(whole.model, whole.goal.money)
        if known is None:
            return whole, run(whole.model, deadline)
        slack = known.bound // FIRST_SLACK
        dearest: int | None = None
        while True:
            near = self._near(whole.rig, known, slack)
            posed = whole if len(near) == len(self.columns) else self._pose(near)
            if dearest is not None:
                posed.model.add(total(posed.goal.terms) <= dearest)
            result = run(posed.model, deadline)
            if posed is whole:
                return whole, result
            if result.status == "infeasible":
                slack *= NEXT_SLACK
            elif result.status == "optimal" and posed.cost(result) - known.bound > slack:
                dearest = posed.cost(result)
                slack = dearest - known.bound
            else:
                # What the solver knows of a part is no bound for the whole.
                return posed, Result(result.status, known.bound, result.value)

    def _near(self, rig: RigVars, known: Relaxation, slack: int) -> Columns:
        """The columns that a rig may hold whose goal is within `slack` of the bound."""
        counts: dict[HostColumn | SatelliteColumn, cp_model.IntVar] = dict(rig.columns())
        return self.columns.only(lambda c: known.reduced_costs[counts[c].index] <= slack)


def wire(problem: Problem, mix: Mix) -> Counted:
    """The best wiring of a mix that is known to work.

    Only the types of the mix are looked at, so that the answer does not depend on
    anything in the catalogue that is not in it.
    """
    small = problem.only(mix.units, mix.packs)
    model = cp_model.CpModel()
    rig = build(model, small, columns(small, ranks=0))
    for item, units in rig.units_by_type.items():
        model.add(total(units) == mix.units[item])
    model.minimize(total(goal(rig).terms))
    return rig.read(run(model, Deadline(None)).value)
