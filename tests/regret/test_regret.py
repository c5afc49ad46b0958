"""Where prices are ranges: the rig with the least largest regret, and what it is."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import Any

import pytest
from ortools.sat.python import cp_model

from rigopt.answers.outcome import Answered, Impossible
from rigopt.api.ask import ask_plan
from rigopt.catalogue.types import Catalogue, Device, Extra
from rigopt.needs.types import Needs
from rigopt.optimiser.model.model import build, columns
from rigopt.optimiser.problem.pricing import Pricing, Rival
from rigopt.optimiser.problem.problem import state
from rigopt.optimiser.questions.plan import solve
from rigopt.optimiser.questions.regret import least
from rigopt.optimiser.questions.regret.largest import Largest, largest_regret, regret
from rigopt.optimiser.questions.regret.plan import solve_ranges
from rigopt.optimiser.solver.run import Deadline, Result, run
from rigopt.optimiser.solver.watch import Watch
from rigopt.rig.audit import audit
from rigopt.rig.types import Rig
from tests.regret.brute import at, corners, ends, largest_by_corners, regrets, things
from tests.regret.instances import instance
from tests.tiers import few
from tests.world import DESK, HUB, PRE, catalogue


def host(name: str, least: int, most: int, rack_units: int = 0) -> Device:
    """An interface that does for itself."""
    return replace(DESK, id=name, price=most, least=least, rack_units=rack_units)


def of(shop: Catalogue, needs: Needs, *mix: str) -> Rig:
    """The rig of these devices."""
    kept = {item: shop.devices[item] for item in mix}
    answer = solve(replace(shop, devices=kept), needs)
    assert isinstance(answer, Answered)
    return answer.rig


def test_of_equal_regret_the_one_that_costs_less_in_the_middle() -> None:
    """At worst either costs 1.00 where the third costs 0.50."""
    shop = catalogue(host("a", 100, 100), host("b", 60, 100), host("c", 50, 200))
    found = solve_ranges(shop, Needs(mic=8))
    assert isinstance(found, Answered)
    assert [unit.device.id for unit in found.rig.units] == ["b"]
    assert found.regret is not None
    assert found.regret.most == 50


def largest(shop: Catalogue, needs: Needs, *mix: str) -> int:
    found = largest_regret(state(shop, needs), {}, of(shop, needs, *mix), Deadline(None))
    assert found.proven
    assert found.seen == found.most
    return found.most


def test_no_regret_is_less_than_none() -> None:
    """The one rival costs far more at any prices."""
    shop, needs = catalogue(host("a", 60, 100)), Needs(mic=8)
    dear = Pricing("regret", rivals=(Rival(10**6, {}, {}),))
    problem = replace(state(shop, needs), pricing=dear)
    model = cp_model.CpModel()
    rig = build(model, problem, columns(problem))
    assert rig.regret is not None
    model.minimize(rig.regret)
    assert run(model, Deadline(None)).value(rig.regret) == 0


def trouble(shop: Catalogue, needs: Needs) -> str:
    """How the answer differs from enumeration; empty if it does not."""
    outcome = solve_ranges(shop, needs)
    found = regrets(shop, needs)
    if isinstance(outcome, Impossible):
        return f"impossible, but there is {found}" if found else ""
    assert isinstance(outcome, Answered)
    assert outcome.proven
    told = outcome.regret
    assert told is not None
    mix = tuple(sorted(Counter(unit.device.id for unit in outcome.rig.units).items()))
    if audit(outcome.rig, shop, needs):
        return f"audit: {audit(outcome.rig, shop, needs)}"
    if (told.most, told.bound) != (min(found.values()),) * 2:
        return f"{told}, but least is {min(found.values())}"
    if found[mix] != told.most:
        return f"{mix} has {found[mix]}, not {told.most}"
    return middle_trouble(shop, needs, outcome.rig, found, told.most)


def middle_trouble(
    shop: Catalogue,
    needs: Needs,
    rig: Rig,
    found: dict[tuple[tuple[str, int], ...], int],
    least: int,
) -> str:
    """Of equal regret the least money in the middle; the middle's own rig has twice at most."""
    prices = {i.id: 2 * i.price for i in things(shop) if i.price is not None}
    prices |= {item: low + high for item, (low, high) in ends(shop).items()}
    doubled = at(shop, prices)
    free = replace(needs, budget=None if needs.budget is None else 2 * needs.budget)
    answer = solve(doubled, free)
    if not isinstance(answer, Answered) or needs.budget is not None:
        return ""
    mix = tuple(sorted(Counter(unit.device.id for unit in answer.rig.units).items()))
    if found.get(mix, 0) > 2 * least:
        return f"the rig of the middle has {found[mix]}, more than twice {least}"
    if found.get(mix) == least:
        own = Counter(unit.device.id for unit in rig.units)
        here = rig.total + rig.total_from
        if here != answer.rig.total:
            return f"{own} costs {here} doubled, {mix} {answer.rig.total}"
    return ""


@pytest.mark.parametrize(
    "first",
    [
        pytest.param(first, marks=pytest.mark.full if first < 5 else pytest.mark.long)
        for first in range(0, 500, 5)
    ],
)
def test_least_regret_agrees_with_enumeration(first: int) -> None:
    found = {
        seed: what for seed in range(first, first + 5) if (what := trouble(*instance(seed)))
    }
    assert not found


@pytest.mark.parametrize(
    "seed", [pytest.param(seed, marks=pytest.mark.long) for seed in range(100)]
)
def test_regret_with_cables_of_any_price(seed: int) -> None:
    """Largest at a corner, each of which is enumerated; no rig of a corner has less."""
    shop, needs = instance(seed, cables=True)
    needs = replace(needs, budget=None)
    outcome = solve_ranges(shop, needs)
    if isinstance(outcome, Impossible):
        return
    assert isinstance(outcome, Answered)
    assert outcome.regret is not None
    assert outcome.regret.most == largest_by_corners(shop, needs, outcome.rig)
    problem = state(shop, needs)
    for corner in list(corners(shop))[::7]:
        other = solve(at(shop, corner), needs)
        assert isinstance(other, Answered)
        priced = of(shop, needs, *{unit.device.id for unit in other.rig.units})
        known = largest_regret(problem, {}, priced, Deadline(None))
        assert known.most >= outcome.regret.most


def test_the_published_case_of_two_scenarios() -> None:
    """Costs 100/900 and 300/400: worst 900 and 400, regrets 500 and 200 (a public worked
    example, restated). A part of one price makes the scenarios: eight of it, or one."""
    part = Extra("part", "part", "rack_unit", 100, 1, 1, least=0)
    shop = replace(
        catalogue(host("one", 100, 100, rack_units=8), host("two", 300, 300, rack_units=1)),
        extras={"part": part},
    )
    needs = Needs(mic=8)
    assert [of(shop, needs, name).total for name in ("one", "two")] == [900, 400]
    assert [largest(shop, needs, name) for name in ("one", "two")] == [500, 200]
    answer = solve_ranges(shop, needs)
    assert isinstance(answer, Answered)
    assert answer.rig == of(shop, needs, "two")
    assert answer.status == "least regret"
    assert answer.regret is not None
    assert answer.regret.most == 200
    assert answer.regret.worst == (("part", 0),)


def test_the_tight_case() -> None:
    """One of a in [0, 2], b = 1, c in [0, 2]: regrets 2, 1, 2. The middle would take any of
    them, and its regret is at most twice the least (Kasperski, Zielinski 2006, restated)."""
    shop = catalogue(host("a", 0, 2), host("b", 1, 1), host("c", 0, 2))
    needs = Needs(mic=8)
    assert [largest(shop, needs, name) for name in "abc"] == [2, 1, 2]
    answer = solve_ranges(shop, needs)
    assert isinstance(answer, Answered)
    assert [unit.device.id for unit in answer.rig.units] == ["b"]


def test_counts_above_one() -> None:
    """a in [1, 3], b = 5; x = a + b and y = 3 a: the regret of x over y is 3, where the
    textbook rule, own prices high and others low, says 0 (own arithmetic)."""
    part = Extra("a", "a", "rack_unit", 3, 1, 1, least=1)
    shop = replace(
        catalogue(host("x", 5, 5, rack_units=1), host("y", 0, 0, rack_units=3)),
        extras={"a": part},
    )
    needs = Needs(mic=8)
    x, y = of(shop, needs, "x"), of(shop, needs, "y")
    assert regret(state(shop, needs), x, y) == 3
    assert largest(shop, needs, "x") == 3


def test_without_width_it_is_the_plan() -> None:
    shop = catalogue(DESK, PRE, HUB)
    flat = replace(
        shop, devices={k: replace(d, least=d.price) for k, d in shop.devices.items()}
    )
    for mic in (8, 16, 24):
        plain, answer = solve(shop, Needs(mic=mic)), solve_ranges(flat, Needs(mic=mic))
        assert isinstance(plain, Answered)
        assert isinstance(answer, Answered)
        assert answer.rig.total == answer.rig.total_from == plain.rig.total
        assert answer.rig.links == plain.rig.links
        assert answer.status == "proven cheapest"


@pytest.mark.parametrize("seed", few(range(6)))
def test_a_time_limit_leaves_an_honest_bound(seed: int) -> None:
    """Whatever was found: at least the true regret of the rig, and no more than the least."""
    shop, needs = instance(seed)
    found = regrets(shop, needs)
    for seconds in (0.002, 0.02, 0.1):
        outcome = solve_ranges(shop, needs, seconds)
        if isinstance(outcome, Answered) and outcome.regret is not None:
            mix = tuple(sorted(Counter(u.device.id for u in outcome.rig.units).items()))
            assert outcome.regret.most >= found[mix]
            assert outcome.regret.bound <= min(found.values())


def test_no_time_for_another_rig_is_no_proof(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is found before is told as the best found."""
    shop, needs = instance(4)

    class Late:
        def best_exact(self, *_: object) -> Result:
            return Result("unknown", 0, lambda _: 0)

    monkeypatch.setattr(least, "priced", lambda *_: Late())
    outcome = solve_ranges(shop, needs)
    assert isinstance(outcome, Answered)
    assert outcome.status == "best found"


@pytest.mark.parametrize("calls", [0, 1, 2, 3])
def test_ctrl_c_leaves_an_honest_bound(calls: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Stopped after so many questions: the best so far, and what is sure of it."""
    shop, needs = instance(4)
    found, watch, left = regrets(shop, needs), Watch(), [calls]
    largest_at = least.largest_regret

    def counted(*args: Any) -> Largest:
        left[0] -= 1
        watch.stopped = left[0] < 0
        return largest_at(*args)

    monkeypatch.setattr(least, "largest_regret", counted)
    outcome = solve_ranges(shop, needs, watch=watch)
    assert isinstance(outcome, Answered)
    assert outcome.regret is not None
    mix = tuple(sorted(Counter(u.device.id for u in outcome.rig.units).items()))
    assert outcome.regret.most >= found[mix]
    assert outcome.regret.bound <= min(found.values())
    if calls == 0:
        assert outcome.status == "best found"


def test_a_budget_holds_at_the_upper_ends() -> None:
    shop = catalogue(host("a", 0, 200), host("b", 150, 150))
    answer = ask_plan(shop, Needs(mic=8, budget=180)).outcome
    assert isinstance(answer, Answered)
    assert [unit.device.id for unit in answer.rig.units] == ["b"]
    assert answer.regret is not None
    assert answer.regret.most == 0
