"""How a search for the least regret ends, step by step, with answers put in its mouth."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from rigopt.answers.outcome import Answered
from rigopt.needs.types import Needs
from rigopt.optimiser.problem.problem import Problem, state
from rigopt.optimiser.questions.plan import solve
from rigopt.optimiser.questions.regret import least, plan
from rigopt.optimiser.questions.regret.largest import Largest, largest_regret, regret, rival
from rigopt.optimiser.questions.regret.least import Least, Others, least_regret
from rigopt.optimiser.questions.regret.plan import first_of, solve_ranges
from rigopt.optimiser.search.pooled import Best, Search
from rigopt.optimiser.solver.run import NO_END, Deadline, Result
from rigopt.rig.types import Rig
from tests.world import DESK, catalogue

A = replace(DESK, id="a", price=10000, least=10000)
B = replace(DESK, id="b", price=10100, least=6000)
C = replace(DESK, id="c", price=20000, least=5000)
SHOP, NEEDS = catalogue(A, B, C), Needs(mic=8)
PROBLEM = state(SHOP, NEEDS)
LATE, NONE = (Result(how, 0, lambda _: 0) for how in ("unknown", "infeasible"))


def of(item: str) -> Rig:
    found = solve(catalogue(SHOP.devices[item]), NEEDS)
    assert isinstance(found, Answered)
    return found.rig


RIGS = {item: of(item) for item in "abc"}


def best(item: str, proven: bool = True, objective: int = 0) -> Best:
    """A solution that is wired as the rig of one interface."""
    found = Search(state(catalogue(SHOP.devices[item]), NEEDS)).best_exact(NO_END)
    assert isinstance(found, Best)
    return replace(found, proven=proven, objective=objective)


def sure(most: int, other: str | None = "c", proven: bool = True) -> Largest:
    return Largest(most, most, proven, RIGS[other] if other else None)


def test_a_penny_less_is_less() -> None:
    """In the middle of its range b is the cheapest; at worst it costs 51.00 more, a 50.00."""
    found = solve_ranges(SHOP, NEEDS)
    assert isinstance(found, Answered)
    assert [unit.device.id for unit in found.rig.units] == ["a"]
    assert found.regret is not None
    assert (found.regret.most, found.regret.bound, found.proven) == (5000, 5000, True)
    assert found.regret.worst == (("c", 5000),)
    assert found.bound == 5000


# --- the largest regret of a rig -------------------------------------------------------------


def test_without_an_answer_nothing_costs_less_than_all_that_can_be_sold(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(Search, "best_exact", lambda *_: LATE)
    sold = state(SHOP, replace(NEEDS, owned={"c": 2}, resale={"c": 700}))
    assert largest_regret(sold, {}, RIGS["a"], NO_END) == Largest(0, 10000 + 1400, False, None)


def test_a_range_may_begin_at_nothing() -> None:
    free = replace(RIGS["c"].purchases[0], least=0)
    exact = replace(RIGS["c"].purchases[0], item="x", least=None)
    both = replace(RIGS["c"], purchases=(free, exact), total=40000)
    found = rival(both)
    assert (found.exact, found.packs, found.lows) == (20000, {"c": 1}, {"c": 0})


# --- the least of all ------------------------------------------------------------------------


def ended(
    patch: pytest.MonkeyPatch,
    known: list[Largest],
    found: list[Any],
    deadline: Deadline = NO_END,
    enough: int | None = None,
) -> tuple[Least, list[tuple[int, int]]]:
    """From b on: how it ends, and between which regrets was looked for a rig."""
    asked: list[tuple[int, int]] = []

    class Stub:
        def best_exact(self, _: object, scope: Any) -> Any:
            asked.append((scope.lower, scope.upper))
            return found.pop(0)

    patch.setattr(least, "priced", lambda *_: Stub())
    patch.setattr(least, "largest_regret", lambda *_: known.pop(0))
    told = least_regret(PROBLEM, RIGS["b"], {}, deadline, enough=enough)
    assert not known
    assert not found
    return told, asked


def test_what_is_not_less_is_not_looked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    """50.00 for b, 40.00 for a; then there is no rig from 30.00 to 39.99."""
    rounds = [best("a", objective=3000), NONE]
    found, asked = ended(monkeypatch, [sure(5000), sure(4000)], rounds)
    assert asked == [(0, 4999), (3000, 3999)]
    assert (found.rig, found.known.most, found.bound) == (RIGS["a"], 4000, 4000)
    assert found.proven


def test_a_rig_that_is_no_better_raises_the_bound_alone(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    rounds = [best("a", objective=3000), best("c", objective=2000), LATE]
    found, asked = ended(monkeypatch, [sure(5000), sure(5000), sure(9000)], rounds)
    assert asked == [(0, 4999), (3000, 4999), (3000, 4999)]
    assert (found.rig, found.known.most, found.bound) == (RIGS["b"], 5000, 3000)
    assert not found.proven


def test_what_is_not_proven_is_not_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    found, _ = ended(monkeypatch, [sure(5000)], [best("a", proven=False, objective=4000)])
    assert (found.rig, found.bound) == (RIGS["b"], 0)


def test_nothing_is_asked_when_the_time_is_up(monkeypatch: pytest.MonkeyPatch) -> None:
    found, asked = ended(monkeypatch, [sure(5000)], [], Deadline(0.0))
    assert (found.rig, found.bound, asked) == (RIGS["b"], 0, [])


@pytest.mark.parametrize(
    ("enough", "rounds", "bound"), [(5000, 0, 0), (4999, 1, 5000), (2999, 1, 3000)]
)
def test_it_is_enough_to_know_whether_there_is_one(
    enough: int, rounds: int, bound: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """b has 50.00. That no rig has less than 30.00 says that none has 29.99."""
    end = NONE if enough == 4999 else best("a", objective=3000)
    known = [sure(5000), *([sure(4000)] if enough == 2999 else [])]
    found, _ = ended(monkeypatch, known, [end] * rounds, enough=enough)
    assert found.bound == bound
    assert found.settled(enough) or found.proven


# --- the first of those ----------------------------------------------------------------------


def first(
    patch: pytest.MonkeyPatch,
    found: list[Any],
    known: list[Largest],
    deadline: Deadline = NO_END,
) -> tuple[Any, list[int]]:
    """The first rig with 50.00 at most, and beside how many others each was asked."""
    beside: list[int] = []

    class Stub:
        def __init__(self, _: Problem, counts: Any, __: object) -> None:
            assert (counts.counts, counts.limit) == ("middle", 5000)
            beside.append(len(counts.rivals))

        def best_exact(self, _: object) -> Any:
            return found.pop(0)

    def as_found(_: object, one: Best, __: object) -> Answered:
        return Answered(RIGS["b" if one.objective else "a"], 0, True)

    patch.setattr(plan, "priced", Stub)
    patch.setattr(plan, "with_pairs", as_found)
    patch.setattr(plan, "largest_regret", lambda *_: known.pop(0))
    start = Least(RIGS["c"], sure(5000), 5000, (rival(RIGS["c"]),))
    return first_of(PROBLEM, start, {}, deadline), beside


A_BEST, B_BEST = best("a"), best("b", objective=1)


def test_the_first_is_one_whose_regret_is_small_enough(monkeypatch: pytest.MonkeyPatch) -> None:
    """a has too much beside another, which is a rival more; b has not."""
    known = [sure(5001), sure(5000)]
    found, beside = first(monkeypatch, [A_BEST, B_BEST], known)
    assert found == (RIGS["b"], sure(5000))
    assert beside == [1, 2]


@pytest.mark.parametrize("end", [LATE, NONE, best("a", proven=False)])
def test_without_a_proof_there_is_no_first(end: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    assert first(monkeypatch, [end], [sure(5000)])[0] is None


@pytest.mark.parametrize(
    ("known", "deadline"),
    [
        (sure(5000, other=None, proven=False), NO_END),
        (sure(5001, other=None), NO_END),
        (sure(5001), Deadline(0.0)),
        (sure(4000, proven=False), Deadline(0.0)),
    ],
)
def test_what_is_not_known_to_be_small_enough_is_not_the_first(
    known: Largest, deadline: Deadline, monkeypatch: pytest.MonkeyPatch
) -> None:
    ends = [known, sure(0)]
    assert first(monkeypatch, [A_BEST, B_BEST], ends, deadline)[0] is None


# --- what is told ----------------------------------------------------------------------------


def test_prices_decide_only_where_there_is_regret() -> None:
    """And no rig is said to cost more at least than this one does at lower ends."""
    rig, other = RIGS["c"], RIGS["b"]
    some = plan._told(PROBLEM, rig, Largest(9, 9, True, other), 7, 10**6)
    assert some.regret is not None
    assert (some.regret.most, some.regret.bound) == (9, 7)
    assert some.regret.worst == (("b", 6000), ("c", 20000))
    assert some.bound == 5000
    for known in (Largest(0, 0, True, other), Largest(9, 9, False, None)):
        none = plan._told(PROBLEM, rig, known, 0, 3)
        assert none.regret is not None
        assert none.regret.worst == ()
        assert none.bound == 3


def test_without_regret_nothing_more_is_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    found, asked = ended(monkeypatch, [sure(0)], [])
    assert (found.rig, found.proven, asked) == (RIGS["b"], True, [])


@pytest.mark.parametrize(
    ("one", "other", "more"),
    [("a", "b", 4000), ("b", "a", 100), ("b", "c", 5100), ("c", "b", 14000), ("b", "b", 0)],
)
def test_what_a_rig_costs_more_at_worst(one: str, other: str, more: int) -> None:
    """a is 100.00, b from 60.00 to 101.00, c from 50.00 to 200.00."""
    assert regret(PROBLEM, RIGS[one], RIGS[other]) == more


def test_rivals_come_from_where_it_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    elsewhere, asked = state(catalogue(A), NEEDS), list[Problem]()

    def noted(problem: Problem, *_: object) -> Largest:
        asked.append(problem)
        return sure(0)

    monkeypatch.setattr(plan, "largest_regret", noted)
    start = Least(RIGS["a"], sure(5000), 5000, ())
    assert first_of(PROBLEM, start, {}, NO_END, Others(elsewhere, {})) is not None
    assert first_of(PROBLEM, start, {}, NO_END) is not None
    assert asked == [elsewhere, PROBLEM]
