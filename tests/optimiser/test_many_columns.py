"""Leaving out columns by a relaxation without the clock, on questions so small that the
program would not do it: the rig is the same as with all columns in one model."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from ortools.sat.python import cp_model

from rigopt.answers.outcome import Answered, Outcome
from rigopt.catalogue.types import Device
from rigopt.needs.types import Needs
from rigopt.optimiser.model.variables import RigVars
from rigopt.optimiser.problem.problem import Problem, state
from rigopt.optimiser.questions.alternatives import alternatives
from rigopt.optimiser.questions.plan import solve
from rigopt.optimiser.search import fixing
from rigopt.optimiser.search.fixing import Scope
from rigopt.optimiser.search.pooled import Incumbent, Search
from rigopt.optimiser.search.ties import Mix
from rigopt.optimiser.search.widening import Asked, Widening
from rigopt.optimiser.solver.linear import LARGEST, total
from rigopt.optimiser.solver.run import NO_END, Result, TimeIsUpError
from tests.benchmarks.instances import catalogue
from tests.benchmarks.rich import rich_catalogue
from tests.tiers import few
from tests.world import DESK, PRE
from tests.world import catalogue as catalogue_of


def _the_same(other: Outcome, usual: Outcome) -> None:
    assert type(other) is type(usual)
    if isinstance(usual, Answered):
        assert isinstance(other, Answered)
        assert usual.proven
        assert other.proven
        assert other.rig == usual.rig


@pytest.mark.parametrize("seed", few(range(12), slow=range(7, 12)))
@pytest.mark.parametrize("many", [3, 20])
def test_a_few_columns_at_first_give_the_same_rig(
    seed: int, many: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop = rich_catalogue(seed, 12)
    needs = Needs(
        mic=12 + seed % 3 * 8,
        phantom=4,
        no_phantom=seed % 2 * 2,
        out_line=seed % 4 * 2,
        max_hosts=1 + seed % 2,
        own_clocks=seed % 4 == 1,
    )
    monkeypatch.setattr(fixing, "MANY", 10**6)
    monkeypatch.setattr(fixing, "FEW", 10**6)
    usual = solve(shop, needs)
    monkeypatch.setattr(fixing, "MANY", many)
    monkeypatch.setattr(fixing, "FEW", 0)
    other = solve(shop, needs)
    _the_same(other, usual)


@pytest.mark.parametrize("seed", few(range(12), slow=range(3, 12)))
@pytest.mark.parametrize("effort", [0.5, 1e-3, 1e-6])
def test_looks_by_small_steps_end_with_the_same(
    seed: int, effort: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With work enough for each, with too little for a proof, and with none at all."""
    shop = rich_catalogue(seed, 12)
    needs = Needs(mic=8 + seed % 3 * 8, phantom=4, max_hosts=1 + seed % 2)
    usual = solve(shop, needs)
    monkeypatch.setattr(fixing, "LARGE", 0)
    monkeypatch.setattr(fixing, "FEW", 0)
    monkeypatch.setattr(fixing, "LOOK", effort)
    other = solve(shop, needs)
    _the_same(other, usual)


@pytest.mark.full
@pytest.mark.parametrize("effort", [0.5, 1e-3, 1e-6])
def test_so_do_the_next_mixes(effort: float, monkeypatch: pytest.MonkeyPatch) -> None:
    shop, needs = catalogue(2, 12), Needs(mic=24, max_hosts=2)
    found = solve(shop, needs)
    assert isinstance(found, Answered)
    usual = alternatives(shop, needs, found.rig, 3, NO_END)
    monkeypatch.setattr(fixing, "LARGE", 0)
    monkeypatch.setattr(fixing, "LOOK", effort)
    assert alternatives(shop, needs, found.rig, 3, NO_END) == usual


@pytest.mark.parametrize("seed", few(range(12), slow=range(4, 12)))
@pytest.mark.parametrize("hosts", [1, 2])
def test_without_mixes_that_are_known_the_next_is_the_same(
    seed: int, hosts: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the cuts are in the model before it is relaxed."""
    problem = state(rich_catalogue(seed, 12), Needs(mic=16, phantom=4, max_hosts=hosts))

    def after(*mixes: Mix) -> Incumbent | Result:
        search = Search(problem)
        for mix in mixes:
            search.other_than(mix)
        return search.first(NO_END, Scope())

    first = after()
    assert isinstance(first, Incumbent)
    usual = after(first.mix)
    monkeypatch.setattr(fixing, "MANY", 3)
    monkeypatch.setattr(fixing, "FEW", 0)
    other = after(first.mix)
    assert isinstance(other, Incumbent)
    assert isinstance(usual, Incumbent)
    assert (other.objective, other.mix) == (usual.objective, usual.mix)


def test_a_link_for_the_clock_alone_may_hold_a_socket(monkeypatch: pytest.MonkeyPatch) -> None:
    """Eight channels of light-pipe would leave the inputs two numbers, stereo leaves all of
    them; which a relaxation without the clock is not to rule out."""
    desk = replace(
        DESK,
        optical_in=1,
        optical_stereo=1,
        max_in_1x=10,
        input_order=("optical", "analogue", "coax", "trunk"),
        internal_clock=False,
    )
    star = Device("star", "", "clock", 5000, optical_out=1, optical_stereo=1)
    dear = replace(DESK, id="dear", price=90000, optical_in=0)
    shop, needs = catalogue_of(desk, star, dear), Needs(mic=8)
    usual = solve(shop, needs)
    assert isinstance(usual, Answered)
    assert {unit.device.id for unit in usual.rig.units} == {desk.id, "star"}
    monkeypatch.setattr(fixing, "MANY", 0)
    _the_same(solve(shop, needs), usual)


@pytest.mark.parametrize("seed", few([31, *range(31)], slow=range(16, 31)))
def test_what_a_part_of_the_columns_says_is_no_bound_for_the_rest(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    problem = state(rich_catalogue(seed, 12), Needs(mic=12 + seed % 3 * 8, max_hosts=2))
    usual = Search(problem).first(NO_END, Scope(ties="nothing"))
    if not isinstance(usual, Incumbent):
        return
    monkeypatch.setattr(fixing, "MANY", 0)
    monkeypatch.setattr(fixing, "FEW", 0)
    # With no room above what is near, the other columns come in late.
    monkeypatch.setattr(fixing, "FIRST_SHARE", 10**9)
    scope = Scope(upper=usual.objective, ties="nothing")
    for asked in (scope, Scope(ties="nothing")):
        found = Search(problem).first(NO_END, asked)
        assert isinstance(found, Incumbent)
        assert found.objective == usual.objective
        assert found.bound <= found.objective


@pytest.mark.parametrize("seed", few(range(4)))
def test_a_model_goes_as_far_as_was_asked(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """However much more than that is looked at besides."""
    monkeypatch.setattr(fixing, "MANY", 0)
    monkeypatch.setattr(fixing, "FIRST_SHARE", 10)
    problem = state(rich_catalogue(seed, 12), Needs(mic=24, max_hosts=2))
    narrow = Search(problem)._narrow
    narrow._posed(problem, (), NO_END, 0)
    for tenths in (13, 14):
        upper = narrow._loose[True].bound * tenths // 10
        found = narrow._posed(problem, (), NO_END, upper)
        assert found.upper >= upper
        assert narrow._posed(problem, (), NO_END, upper - 1) is found


def test_a_part_says_nothing_of_where_other_columns_come_in(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A rig with another column costs 6 at least, if this part goes as far as 5."""
    monkeypatch.setattr(fixing, "MANY", 0)
    monkeypatch.setattr(fixing, "FEW", 0)
    problem = state(rich_catalogue(1, 12), Needs(mic=24))
    narrow = Search(problem)._narrow
    near = narrow._near
    monkeypatch.setattr(narrow, "_near", lambda *args: (near(*args)[0], 5, 7))
    found = narrow._posed(problem, (), NO_END, 0)
    assert found.posed.bound > 6
    assert (found.upper, found.bound, found.steps) == (5, 6, (7,))


def test_a_model_further_on_has_twice_the_columns_at_most(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(fixing, "MANY", 5)
    problem = state(rich_catalogue(1, 12), Needs(mic=24))
    narrow = Search(problem)._narrow
    found, reach, further = narrow._near(problem, (), NO_END, 0, room=True)
    loose = narrow._loose[problem.pooled]
    assert 0 < len(found) <= len(loose.near(reach)) < len(loose.near(further))
    assert len(loose.near(further)) <= 2 * len(loose.near(reach)) < len(loose.columns)
    assert further > reach
    assert narrow._near(problem, (), NO_END, LARGEST // 4, room=True)[1:] == (LARGEST, LARGEST)


def test_without_room_there_are_the_columns_up_to_an_objective(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(fixing, "MANY", 0)
    problem = state(rich_catalogue(1, 12), Needs(mic=24))
    narrow = Search(problem)._narrow
    narrow._near(problem, (), NO_END, 0, room=True)
    upper = narrow._loose[True].bound * 13 // 10
    assert narrow._near(problem, (), NO_END, upper, room=False)[1] == upper
    assert narrow._near(problem, (), NO_END, upper, room=True)[1] > upper


def test_what_holds_with_a_cut_alone_is_forgotten_with_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(fixing, "MANY", 0)
    problem = state(
        catalogue_of(DESK, PRE, replace(DESK, id="dear", price=90000)), Needs(mic=8)
    )

    def dear(model: cp_model.CpModel, rig: RigVars) -> None:
        model.add(total(rig.units_by_type["dear"]) == 1)

    narrow = Search(problem, focus=["dear"])._narrow
    narrow._posed(problem, [dear], NO_END, 0)
    with_it = narrow._loose[True].bound
    narrow._posed(problem, (), NO_END, 0)
    assert narrow._loose[True].bound < with_it


def test_what_is_left_out_holds_up_to_some_objective(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where nothing is left out there is nothing to come back to."""
    seen: list[int] = []
    way = Widening.best

    def noted(self: Any, asked: Any, limit: int) -> Any:
        seen.append(asked.upper)
        return way(self, asked, limit)

    monkeypatch.setattr(Widening, "best", noted)
    problem = state(rich_catalogue(1, 12), Needs(mic=24))
    for few_columns, every in ((0, False), (10**6, True)):
        monkeypatch.setattr(fixing, "FEW", few_columns)
        assert isinstance(Search(problem).first(NO_END, Scope(ties="nothing")), Incumbent)
        assert (seen.pop() == LARGEST) is every


@pytest.mark.parametrize(
    ("reach", "scope", "ends", "asked"),
    [
        # Columns up to a 200th, a 66th and a 25th above the bound of all at hand, and rigs up
        # to twice as much above it, until there is one.
        (150, Scope(), ["optimal"], [(201, 202)]),
        (150, Scope(), ["infeasible", "feasible"], [(201, 202), (203, 206)]),
        (150, Scope(), ["unknown", "feasible"], [(201, 202), (203, 206)]),
        (150, Scope(), ["unknown", "infeasible"] * 2, [(201, 202), (203, 206), (208, 216)]),
        (150, Scope(0, 203), ["infeasible"] * 2 + ["optimal"], [(201, 202), *[(203, 203)] * 2]),
        # All columns are there; more is known than their relaxation; nothing is of interest.
        (LARGEST, Scope(), [], []),
        (150, Scope(200), [], []),
        (150, Scope(0, 199), [], []),
    ],
)
def test_a_guess_is_looked_for_where_nothing_else_is_known(
    reach: int, scope: Scope, ends: list[Any], asked: list[tuple[int, int]]
) -> None:
    held: list[int] = []
    limits: list[int] = []
    part: Any = SimpleNamespace(hold=held.append)
    whole: Any = SimpleNamespace(bound=200, beside=lambda _: part)

    def ask(posed: Any, limit: int, effort: float) -> tuple[Result, int]:
        assert (posed, effort) == (part, fixing.GUESS)
        limits.append(limit)
        return Result(ends[len(limits) - 1], 77, lambda _: 5), limit

    guess = fixing._guess(Asked(whole, reach, 150), scope, ask)
    assert list(zip(held, limits, strict=True)) == asked
    if not asked or ends[len(asked) - 1] in ("infeasible", "unknown"):
        assert guess is None
    else:
        assert guess is not None
        assert (guess.posed, guess.objective) == (part, limits[-1])
        assert (guess.result.status, guess.result.bound) == ("feasible", 150)


def guessed(monkeypatch: pytest.MonkeyPatch) -> Problem:
    """One that a guess is looked for, small as it is."""
    monkeypatch.setattr(fixing, "MANY", 3)
    monkeypatch.setattr(fixing, "FEW", 0)
    more = replace(PRE, id="pre-16", mic=16, price=60_000, optical_out=2)
    return state(catalogue_of(DESK, PRE, more), Needs(mic=16, max_hosts=2))


@pytest.mark.parametrize("stands", [False, True])
def test_above_a_guess_that_stands_nothing_is_looked_at(
    stands: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    problem = guessed(monkeypatch)
    narrow, near = Search(problem)._narrow, fixing.Narrow._near
    rooms: list[bool] = []
    guesses: list[fixing.Guess] = []

    def noted(self: fixing.Narrow, *asked: Any) -> Any:
        rooms.append(asked[-1])
        found = near(self, *asked)
        # As if there were more to look at up to the guess.
        return found if guesses else (found[0], min(found[1], found[2] - 1), found[2])

    def early(guess: fixing.Guess) -> bool:
        guesses.append(guess)
        narrow._whole[True] = narrow._whole[True]._replace(upper=guess.objective - 1)
        return stands

    monkeypatch.setattr(fixing.Narrow, "_near", noted)
    posed, result = narrow.solve(problem, (), {}, NO_END, Scope(), early=early)
    assert result.status == "optimal"
    assert posed.rig.problem is problem
    assert len(guesses) == 1
    assert rooms == [True, not stands]


def test_a_guess_is_left_when_there_is_no_time_for_more(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    problem = guessed(monkeypatch)
    search, posed = Search(problem), fixing.Narrow._posed
    heard: list[fixing.Guess] = []

    def early(guess: fixing.Guess) -> bool:
        heard.append(guess)
        return True

    def once(self: fixing.Narrow, *asked: Any) -> Any:
        if heard:
            raise TimeIsUpError
        return posed(self, *asked)

    monkeypatch.setattr(fixing.Narrow, "_posed", once)
    part, result = search._narrow.solve(problem, (), {}, NO_END, Scope(), early=early)
    assert (part, result) == heard[0][:2]
    assert result.status == "feasible"
