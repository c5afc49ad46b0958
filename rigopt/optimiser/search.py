"""A problem that can be asked more than once, with more wishes each time.

The linear relaxation tells which columns can be in a rig that costs at most a little more
than its bound. The model is solved with these alone. If the rig found lies within what was
allowed above the bound, no column that was left out is in a better one, and the proof is
complete; if not, its own distance from the bound says which columns must be looked at.

Several hosts make many copies of the same rig, by who stands in which slot. So they are
pooled first, and only the mix found is wired with the hosts apart.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from typing import Literal

from ortools.sat.python import cp_model

from rigopt.optimiser.columns import HostColumn, SatelliteColumn
from rigopt.optimiser.exact import LARGEST
from rigopt.optimiser.model import Columns, Goal, build, columns, goal
from rigopt.optimiser.problem import Problem
from rigopt.optimiser.run import GRACE_S, Deadline, Result, run
from rigopt.optimiser.ties import Mix, differ, earlier, first_mix, lack, mix_of, packed, place
from rigopt.optimiser.variables import Counted, RigVars, total

Wish = Callable[[cp_model.CpModel, RigVars], None]

Ties = Literal["ids", "ids of packs", "nothing"]

FEW = 50
"""Up to so many columns for one host, all of them take less time than the relaxation."""

FIRST_SLACK, NEXT_SLACK = 100, 20
"""First look at what is within a 100th of the bound; then, if there is no rig, at 20 times
as much."""

POOLED_ROUNDS = 12
"""After so many mixes that cannot be wired for what they cost pooled, hosts go apart."""

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


@dataclass(frozen=True, slots=True)
class Wired:
    """A mix with its wiring, the goal that it reaches, and its money."""

    mix: Mix
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

    def sooner(self, other: First | None) -> First:
        """The better of two that are wired; if equal, the first in the order of ids."""
        if other is None or self.cost < other.cost:
            return self
        if self.cost == other.cost and place(self.mix, other.mix) < place(other.mix, self.mix):
            return self
        return other

    def best(self) -> Best:
        """What it says of the money."""
        assert self.wired is not None
        money = self.wired.money
        bound = money if self.proven else min(money, max(0, self.bound // self.unit))
        return Best(self.wired.counted, self.mix, money, bound, self.proven, self.wired.cost)


class Search:
    """A problem, its columns and what else is wished.

    `ranks`: how many of the cheapest mixes are of interest; `focus`: types that must stay
    in the model although others do the same for less. `counted`, columns by whether hosts
    are pooled: those of another search with the same kinds of demand, to be shared.
    """

    def __init__(
        self,
        problem: Problem,
        ranks: int = 1,
        focus: Iterable[str] = (),
        counted: dict[bool, Columns] | None = None,
    ) -> None:
        self.problem, self.ranks, self.focus = problem, ranks, tuple(focus)
        self.counted = {} if counted is None else counted
        self.wishes: list[Wish] = []
        self._seen: dict[bool, Outlook] = {}
        self._kept: dict[bool, Kept] = {}

    def forbid(self, mix: Mix) -> None:
        """Ask for a rig that does not hold all the devices of `mix`."""
        self.wishes.append(lambda model, rig: lack(model, rig, mix))

    def other_than(self, mix: Mix) -> None:
        """Ask for another number of units of some type than in `mix`."""
        self.wishes.append(partial(differ, mix=mix))

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
        """Whether there is any rig; looks for no good one.

        Large models come last: first hosts are pooled and no unit needs a clock, then
        hosts are pooled.
        """
        loose = self._any(self.problem, deadline, clocked=False)
        if loose.status == "infeasible":
            return loose
        pooled = self._any(self.problem, deadline)
        if pooled.status != "infeasible" and self.problem.needs.max_hosts > 1:
            return self._any(self.problem.apart(), deadline)
        return pooled

    def _any(self, problem: Problem, deadline: Deadline, clocked: bool = True) -> Result:
        model = cp_model.CpModel()
        counted = columns(problem, self.ranks, self.focus)
        self._wished(model, build(model, problem, counted, clocked=clocked))
        return run(model, deadline)

    def best(self, deadline: Deadline, scope: Scope = ANY_COST) -> Best | Result:
        """The first rig in the order of the goals; a result that has not found any, if so.

        Hosts are pooled first, which is quick. If the mix that is cheapest then can be
        wired with the hosts apart for the same, it is the answer. If not, it is put aside
        and the next one is looked at, a few times; then hosts are told apart.
        """
        aside = Search(self.problem, self.ranks, self.focus, self.counted)
        aside.wishes = list(self.wishes)
        aside._seen, aside._kept = self._seen, self._kept
        known: First | None = None
        for _ in range(POOLED_ROUNDS):
            pooled = aside._first(self.problem, deadline, scope)
            if isinstance(pooled, Result):
                if pooled.status != "infeasible":
                    break
                return known.best() if known else pooled
            if not pooled.proven:
                return self._unproven(pooled, known)
            if pooled.wired is not None and pooled.wired.cost == pooled.cost:
                return pooled.sooner(known).best()
            if pooled.wired is not None:
                known = replace(pooled, cost=pooled.wired.cost).sooner(known)
            scope = scope.within(pooled.cost, known.cost if known else None)
            aside.other_than(pooled.mix)
        return self._apart(deadline, scope, known)

    def _unproven(self, pooled: First, known: First | None) -> Best | Result:
        """What there is when time is up."""
        found = [first for first in (pooled, known) if first and first.wired]
        if not found:
            return NOTHING_YET
        best = min(found, key=lambda first: first.wired.cost if first.wired else 0)
        return replace(best, bound=pooled.bound, proven=False).best()

    def _apart(self, deadline: Deadline, scope: Scope, known: First | None) -> Best | Result:
        apart: First | Result = NOTHING_YET
        if not deadline.over:
            apart = self._first(self.problem.apart(), deadline, scope)
        if isinstance(apart, First) and apart.wired is not None:
            return apart.best()
        if isinstance(apart, Result) and apart.status == "infeasible":
            return apart
        if known is not None:
            return replace(known, bound=scope.least, proven=False).best()
        return apart if isinstance(apart, Result) else NOTHING_YET

    def _first(self, problem: Problem, deadline: Deadline, scope: Scope) -> First | Result:
        least = scope.least
        posed, result = self._solve(problem, deadline, scope)
        if not result.found:
            return result
        mix, cost = mix_of(posed.rig, result.value), posed.cost(result)
        proven = result.status == "optimal"
        if proven:
            deadline.watch.bounded(cost // posed.goal.money)
        if proven and scope.ties == "ids":
            mix = first_mix(posed.model, posed.rig, posed.goal.terms, cost, mix, deadline)
        least = cost if proven else 0
        apart = problem.apart()
        wired = None
        if scope.ties != "ids of packs":
            wired = wire(apart, mix, least, deadline)
        if wired is None or (proven and wired.cost > cost):
            wired = with_any_cables(apart, mix, least, deadline) or wired
        if wired is not None:
            deadline.watch.found(wired.money)
        bound = cost if proven else max(scope.least, result.bound)
        return First(mix, cost, bound, posed.goal.money, proven, wired)

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

    def _outlook(self, problem: Problem) -> Outlook:
        """The columns and their relaxation, with the wishes that there are by now.

        It is kept: more wishes can only make rigs dearer, so what it says stays true.
        """
        if problem.pooled not in self._seen:
            if problem.pooled not in self.counted:
                self.counted[problem.pooled] = columns(problem, self.ranks, self.focus)
            counted = self.counted[problem.pooled]
            few = len(counted) <= FEW and problem.needs.max_hosts == 1
            seen = Outlook(counted) if few else self._relaxed(problem, counted)
            self._seen[problem.pooled] = seen
        return self._seen[problem.pooled]

    def _relaxed(self, problem: Problem, counted: Columns) -> Outlook:
        # Here and not above, so that a small problem does not wait for the linear solver.
        from rigopt.optimiser.relaxation import relax  # noqa: PLC0415

        whole = self._pose(problem, counted)
        known = relax(whole.model, whole.goal.money)
        if known is None:
            return Outlook(counted)
        extra = {c: known.reduced_costs[count.index] for c, count in whole.rig.columns()}
        return Outlook(counted, known.bound, extra)

    def _kept_for(self, problem: Problem, slack: int) -> Kept | None:
        """The model kept if it is good for `slack`, with all that is wished by now."""
        kept = self._kept.get(problem.pooled)
        if kept is None or kept.slack < slack:
            return None
        had = len(kept.wishes)
        if self.wishes[:had] != kept.wishes:
            return None
        for wish in self.wishes[had:]:
            wish(kept.posed.model, kept.posed.rig)
        return replace(kept, wishes=list(self.wishes))

    def _solve(
        self, problem: Problem, deadline: Deadline, scope: Scope
    ) -> tuple[Posed, Result]:
        """Solve for goals within the scope, with as few columns as will do."""
        outlook = self._outlook(problem)
        bound, least, dearest = outlook.bound, scope.least, scope.limit
        slack = max(1, bound // FIRST_SLACK) + max(0, least - bound)
        if dearest is not None:
            slack = dearest - bound
        # Mixes one after another are asked of one model: what is wished and known grows.
        again = scope.ties == "ids of packs" and dearest is None
        kept = self._kept_for(problem, max(1, least - bound)) if again else None
        if kept is not None:
            slack = kept.slack
        last: tuple[Posed, Result] | None = None
        while True:
            near = outlook.near(slack)
            posed = self._pose(problem, near) if kept is None else kept.posed
            if again:
                self._kept[problem.pooled] = Kept(posed, list(self.wishes), slack)
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
                dearest = None if again else posed.cost(result)
                if again:  # and a little more, for those that come after it
                    slack += slack // 2
            else:
                # What the solver knows of a part is no bound for the whole.
                return posed, Result(result.status, bound, result.value)


def with_any_cables(problem: Problem, mix: Mix, least: int, deadline: Deadline) -> Wired | None:
    """The best wiring of the units of a mix, whatever is bought with them."""
    every = {cable.id for cable in problem.cables}
    small = problem.only({*mix.units, *mix.packs}, every)
    free = _wire(small, mix, least, deadline, settle=True)
    if free is None:
        return None
    # Once more with these cables alone, so that no other cable has a say in ties.
    return wire(problem, free.mix, free.cost, deadline)


def wire(problem: Problem, mix: Mix, least: int, deadline: Deadline) -> Wired | None:
    """The best wiring of a mix, hosts apart; None if there is none (or no time).

    Only the types of the mix are looked at, so that the answer does not depend on
    anything in the catalogue that is not in it. `least` is a bound on the goal. Where
    sellers are named, the baskets stay those of the mix if they can.
    """
    small = problem.only({*mix.units, *mix.packs}, mix.packs)
    same = _wire(small, mix, least, deadline, fixed=True) if problem.shops else None
    return same or _wire(small, mix, least, deadline)


def _wire(  # noqa: PLR0917
    small: Problem,
    mix: Mix,
    least: int,
    deadline: Deadline,
    fixed: bool = False,
    settle: bool = False,
) -> Wired | None:
    """The best wiring of a mix; `fixed`: with its packs; to `settle` is to take, of packs
    that come to the same, the first in the order of ids, which the wiring need not use."""
    model = cp_model.CpModel()
    rig = build(model, small, columns(small, ranks=0))
    for item, units in rig.units_by_type.items():
        model.add(total(units) == mix.units.get(item, 0))
    for item in packed(rig) if fixed else ():
        bought = rig.packs[item]
        for terms, number in zip(bought, mix.packs.get(item, (0,) * len(bought)), strict=True):
            model.add(total(terms) == number)
    goals = goal(rig)
    model.add_linear_constraint(total(goals.terms), least, LARGEST)
    model.minimize(total(goals.terms))
    result = run(model, deadline)
    if result.status == "unknown":
        result = run(model, Deadline(GRACE_S))
    if not result.found:
        return None
    money = sum(factor * result.value(var) for var, factor in rig.spent())
    cost = Posed(model, rig, goals).cost(result)
    mix = mix_of(rig, result.value)
    if settle and result.status == "optimal":
        mix = first_mix(model, rig, goals.terms, cost, mix, deadline)
    return Wired(mix, rig.read(result.value), cost, money)
