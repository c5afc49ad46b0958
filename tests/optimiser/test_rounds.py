"""How a search goes on from mix to mix: with rounds that are given, and their ends by hand.

A mix is known by how many units of one type it has; what it costs with hosts pooled and what
apart is given, and so is how the solver ends where it finds none.
"""

from __future__ import annotations

from collections.abc import Sequence
from copy import copy
from dataclasses import dataclass, replace
from types import SimpleNamespace
from typing import Any

import pytest

from rigopt.needs.types import Needs
from rigopt.optimiser.problem.problem import Problem, state
from rigopt.optimiser.search.fixing import Scope
from rigopt.optimiser.search.pooled import (
    ANY_COST,
    POOLED_ROUNDS,
    Best,
    Incumbent,
    Search,
    exactly,
    stands,
)
from rigopt.optimiser.search.ties import Mix
from rigopt.optimiser.search.wiring import Wired
from rigopt.optimiser.solver.linear import LARGEST, TooLargeError
from rigopt.optimiser.solver.run import MOMENT_S, Deadline, Result
from tests.world import DESK, PRE, catalogue

pytestmark = pytest.mark.made_up

PROBLEM = state(catalogue(DESK, PRE), Needs(mic=16, max_hosts=2))
NONE = Result("infeasible", 0, lambda _: 0)
UNKNOWN = Result("unknown", 0, lambda _: 0)


@dataclass(frozen=True)
class Round:
    """A mix of so many units, what it costs pooled and apart, and whether that is proven."""

    units: int
    pooled: int
    apart: int | None = None
    proven: bool = True
    bound: int = 0

    @property
    def mix(self) -> Mix:
        return Mix({"desk-8": self.units}, {})


class Scripted(Search):
    """A search whose rounds are given, with what each is asked within."""

    def __init__(self, *rounds: Round | Result, apart: Round | Result = UNKNOWN) -> None:
        super().__init__(PROBLEM)
        self.rounds, self.there, self.spare = list(rounds), apart, 0
        self.scopes: list[Scope] = []
        self.passed: list[Mix] = []
        self.tried: list[Mix] = []
        self.wires: dict[int, Round] = {}
        self.guess: Any = None
        self.guesses: list[bool] = []

    def part(self, limits: Any) -> Search:
        assert limits is self.limits
        return self

    def other_than(self, mix: Mix) -> None:
        self.passed.append(mix)

    def _mix(
        self, problem: Problem, _: Deadline, scope: Scope, early: Any = None
    ) -> Incumbent | Result:
        self.scopes.append(scope)
        if early:
            early(self.guess)
        self.guesses.append(early is not None)
        one = self.rounds.pop(0) if problem.pooled else self.there
        if isinstance(one, Result):
            return one
        self.wires[one.units] = one
        bound = one.bound or one.pooled
        return Incumbent(one.mix, one.pooled, bound, 10, one.proven, None, 1)

    def _few(self, deadline: Deadline, _: Scope) -> Search:
        deadline.check()
        few = copy(self)
        few.problem = self.problem.apart()
        return few

    def _wired(self, first: Incumbent, *_: object) -> Incumbent:
        apart = self.wires[first.mix.units["desk-8"]].apart
        return first if apart is None else replace(first, wired=wired(first.mix, apart))

    def _soon(self, guess: Any, _: Deadline) -> Incumbent | None:
        return guess

    def _fallback(self, first: Incumbent, _: Deadline) -> Incumbent | None:
        self.tried.append(first.mix)
        if not self.spare:
            return None
        return replace(first, objective=self.spare, wired=wired(first.mix, self.spare))


def wired(mix: Mix, objective: int) -> Wired:
    counted: Any = None
    return Wired(mix, counted, objective, objective // 10)


def units(found: Best | Result) -> tuple[int, int, int, bool]:
    """Of which mix, its objective, the bound on its money, and whether that is proven."""
    assert isinstance(found, Best)
    return found.mix.units["desk-8"], found.objective, found.bound, found.proven


def test_the_first_that_costs_apart_what_it_does_pooled() -> None:
    search = Scripted(Round(1, 100), Round(2, 110, 110))
    assert units(search.best(Deadline(None))) == (2, 110, 11, True)
    assert search.passed == [Mix({"desk-8": 1}, {})]
    assert [(one.lower, one.upper) for one in search.scopes] == [(0, LARGEST), (100, LARGEST)]


def test_one_that_costs_more_apart_is_kept_until_none_is_better() -> None:
    search = Scripted(Round(1, 100, 140), Round(2, 120, 120))
    assert units(search.best(Deadline(None))) == (2, 120, 12, True)
    assert [(one.lower, one.upper) for one in search.scopes] == [(0, LARGEST), (100, 140)]
    none = Scripted(Round(1, 100, 140), Round(2, 130, 150), NONE)
    assert units(none.best(Deadline(None))) == (1, 140, 14, True)
    assert none.scopes[-1].upper == 140
    least = Scripted(Round(1, 100, 150), Round(2, 130, 140), NONE)
    assert units(least.best(Deadline(None))) == (2, 140, 14, True)
    # Of two that come to the same the first in the order of ids, which has more units.
    for first, second in ((1, 2), (2, 1)):
        alike = Scripted(Round(first, 100, 140), Round(second, 140, 140))
        assert units(alike.best(Deadline(None)))[0] == 2


def test_none_at_all_and_none_in_time() -> None:
    assert Scripted(NONE).best(Deadline(None)) is NONE
    assert Scripted(Round(1, 100), NONE).best(Deadline(None)) is NONE
    late = Scripted(Round(1, 100, 140), UNKNOWN)
    assert units(late.best(Deadline(None))) == (1, 140, 10 - 1, False)
    found = Scripted(UNKNOWN).best(Deadline(None))
    assert isinstance(found, Result)
    assert found.status == "unknown"


def test_what_is_not_proven_ends_the_search() -> None:
    """The better of it and what was kept, with its bound, from which goes what is sold."""
    late = Scripted(Round(1, 100, 140), Round(2, 130, 135, proven=False, bound=121))
    assert units(late.best(Deadline(None))) == (2, 135, 12 - 1, False)
    kept = Scripted(Round(1, 100, 140), Round(2, 130, 150, proven=False, bound=121))
    assert units(kept.best(Deadline(None))) == (1, 140, 11, False)
    bare = Scripted(Round(1, 100, None, proven=False))
    found = bare.best(Deadline(None))
    assert isinstance(found, Result)
    assert (found.status, found.bound) == ("unknown", 0)
    # A bound is no more than what there is, and no less than none.
    high = Scripted(Round(1, 100, 140, proven=False, bound=900))
    assert units(high.best(Deadline(None)))[2] == 14
    low = Scripted(Round(1, 100, 140, proven=False, bound=-50))
    assert units(low.best(Deadline(None)))[2] == -1


def test_after_some_rounds_hosts_go_apart() -> None:
    """Some rig is looked for after 1, 2, 4 and 8 of them, until there is one."""
    rounds = [Round(number, 100 + number) for number in range(1, POOLED_ROUNDS + 1)]
    search = Scripted(*rounds, apart=Round(50, 180, 190))
    assert units(search.best(Deadline(None))) == (50, 190, 19, True)
    assert [mix.units["desk-8"] for mix in search.tried] == [1, 2, 4, 8]
    assert not search.rounds
    assert search.scopes[-1].lower == 100 + POOLED_ROUNDS
    assert Scripted(*rounds, apart=NONE).best(Deadline(None)) is NONE
    bounded = Scripted(*rounds, apart=Result("unknown", 120, lambda _: 0))
    assert bounded.best(Deadline(None)) is bounded.there
    beyond = Scripted(*rounds, apart=NONE)
    beyond.spare = 150  # more than is of interest
    assert beyond.best(Deadline(None)) is NONE
    spare = Scripted(*rounds)
    spare.spare = 150
    assert units(spare.best(Deadline(None))) == (1, 150, 10 + 1 - 1, False)
    assert len(spare.tried) == 1
    known = Scripted(Round(60, 100, 140), *rounds[1:])
    known.spare = 130
    assert units(known.best(Deadline(None)))[:2] == (60, 140)
    over = Scripted(*rounds, apart=Round(50, 180, 190))
    found = over.best(Over(None))
    assert isinstance(found, Result)
    assert found.status == "unknown"
    unwired = Scripted(*rounds, apart=Round(50, 180, None))
    found = unwired.best(Deadline(None))
    assert isinstance(found, Result)
    assert found.status == "unknown"


def test_a_guess_is_what_there_is_until_there_is_more() -> None:
    """It is asked for once, and then no other rig is that will do for a while."""
    mix = Mix({"desk-8": 9}, {})
    guess = Incumbent(mix, 150, 90, 10, False, wired(mix, 150), 1)
    late = Scripted(UNKNOWN)
    late.guess = guess
    assert units(late.best(Deadline(None))) == (9, 150, 9 - 1, False)
    search = Scripted(Round(1, 100), Round(2, 110, 120), Round(3, 115), NONE)
    search.guess = guess
    assert units(search.best(Deadline(None))) == (2, 120, 12, True)
    assert search.guesses == [True, False, False, False]
    assert not search.tried


class Over(Deadline):
    """One that is over."""

    @property
    def left(self) -> float:
        """No time."""
        return MOMENT_S


def test_what_is_known_to_be_first_is_not_asked_again() -> None:
    begun = Incumbent(Mix({"desk-8": 1}, {}), 100, 100, 10, True, None, 0)
    search = Scripted(Round(2, 110, 110))
    search.wires[1] = Round(1, 100, 100)
    assert units(search.best(Deadline(None), ANY_COST, begun))[0] == 1
    assert not search.scopes
    search.wires[1] = Round(1, 100)
    assert units(search.best(Deadline(None), ANY_COST, begun))[0] == 2


@pytest.mark.parametrize(
    ("dropped", "exact", "asked"),
    [(0, 0, [0]), (0, 1, [0, 1]), (0, 2, [0, 1, 2]), (1, 1, [1]), (1, 2, [1, 2]), (2, 2, [2])],
)
def test_what_decides_least_is_dropped_first(
    dropped: int, exact: int, asked: Sequence[int]
) -> None:
    seen: list[int] = []

    def ask(problem: Problem) -> int:
        seen.append(problem.dropped)
        if problem.dropped < exact:
            raise TooLargeError
        return problem.dropped

    assert exactly(replace(PROBLEM, dropped=dropped), ask) == exact
    assert seen == asked


def test_sums_that_stay_too_large_are_told_with_what_was_asked() -> None:
    def ask(_: Problem) -> int:
        raise TooLargeError

    with pytest.raises(TooLargeError) as told:
        exactly(PROBLEM, ask)
    assert told.value.needs == PROBLEM.needs


@pytest.mark.parametrize(
    ("hosts", "pooled", "lines", "right"),
    [
        (1, True, 0, True),
        (1, True, 1, False),
        (2, True, 0, False),
        (2, False, 0, True),
        (2, False, 1, False),
    ],
)
def test_which_solutions_are_rigs_as_they_are(
    hosts: int, pooled: bool, lines: int, right: bool
) -> None:
    problem = SimpleNamespace(needs=SimpleNamespace(max_hosts=hosts), pooled=pooled)
    rig: Any = SimpleNamespace(problem=problem, lines={"a": 0, "b": lines})
    value: Any = int
    assert stands(rig, Result("optimal", 0, value)) is right
