"""A problem that can be asked more than once, with more cuts each time.

Several hosts make many copies of the same rig, by who stands in which slot. So they are
pooled first, and only the mix found is wired with the hosts apart.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import partial
from typing import TypeVar

from ortools.sat.python import cp_model

from rigopt.optimiser.model.model import build, columns, objective_of
from rigopt.optimiser.model.variables import Counted, RigVars
from rigopt.optimiser.problem.chosen import chosen
from rigopt.optimiser.problem.outlines import Listing
from rigopt.optimiser.problem.problem import Problem
from rigopt.optimiser.search.fixing import Guess, Narrow, Scope
from rigopt.optimiser.search.posed import Cut, Limits, Posed, within
from rigopt.optimiser.search.ties import (
    Mix,
    earlier,
    exclude_supersets,
    first_mix,
    mix_of,
    no_good,
    place,
)
from rigopt.optimiser.search.wiring import Wired, as_it_stands, wire, with_any_cables
from rigopt.optimiser.solver.linear import LARGEST, TooLargeError, amount, total
from rigopt.optimiser.solver.run import Deadline, Result, TimeIsUpError, run

T = TypeVar("T")

POOLED_ROUNDS, ROUNDS_OF_ONE = 12, 4
"""After so many mixes that cannot be wired for what they cost pooled, hosts go apart; with one
host, only units with analogue cables, which takes less."""

MOST_DROPPED = 2
"""Packs and orders; channels for microphones that arrive."""

SOON = 0.5
"""Work to find some rig while the cheapest is looked for, in the solver's units."""

NOTHING_YET = Result("unknown", 0, lambda _: 0)
ANY_COST = Scope()


@dataclass(frozen=True, slots=True)
class Best:
    """The best solution of a search: money and its lower bound in minor units."""

    counted: Counted
    mix: Mix
    money: int
    bound: int
    proven: bool
    objective: int
    """In the weights of the problem."""


@dataclass(frozen=True, slots=True)
class Incumbent:
    """The first mix of a search, its objective or a bound, and its wiring once it has one."""

    mix: Mix
    objective: int
    bound: int
    unit: int
    proven: bool
    wired: Wired | None
    sale: int
    """What could be sold, which the objective is without."""

    def better_of(self, other: Incumbent | None) -> Incumbent:
        """The better of two that are wired; if equal, the first in the order of ids."""
        if other is None or self.objective < other.objective:
            return self
        alike = self.objective == other.objective
        return (
            self if alike and place(self.mix, other.mix) < place(other.mix, self.mix) else other
        )

    def best(self) -> Best:
        """What it says of the money."""
        assert self.wired is not None
        money = self.wired.money
        bound = (
            money if self.proven else min(money, max(0, self.bound // self.unit) - self.sale)
        )
        wired = self.wired
        return Best(wired.counted, self.mix, money, bound, self.proven, wired.objective)


def stands(rig: RigVars, result: Result) -> bool:
    """Whether a solution is a rig as it is: with one host, and no analogue cables, which are
    wired by the names of units."""
    alone = rig.problem.needs.max_hosts == 1 or not rig.problem.pooled
    return alone and not any(map(result.value, rig.lines.values()))


def exactly(problem: Problem, ask: Callable[[Problem], T]) -> T:
    """What `ask` says of a problem; where its sums would not be exact, some that decides least
    is dropped.

    Raises:
        TooLargeError: When money, units, links and hops alone are too large.
    """
    for dropped in range(problem.dropped, MOST_DROPPED):
        try:
            return ask(replace(problem, dropped=dropped))
        except TooLargeError:
            continue
    try:
        return ask(replace(problem, dropped=MOST_DROPPED))
    except TooLargeError as error:
        raise TooLargeError(problem.needs) from error


class Search:
    """A problem, its columns, and the cuts and limits to ask it with.

    `ranks`: how many of the cheapest mixes are of interest; `focus`: types that must stay
    in the model although others do the same for less. `listed`, columns by whether hosts
    are pooled: those of another search with the same kinds of demand and no more of any,
    to be shared. `whole`: a model of all columns, where only prices differ.
    """

    def __init__(
        self,
        problem: Problem,
        ranks: int = 1,
        focus: Iterable[str] = (),
        listed: dict[bool, Listing] | None = None,
        whole: Posed | None = None,
    ) -> None:
        self.problem = problem
        self.cuts: list[Cut] = []
        self.limits: Limits = {}
        self._narrow = Narrow(ranks, focus, {} if listed is None else listed, whole)
        self._last: tuple[Mix, int, Wired | None] | None = None

    def part(self, limits: Limits) -> Search:
        """The same search among the rigs within `limits`; what is known of it is shared."""
        part = Search(self.problem)
        part.cuts, part.limits, part._narrow = list(self.cuts), limits, self._narrow
        return part

    def forbid(self, mix: Mix) -> None:
        """Ask for a rig that does not hold all the devices of `mix`."""
        self.cuts.append(lambda model, rig: exclude_supersets(model, rig, mix))

    def other_than(self, mix: Mix) -> None:
        """Ask for another number of units of some type than in `mix`."""
        self.cuts.append(partial(no_good, mix=mix))

    def before(self, mix: Mix) -> None:
        """Ask for a mix that comes before `mix` in the order of ids."""
        self.cuts.append(lambda model, rig: earlier(model, rig, mix))

    def between(self, item: str, lower: int, upper: int) -> None:
        """Ask for `lower` to `upper` units of a type."""
        self.cuts.append(lambda model, rig: within(model, rig, item, lower, upper))

    def possible(self, deadline: Deadline) -> Result:
        """Whether there is any rig; looks for no good one."""
        try:
            return self._possible(deadline)
        except TimeIsUpError:
            return NOTHING_YET

    def _possible(self, deadline: Deadline) -> Result:
        """The same.

        Large models come last: first hosts are pooled and no unit needs a clock, then hosts
        are pooled, then with the units of that alone they go apart, then with all.
        """
        _, _, loose = self._any(self.problem, deadline, clocked=False)
        if loose.status == "infeasible":
            return loose
        model, rig, pooled = self._any(self.problem, deadline)
        if pooled.status == "infeasible" or (pooled.found and stands(rig, pooled)):
            return pooled
        apart = self.problem.apart()
        if pooled.found:
            small = self._smaller(model, rig, pooled, deadline)
            mix = mix_of(rig, small.value)
            every = {cable.id for cable in apart.cables}
            # No more places for hosts than it has: each makes the model larger.
            hosts = sum(map(small.value, rig.hosts.values()))
            few = replace(apart, needs=replace(apart.needs, max_hosts=hosts))
            _, _, same = self._any(chosen(few, mix.units, {*every, *mix.packs}), deadline)
            if same.found:
                return same
        return self._any(apart, deadline)[2]

    def _smaller(
        self, model: cp_model.CpModel, rig: RigVars, found: Result, deadline: Deadline
    ) -> Result:
        """A rig of few units, soon: any other may hold hundreds that it has no use for."""
        model.minimize(total(rig.units()))
        small = run(model, deadline, effort=SOON)
        return small if small.found else found

    def _any(
        self, problem: Problem, deadline: Deadline, clocked: bool = True
    ) -> tuple[cp_model.CpModel, RigVars, Result]:
        model = cp_model.CpModel()
        whole = problem.most is None
        beat = deadline.check
        counted = (
            self._narrow.columns(problem, deadline) if whole else columns(problem, 0, (), beat)
        )
        rig = build(model, problem, counted, clocked=clocked, beat=beat)
        self._asked(model, rig)
        return model, rig, run(model, deadline)

    def _asked(self, model: cp_model.CpModel, rig: RigVars) -> None:
        for cut in self.cuts:
            cut(model, rig)
        for item, (lower, upper) in self.limits.items():
            within(model, rig, item, lower, upper)

    def first(self, deadline: Deadline, scope: Scope) -> Incumbent | Result:
        """The first mix with hosts pooled, not wired yet: no rig has a lower objective."""
        return self._mix(self.problem, deadline, scope)

    def best_exact(self, deadline: Deadline, scope: Scope = ANY_COST) -> Best | Result:
        """The best rig; where its sums would not be exact, some that decides least is dropped.

        Raises:
            TooLargeError: When money, units, links and hops alone are too large.
        """

        def ask(problem: Problem) -> Best | Result:
            if problem.dropped != self.problem.dropped:
                self.problem, known = problem, self._narrow
                self._narrow = Narrow(known.ranks, known.focus, known.listed)
                self._last = None  # its objective has other weights
            return self.best(deadline, scope)

        return exactly(self.problem, ask)

    def best(
        self, deadline: Deadline, scope: Scope = ANY_COST, begun: Incumbent | None = None
    ) -> Best | Result:
        """The first rig in the order of the objectives; a result that has not found any, if so.

        Hosts are pooled first, which is quick. If the mix that is cheapest then can be
        wired with the hosts apart for the same, it is the answer. If not, it is excluded
        and the next one is looked at, a few times; then hosts are told apart. Meanwhile
        some rig is kept in case that time runs out. `begun`: what is known to be `first`.
        """
        rest = self.part(self.limits)
        known: Incumbent | None = None
        fallback: Incumbent | None = None

        def soon(guess: Guess) -> bool:
            nonlocal fallback
            fallback = self._soon(guess, deadline)
            return fallback is not None and fallback.objective == guess.objective

        alone = self.problem.needs.max_hosts == 1
        for turn in range(ROUNDS_OF_ONE if alone else POOLED_ROUNDS):
            pooled = begun or rest._mix(self.problem, deadline, scope, None if turn else soon)
            begun = None
            if isinstance(pooled, Result):
                if pooled.status != "infeasible":
                    break
                return known.best() if known else pooled
            pooled = self._wired(pooled, deadline, scope)
            if not pooled.proven:
                return self._unproven(pooled, known or fallback)
            if pooled.wired is not None and pooled.wired.objective == pooled.objective:
                return pooled.better_of(known).best()
            if pooled.wired is not None:
                known = replace(pooled, objective=pooled.wired.objective).better_of(known)
            elif fallback is None and turn & (turn + 1) == 0:
                # In turns 0, 1, 3 and 7: the mixes are much alike, and so is what fails.
                with suppress(TimeIsUpError):
                    fallback = self._fallback(pooled, deadline)
            scope = scope.within(pooled.objective, known.objective if known else LARGEST)
            rest.other_than(pooled.mix)
        return self._apart(deadline, scope, known or fallback)

    def _soon(self, guess: Guess, deadline: Deadline) -> Incumbent | None:
        """A rig of a guess with hosts pooled; None if it cannot be wired."""
        posed, result, objective = guess
        mix, money = mix_of(posed.rig, result.value), posed.objective.money
        wired = self._wire(mix, objective, deadline)
        if wired is None:
            return None
        deadline.watch.found(wired.money)
        bound, sale = result.bound, self.problem.sale
        return Incumbent(wired.mix, wired.objective, bound, money, False, wired, sale)

    def _wire(self, mix: Mix, lower: int, deadline: Deadline) -> Wired | None:
        """The wiring of a mix, hosts apart; the last one is at hand."""
        if self._last is None or self._last[:2] != (mix, lower):
            wired = wire(self.problem.apart(), mix, lower, deadline)
            self._last = mix, lower, wired
        return self._last[2]

    def _fallback(self, first: Incumbent, deadline: Deadline) -> Incumbent | None:
        """A rig of the types of `first`, which cannot be wired, that costs half more at most,
        and of not many more units of any.

        None if there is none, or if none is found soon.

        Raises:
            TimeIsUpError: When the deadline comes before there is a model.
        """
        apart = self.problem.apart()
        some = {item: number + number // 2 + 1 for item, number in first.mix.units.items()}
        small = apart.only(some, {cable.id for cable in apart.cables})
        small = replace(small, most=some)
        model = cp_model.CpModel()
        rig = build(model, small, columns(small, 0, (), deadline.check), beat=deadline.check)
        self._asked(model, rig)
        objective = objective_of(rig)
        model.add(total(objective.terms) <= min(LARGEST, first.objective * 3 // 2))
        result = run(model, deadline, effort=SOON)
        if not result.found:
            return None
        wired = as_it_stands(rig, objective, result)
        deadline.watch.found(wired.money)
        return replace(first, mix=wired.mix, objective=wired.objective, wired=wired)

    def _unproven(self, pooled: Incumbent, known: Incumbent | None) -> Best | Result:
        """What there is when time is up."""
        found = [first for first in (pooled, known) if first and first.wired]
        if not found:
            return NOTHING_YET
        best = min(found, key=lambda first: first.wired.objective if first.wired else 0)
        return replace(best, bound=pooled.bound, proven=False).best()

    def _apart(
        self, deadline: Deadline, scope: Scope, known: Incumbent | None
    ) -> Best | Result:
        apart: Incumbent | Result = NOTHING_YET
        with suppress(TimeIsUpError):
            few = self._few(deadline, scope)
            apart = few._mix(few.problem, deadline, scope)
        if isinstance(apart, Incumbent):
            apart = self._wired(apart, deadline, scope)
            if apart.wired is not None:
                return apart.best()
        if isinstance(apart, Result) and apart.status == "infeasible":
            return apart
        if known is not None:
            bound = max(known.bound, scope.lower)
            return replace(known, bound=bound, proven=False).best()
        return apart if isinstance(apart, Result) else NOTHING_YET

    def _few(self, deadline: Deadline, scope: Scope) -> Search:
        """The same search with the hosts apart, and no more units than are of interest.

        Raises:
            TimeIsUpError: When the deadline comes first.
        """
        deadline.check()
        apart, known = self.problem.apart(), self._narrow
        if scope.upper < LARGEST:
            most = known.most(self.problem, self.cuts, self.limits, deadline, scope)
            apart = replace(apart.only(most, {cable.id for cable in apart.cables}), most=most)
            known = Narrow(known.ranks, known.focus, {})
        few = Search(apart)
        few.cuts, few.limits, few._narrow = self.cuts, self.limits, known
        return few

    def _mix(
        self,
        problem: Problem,
        deadline: Deadline,
        scope: Scope,
        early: Callable[[Guess], bool] | None = None,
    ) -> Incumbent | Result:
        deadline = deadline.early()
        try:
            posed, result = self._narrow.solve(
                problem, self.cuts, self.limits, deadline, scope, early=early
            )
        except TimeIsUpError:
            return NOTHING_YET
        if not result.found:
            return result
        mix, (terms, money) = mix_of(posed.rig, result.value), posed.objective
        objective, proven = amount(terms, result.value), result.status == "optimal"
        if proven:
            deadline.watch.bounded(objective // money - problem.sale)
        if proven and scope.ties == "ids" and not result.first:
            posed.hold(objective)
            mix = first_mix(posed.model, posed.rig, terms, objective, mix, deadline)
        bound = objective if proven else max(scope.lower, result.bound)
        wired = None
        if proven and scope.ties == "nothing" and stands(posed.rig, result):
            wired = as_it_stands(posed.rig, posed.objective, result)
        return Incumbent(mix, objective, bound, money, proven, wired, problem.sale)

    def _wired(self, first: Incumbent, deadline: Deadline, scope: Scope) -> Incumbent:
        """The same with its wiring, hosts apart, if it can be wired."""
        if first.wired is not None:
            return first
        apart = self.problem.apart()
        lower = first.objective if first.proven else 0
        wired = None
        if scope.ties != "ids of packs":
            wired = self._wire(first.mix, lower, deadline)
        if wired is None or (first.proven and wired.objective > first.objective):
            wired = with_any_cables(apart, first.mix, lower, deadline) or wired
        if wired is None:
            return first
        deadline.watch.found(wired.money)
        return replace(first, mix=wired.mix, wired=wired)
