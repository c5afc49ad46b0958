"""A model that can be asked more than once, with more wishes each time."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from ortools.sat.python import cp_model

from rigopt.optimiser.model import Goal, build, goal
from rigopt.optimiser.problem import Problem
from rigopt.optimiser.run import Deadline, Result, run
from rigopt.optimiser.ties import Mix, differ, first_mix, mix_of
from rigopt.optimiser.variables import Counted, RigVars, total


@dataclass(frozen=True, slots=True)
class Best:
    """The best solution of a search: money and its lower bound in minor units."""

    counted: Counted
    mix: Mix
    money: int
    bound: int
    proven: bool


class Search:
    """The model of a problem with its goals.

    `ranks`: how many of the cheapest mixes are of interest; `focus`: types that must stay
    in the model although others do the same for less.
    """

    def __init__(self, problem: Problem, ranks: int = 1, focus: Iterable[str] = ()) -> None:
        self.problem = problem
        self.model = cp_model.CpModel()
        self.rig: RigVars = build(self.model, problem, ranks=ranks, focus=focus)
        self.goal: Goal = goal(self.rig)

    def forbid(self, mix: Mix) -> None:
        """Ask for another mix of device types than `mix`."""
        differ(self.model, self.rig, mix)

    def at_least(self, item: str, units: int) -> None:
        """Ask for at least `units` of a type."""
        self.model.add(total(self.rig.units_by_type.get(item, [])) >= units)

    def at_most(self, item: str, units: int) -> None:
        """Ask for at most `units` of a type."""
        self.model.add(total(self.rig.units_by_type.get(item, [])) <= units)

    def possible(self, deadline: Deadline) -> Result:
        """Whether there is any rig; looks for no good one."""
        self.model.clear_objective()  # type: ignore[no-untyped-call]
        return run(self.model, deadline)

    def best(self, deadline: Deadline) -> Best | Result:
        """The first rig in the order of the goals; a result that has not found any, if so.

        When the optimum is proven, ties are settled by ids and the wiring is that of the
        mix alone; otherwise it is the best so far.
        """
        self.model.minimize(total(self.goal.terms))
        result = run(self.model, deadline)
        if not result.found:
            return result
        counted, mix = self.rig.read(result.value), mix_of(self.rig, result.value)
        money = sum(factor * result.value(var) for var, factor in self.rig.spent())
        if result.status == "feasible":
            bound = min(money, max(0, result.bound // self.goal.money))
            return Best(counted, mix, money, bound, proven=False)
        best = sum(factor * result.value(var) for var, factor in self.goal.terms)
        mix = first_mix(self.model, self.rig, self.goal.terms, best, mix, deadline)
        return Best(wire(self.problem, mix), mix, money, money, proven=True)


def wire(problem: Problem, mix: Mix) -> Counted:
    """The best wiring of a mix that is known to work.

    Only the types of the mix are looked at, so that the answer does not depend on
    anything in the catalogue that is not in it.
    """
    small = problem.only(mix.units, mix.packs)
    model = cp_model.CpModel()
    rig = build(model, small, ranks=0)
    for item, units in rig.units_by_type.items():
        model.add(total(units) == mix.units[item])
    model.minimize(total(goal(rig).terms))
    return rig.read(run(model, Deadline(None)).value)
