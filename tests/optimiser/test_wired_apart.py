"""A mix that is found with hosts pooled gets its wiring, and who watches is told of it."""

from __future__ import annotations

from typing import Any

import pytest

from rigopt.catalogue.types import Device
from rigopt.needs.types import Needs
from rigopt.optimiser.problem.problem import Problem, state
from rigopt.optimiser.search import fixing, pooled, wiring
from rigopt.optimiser.search.fixing import Scope, Ties
from rigopt.optimiser.search.pooled import Incumbent, Search
from rigopt.optimiser.search.ties import Mix
from rigopt.optimiser.search.wiring import Wired, wire, with_any_cables
from rigopt.optimiser.solver.linear import LARGEST, Terms
from rigopt.optimiser.solver.run import Deadline, Result, run
from rigopt.optimiser.solver.watch import Watch
from tests.world import DESK, PRE, catalogue

SHOP = catalogue(DESK, PRE)
PROBLEM = state(SHOP, Needs(mic=16, max_hosts=2))
MIX = Mix({"desk-8": 1, "pre-8": 1}, {"opt-1m": (1,)})


class Told(Watch):
    """One who remembers what is found."""

    def __init__(self) -> None:
        super().__init__()
        self.moneys: list[int] = []

    def found(self, money: int) -> None:
        self.moneys.append(money)


def wired(objective: int) -> Wired:
    counted: Any = None
    return Wired(MIX, counted, objective, objective + 1)


@pytest.mark.parametrize(
    ("ties", "proven", "with_its_own", "with_any", "found", "asked"),
    [
        ("ids", True, 100, 100, 100, [("own", 100)]),
        ("ids", True, 120, 100, 100, [("own", 100), ("any", 100)]),
        ("ids", True, 120, None, 120, [("own", 100), ("any", 100)]),
        ("ids", True, None, 110, 110, [("own", 100), ("any", 100)]),
        ("ids", True, None, None, None, [("own", 100), ("any", 100)]),
        ("ids", False, 120, 100, 120, [("own", 0)]),
        ("ids", False, None, 110, 110, [("own", 0), ("any", 0)]),
        ("nothing", True, 100, 100, 100, [("own", 100)]),
        ("ids of packs", True, 90, 100, 100, [("any", 100)]),
    ],
)
def test_other_cables_are_tried_where_its_own_will_not_do(  # noqa: PLR0917
    ties: Ties,
    proven: bool,
    with_its_own: int | None,
    with_any: int | None,
    found: int | None,
    asked: list[tuple[str, int]],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    seen: list[tuple[str, int]] = []

    def way(name: str, objective: int | None) -> Any:
        def tried(problem: Problem, mix: Mix, lower: int, _: Deadline) -> Wired | None:
            assert not problem.pooled
            assert mix == MIX
            seen.append((name, lower))
            return None if objective is None else wired(objective)

        return tried

    monkeypatch.setattr(pooled, "wire", way("own", with_its_own))
    monkeypatch.setattr(pooled, "with_any_cables", way("any", with_any))
    watch = Told()
    first = Incumbent(MIX, 100, 100, 10, proven, None, 0)
    got = Search(PROBLEM)._wired(first, Deadline(None, watch), Scope(ties=ties))
    assert got.wired == (None if found is None else wired(found))
    assert seen == asked
    assert watch.moneys == ([] if found is None else [found + 1])
    seen.clear()
    if got.wired is not None:
        assert Search(PROBLEM)._wired(got, Deadline(None), Scope(ties=ties)) is got
        assert not seen


@pytest.mark.parametrize(
    ("hosts", "apart", "told"), [(1, False, True), (2, False, False), (2, True, True)]
)
def test_what_is_no_rig_yet_is_no_news(
    hosts: int, apart: bool, told: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    moneys: list[Terms | None] = []

    def noted(model: Any, deadline: Deadline, money: Terms | None = None) -> Result:
        moneys.append(money)
        return run(model, deadline, money)

    monkeypatch.setattr(fixing, "run", noted)
    problem = state(SHOP, Needs(mic=16, max_hosts=hosts))
    search = Search(problem.apart() if apart else problem)
    assert isinstance(search.first(Deadline(None), Scope(ties="nothing")), Incumbent)
    assert moneys
    assert all((money is not None) is told for money in moneys)


def test_packs_are_settled_only_where_any_will_do(monkeypatch: pytest.MonkeyPatch) -> None:
    settled: list[Mix] = []

    def first(*known: Any) -> Mix:
        settled.append(known[4])
        return known[4]

    monkeypatch.setattr(wiring, "first_mix", first)
    apart, end = PROBLEM.apart(), Deadline(None)
    own = wire(apart, MIX, 0, end)
    assert own is not None
    assert own.money == 30000 + 20000 + 600
    assert not settled
    any_cables = with_any_cables(apart, Mix(MIX.units, {}), 0, end)
    assert any_cables is not None
    assert (any_cables.objective, any_cables.money) == (own.objective, own.money)
    assert settled == [MIX]
    assert wire(apart, Mix(MIX.units, {}), 0, end) is None


def test_a_scope_grows_no_wider() -> None:
    assert Scope(0, 50).within(10, 90) == Scope(10, 50)
    assert Scope(0, 50, "nothing").within(10, 40) == Scope(10, 40, "nothing")
    assert Scope(20).within(10, LARGEST) == Scope(10, LARGEST)


def test_one_that_costs_just_what_it_must_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is known says that nothing costs less, and no more is of interest."""
    monkeypatch.setattr(fixing, "FEW", 0)
    problem = state(catalogue(Device("box", "", "host", 5000, mic=8)), Needs(mic=8))
    every: tuple[Ties, ...] = ("ids", "nothing")
    for ties in every:
        first = Search(problem).first(Deadline(None), Scope(ties=ties))
        assert isinstance(first, Incumbent)
        again = Search(problem)
        known = again.first(Deadline(None), Scope(upper=first.objective, ties=ties))
        assert isinstance(known, Incumbent)
        assert known.objective == first.objective
        posed = again._narrow._posed(problem, (), Deadline(None)).posed
        assert posed.bound == first.objective
        none = Search(problem).first(Deadline(None), Scope(upper=first.objective - 1))
        assert isinstance(none, Result)
        assert none.status == "infeasible"
