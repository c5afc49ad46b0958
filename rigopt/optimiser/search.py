"""A problem that can be asked more than once, with more wishes each time.

The linear relaxation tells which columns can be in a rig that costs at most a little more
than its bound. The model is solved with these alone. If the rig found lies within what was
allowed above the bound, no column that was left out is in a better one, and the proof is
complete; if not, its own distance from the bound says which columns must be looked at.

Several hosts make many copies of the same rig, by who stands in which slot. So they are
pooled first, and only the mix found is wired with the hosts apart.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from ortools.sat.python import cp_model

from rigopt.optimiser.columns import HostColumn, SatelliteColumn
from rigopt.optimiser.model import LARGEST, Columns, Goal, build, columns, goal
from rigopt.optimiser.problem import Problem
from rigopt.optimiser.relaxation import Relaxation, relax
from rigopt.optimiser.run import Deadline, Result, run
from rigopt.optimiser.ties import Mix, earlier, first_mix, lack, mix_of
from rigopt.optimiser.variables import Counted, RigVars, total

Wish = Callable[[cp_model.CpModel, RigVars], None]

FIRST_SLACK, NEXT_SLACK = 100, 20
"""First look at what is within 1 % of the bound, then, if there is no rig, at 20 %."""

NOTHING_YET = Result("unknown", 0, lambda _: 0)
NONE_SO_CHEAP = Result("infeasible", 0, lambda _: 0)


@dataclass(frozen=True, slots=True)
class Best:
    """The best solution of a search: money and its lower bound in minor units."""

    counted: Counted
    mix: Mix
    money: int
    bound: int
    proven: bool
    cost: int
    """The whole goal, in the weights of the problem."""


@dataclass(frozen=True, slots=True)
class Scope:
    """What is known and what is wanted of the goal.

    No rig is better than `least`; one worse than `limit` is of no interest; ties in the
    goal are settled by ids, unless `settle` says that any of them will do.
    """

    least: int = 0
    limit: int | None = None
    settle: bool = True

    def within(self, least: int, cost: int | None) -> Scope:
        """The same, when it is known that the best lies between `least` and `cost`."""
        known = [end for end in (self.limit, cost) if end is not None]
        return replace(self, least=least, limit=min(known, default=None))


ANY_COST = Scope()


@dataclass(frozen=True, slots=True)
class Posed:
    """A model of some columns, ready to be solved."""

    model: cp_model.CpModel
    rig: RigVars
    goal: Goal

    def cost(self, result: Result) -> int:
        """The goal of a solution."""
        return sum(factor * result.value(var) for var, factor in self.goal.terms)


@dataclass(frozen=True, slots=True)
class Wired:
    """A mix with its wiring, the goal that it reaches, and its money."""

    counted: Counted
    cost: int
    money: int


@dataclass(frozen=True, slots=True)
class First:
    """The first mix of a search, with its goal or a bound, and its wiring if it has one."""

    mix: Mix
    cost: int
    bound: int
    unit: int
    proven: bool
    wired: Wired | None

    def best(self) -> Best:
        """What it says of the money."""
        assert self.wired is not None
        money = self.wired.money
        bound = money if self.proven else min(money, max(0, self.bound // self.unit))
        return Best(self.wired.counted, self.mix, money, bound, self.proven, self.wired.cost)


class Search:
    """A problem, its columns and what else is wished.

    `ranks`: how many of the cheapest mixes are of interest; `focus`: types that must stay
    in the model although others do the same for less.
    """

    def __init__(self, problem: Problem, ranks: int = 1, focus: Iterable[str] = ()) -> None:
        self.problem, self.ranks, self.focus = problem, ranks, tuple(focus)
        self.wishes: list[Wish] = []

    def forbid(self, mix: Mix) -> None:
        """Ask for a rig that does not hold all the devices of `mix`."""
        self.wishes.append(lambda model, rig: lack(model, rig, mix))

    def before(self, mix: Mix) -> None:
        """Ask for a mix that comes before `mix` in the order of ids."""
        self.wishes.append(lambda model, rig: earlier(model, rig, mix))

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
        problem = self.problem.apart()
        model = cp_model.CpModel()
        self._wished(model, build(model, problem, self._columns(problem)))
        return run(model, deadline)

    def best(self, deadline: Deadline, scope: Scope = ANY_COST) -> Best | Result:
        """The first rig in the order of the goals; a result that has not found any, if so.

        Hosts are pooled first, which is quick. If the mix that is cheapest then can be
        wired with the hosts apart for the same, it is the answer; if not, its cost is a
        bound, and hosts are told apart from the start.
        """
        pooled = self._first(self.problem, deadline, scope)
        if isinstance(pooled, Result):
            return pooled
        if pooled.wired is not None and pooled.wired.cost == pooled.cost:
            return pooled.best()
        least = pooled.cost if pooled.proven else pooled.bound
        scope = scope.within(least, pooled.wired.cost if pooled.wired else None)
        apart = self._first(self.problem.apart(), deadline, scope)
        if isinstance(apart, First) and apart.wired is not None:
            return apart.best()
        if isinstance(apart, Result) and apart.status == "infeasible":
            return apart
        if pooled.wired is not None:
            return replace(pooled, proven=False).best()
        return apart if isinstance(apart, Result) else NOTHING_YET

    def _first(self, problem: Problem, deadline: Deadline, scope: Scope) -> First | Result:
        least = scope.least
        posed, result = self._solve(problem, deadline, least, scope.limit)
        if not result.found:
            return result
        mix, cost = mix_of(posed.rig, result.value), posed.cost(result)
        proven = result.status == "optimal"
        if proven and scope.settle:
            mix = first_mix(posed.model, posed.rig, posed.goal.terms, cost, mix, deadline)
        wired = wire(problem.apart(), mix, cost if proven else 0, deadline)
        bound = cost if proven else max(least, result.bound)
        return First(mix, cost, bound, posed.goal.money, proven, wired)

    def _columns(self, problem: Problem) -> Columns:
        return columns(problem, self.ranks, self.focus)

    def _pose(self, problem: Problem, counted: Columns) -> Posed:
        model = cp_model.CpModel()
        rig = build(model, problem, counted)
        self._wished(model, rig)
        goals = goal(rig)
        model.minimize(total(goals.terms))
        return Posed(model, rig, goals)

    def _wished(self, model: cp_model.CpModel, rig: RigVars) -> None:
        for wish in self.wishes:
            wish(model, rig)

    def _solve(
        self, problem: Problem, deadline: Deadline, least: int, dearest: int | None
    ) -> tuple[Posed, Result]:
        """Solve for goals from `least` to `dearest`, with as few columns as will do."""
        counted = self._columns(problem)
        whole = self._pose(problem, counted)
        known = relax(whole.model, whole.goal.money)
        if known is None:
            return whole, run(whole.model, deadline, whole.rig.spent())
        if dearest is not None and known.bound > dearest:
            return whole, NONE_SO_CHEAP
        deadline.watch.bounded(known.bound // whole.goal.money)
        slack = max(1, known.bound // FIRST_SLACK) + max(0, least - known.bound)
        if dearest is not None:
            slack = dearest - known.bound
        last: tuple[Posed, Result] | None = None
        while True:
            near = _near(counted, whole.rig, known, slack)
            posed = whole if len(near) == len(counted) else self._pose(problem, near)
            goals = total(posed.goal.terms)
            posed.model.add_linear_constraint(
                goals, least, LARGEST if dearest is None else dearest
            )
            result = run(posed.model, deadline, posed.rig.spent())
            if result.status == "unknown" and last is not None:
                return last
            if posed is whole:
                return whole, result
            if result.status == "infeasible" and dearest is None:
                slack *= NEXT_SLACK
            elif result.status == "optimal" and posed.cost(result) - known.bound > slack:
                last = posed, Result("feasible", known.bound, result.value)
                dearest = posed.cost(result)
                slack = dearest - known.bound
            else:
                # What the solver knows of a part is no bound for the whole.
                return posed, Result(result.status, known.bound, result.value)


def _near(counted: Columns, rig: RigVars, known: Relaxation, slack: int) -> Columns:
    """The columns that a rig may hold whose goal is within `slack` of the bound."""
    counts: dict[HostColumn | SatelliteColumn, cp_model.IntVar] = dict(rig.columns())
    return counted.only(lambda column: known.reduced_costs[counts[column].index] <= slack)


def wire(problem: Problem, mix: Mix, least: int, deadline: Deadline) -> Wired | None:
    """The best wiring of a mix, hosts apart; None if there is none (or no time).

    Only the types of the mix are looked at, so that the answer does not depend on
    anything in the catalogue that is not in it. `least` is a bound on the goal.
    """
    small = problem.only(mix.units, mix.packs)
    model = cp_model.CpModel()
    rig = build(model, small, columns(small, ranks=0))
    for item, units in rig.units_by_type.items():
        model.add(total(units) == mix.units[item])
    goals = goal(rig)
    model.add_linear_constraint(total(goals.terms), least, LARGEST)
    model.minimize(total(goals.terms))
    result = run(model, deadline)
    if not result.found:
        return None
    money = sum(factor * result.value(var) for var, factor in rig.spent())
    cost = Posed(model, rig, goals).cost(result)
    return Wired(rig.read(result.value), cost, money)
