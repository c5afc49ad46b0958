"""A mix that is found with hosts pooled gets its wiring, and who watches is told of it."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from rigopt.catalogue.types import Cable, Device, Offer, Plug, Seller
from rigopt.needs.types import Needs
from rigopt.optimiser.model.model import weights
from rigopt.optimiser.problem.problem import Problem, state
from rigopt.optimiser.search import fixing, pooled, posed, wiring
from rigopt.optimiser.search.fixing import Guess, Scope, Ties
from rigopt.optimiser.search.pooled import Best, Incumbent, Search
from rigopt.optimiser.search.ties import Mix
from rigopt.optimiser.search.wiring import Wired, wire, with_any_cables
from rigopt.optimiser.solver.linear import LARGEST, Terms, TooLargeError
from rigopt.optimiser.solver.run import Deadline, Result, TimeIsUpError, run
from rigopt.optimiser.solver.watch import Watch
from tests.world import DESK, HUB, PRE, catalogue

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

    def noted(model: Any, deadline: Deadline, money: Terms | None, *effort: Any) -> Result:
        moneys.append(money)
        return run(model, deadline, money, *effort)

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
        posed = again._narrow._posed(problem, (), Deadline(None), 0).posed
        assert posed.bound == first.objective
        none = Search(problem).first(Deadline(None), Scope(upper=first.objective - 1))
        assert isinstance(none, Result)
        assert none.status == "infeasible"


@pytest.mark.parametrize(
    ("status", "ties", "as_it_is"),
    [
        ("optimal", "nothing", True),
        ("feasible", "nothing", False),
        ("optimal", "ids of packs", False),
        ("optimal", "ids", False),
        ("feasible", "ids", False),
    ],
)
def test_only_what_is_proven_is_taken_as_it_is(
    status: Any, ties: Ties, as_it_is: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    search = Search(state(SHOP, Needs(mic=16)))
    solve = search._narrow.solve

    def solved(*asked: Any, early: object) -> Any:
        assert early is None
        posed, result = solve(*asked)
        return posed, Result(status, result.bound - 1, result.value)

    def first(*known: Any) -> Mix:
        settled.append(known[4])
        return known[4]

    settled: list[Mix] = []
    monkeypatch.setattr(search._narrow, "solve", solved)
    monkeypatch.setattr(pooled, "first_mix", first)
    found = search.first(Deadline(None), Scope(ties=ties))
    assert isinstance(found, Incumbent)
    assert found.mix == MIX
    assert found.proven is (status == "optimal")
    assert found.bound == found.objective - (not found.proven)
    assert settled == ([MIX] if (status, ties) == ("optimal", "ids") else [])
    assert (found.wired is not None) is as_it_is
    if found.wired is not None:
        assert found.wired.money == 50600
    high = search.first(Deadline(None), Scope(found.objective, ties=ties))
    assert isinstance(high, Incumbent)
    assert high.bound == found.objective


@pytest.mark.parametrize(("named", "held"), [(False, [False]), (True, [True])])
def test_packs_are_held_fast_where_sellers_are_named(
    named: bool, held: list[bool], monkeypatch: pytest.MonkeyPatch
) -> None:
    sellers = {"shop": Seller("shop", currency="GBP")}
    offers = (Offer("desk-8", "shop", 100),)
    boxes = catalogue(replace(DESK, price=None), PRE)
    shop = replace(boxes, sellers=sellers, offers=offers) if named else SHOP
    problem = state(shop, Needs(mic=16)).apart()
    mix = Mix(MIX.units, {**MIX.packs, "desk-8": (1,)}) if named else MIX
    way: Any = wiring._wire
    seen: list[bool] = []

    def noted(*known: Any, fixed: bool = False, settle: bool = False) -> Any:
        seen.append(fixed)
        return way(*known, fixed=fixed, settle=settle)

    monkeypatch.setattr(wiring, "_wire", noted)
    found = wire(problem, mix, 0, Deadline(None))
    assert found is not None
    assert set(seen) == set(held)
    assert found.mix == mix


def test_some_rig_of_the_same_types_costs_half_more_at_most() -> None:
    box = Device("box", "", "host", 5000, mic=8)
    problem = state(catalogue(box), Needs(mic=8, max_hosts=2))
    best = Search(problem.apart()).first(Deadline(None), Scope())
    assert isinstance(best, Incumbent)
    mix, least = Mix({"box": 1}, {}), -(-best.objective * 2 // 3)
    for objective, is_there in ((least, True), (least - 1, False)):
        watch = Told()
        first = Incumbent(mix, objective, 0, 10, True, None, 0)
        found = Search(problem)._fallback(first, Deadline(None, watch))
        assert (found is not None) is is_there
        if found is not None and found.wired is not None:
            assert found.objective == found.wired.objective == best.objective
            assert (found.mix, watch.moneys) == (mix, [5000])
    # What is asked of the search is asked of it too; other types are not looked at.
    fewer = Search(problem)
    fewer.forbid(mix)
    assert fewer._fallback(replace(first, objective=2 * least), Deadline(None)) is None
    other = Incumbent(Mix({"else": 1}, {}), 2 * least, 0, 10, True, None, 0)
    assert Search(problem)._fallback(other, Deadline(None)) is None


@pytest.mark.parametrize("hosts", [1, 2])
def test_without_a_clock_that_it_needs_there_is_no_rig(hosts: int) -> None:
    """The box could lock to others like it, but none has a clock, and the host tells none."""
    desk = replace(DESK, optical_out=0, coax_out=0, coax_in=0)
    follows = replace(PRE, internal_clock=False, line_out=0)
    for box, status in ((follows, "infeasible"), (PRE, "optimal")):
        needs = Needs(mic=16, max_hosts=hosts, require=("pre-8",))
        found = Search(state(catalogue(desk, box), needs))
        assert found.possible(Deadline(None)).status == status
        _, _, loose = found._any(found.problem, Deadline(None), clocked=False)
        assert loose.found


def test_apart_there_are_no_more_units_than_are_of_interest() -> None:
    """The rig is one of each and a cable, 506.00: they cost 300.00 and 200.00.

    Prices may be rounded up by half a cent each, so that is allowed for.
    """
    search = Search(PROBLEM)
    best = search.best(Deadline(None))
    assert isinstance(best, Best)
    assert best.money == 50600
    unit = weights(PROBLEM).money
    for upper, most in (
        (60000 * unit, {"desk-8": 2, "pre-8": 3}),
        (59998 * unit, {"desk-8": 1, "pre-8": 2}),
    ):
        few = search._few(Deadline(None), Scope(upper=upper))
        assert few.problem.most == most
        assert not few.problem.pooled
    anything = search._few(Deadline(None), Scope())
    assert anything.problem.most is None
    few = search._few(Deadline(None), Scope(upper=best.objective))
    found = few._mix(few.problem, Deadline(None), Scope(upper=best.objective))
    assert isinstance(found, Incumbent)
    assert found.objective == best.objective
    late = Deadline(None)
    late.watch.stopped = True
    with pytest.raises(TimeIsUpError):
        search._few(late, Scope())


def test_sums_that_are_too_large_are_told_before_there_is_a_model(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    dear = replace(DESK, price=2**60)
    monkeypatch.setattr(posed, "build", None)
    with pytest.raises(TooLargeError):
        Search(state(catalogue(dear), Needs(mic=8))).best(Deadline(None))


@pytest.mark.parametrize("dropped", [0, 1, 2])
def test_of_what_is_dropped_the_rest_is_exact(
    dropped: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A problem that is too large with what is dropped is asked without it."""
    whole = Search.best

    def best(self: Search, deadline: Deadline, scope: Scope) -> Any:
        if self.problem.dropped < dropped:
            raise TooLargeError
        return whole(self, deadline, scope)

    monkeypatch.setattr(Search, "best", best)
    search = Search(state(SHOP, Needs(mic=16)))
    found = search.best_exact(Deadline(None))
    assert isinstance(found, Best)
    assert (found.money, found.mix) == (50600, MIX)
    assert search.problem.dropped == dropped


@pytest.mark.parametrize(
    ("lower", "again", "right", "asked"),
    [(100, 100, 1, 1), (0, None, 1, 2), (0, 100, 2, 2), (0, 90, 1, 2), (0, 110, 1, 2)],
)
def test_a_wiring_is_asked_for_again_with_the_bound_that_it_has(
    lower: int, again: int | None, right: int, asked: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """So that no bound that was known has a say; where that fails the first stays."""
    monkeypatch.setattr(wiring, "_idle_leads", lambda *_: [])
    second = None if again is None else wired(again)._replace(money=2)
    ways = [wired(100)._replace(money=1), second]
    bounds: list[int] = []

    def cheapest(problem: Problem, mix: Mix, bound: int, _: Deadline) -> Wired | None:
        assert (problem.pooled, mix) == (True, MIX)
        bounds.append(bound)
        return ways[len(bounds) - 1]

    monkeypatch.setattr(wiring, "_cheapest", cheapest)
    found = wire(PROBLEM, MIX, lower, Deadline(None))
    assert found is not None
    assert found.money == right
    assert bounds == [lower, 100][:asked]
    bounds.clear()
    assert wire(PROBLEM, MIX, lower, Deadline(0.0)) == ways[0]
    assert bounds == [lower]


def test_a_type_that_another_of_the_mix_could_replace_stays() -> None:
    twin = replace(PRE, id="twin", price=20001)
    apart = state(catalogue(HUB, PRE, twin), Needs(mic=16)).apart()
    mix = Mix({"hub-4": 1, "pre-8": 1, "twin": 1}, {"opt-1m": (3,)})
    found = wire(apart, mix, 0, Deadline(None))
    assert found is not None
    assert (found.mix, found.money) == (mix, 25000 + 20000 + 20001 + 3 * 600)


def test_whether_there_is_a_rig_is_asked_within_cuts_and_limits() -> None:
    search = Search(state(SHOP, Needs(mic=16)))
    assert search.possible(Deadline(None)).found
    search.between("pre-8", 0, 0)
    assert search.possible(Deadline(None)).status == "infeasible"
    part = Search(search.problem).part({"pre-8": (0, 0)})
    assert part.possible(Deadline(None)).status == "infeasible"


def test_which_leads_lie_idle() -> None:
    """Owned, of which none is bought, and of a kind by which no line goes."""
    sorts: list[tuple[str, Plug, int]] = [
        ("idle", "xlr", 1),
        ("used", "jack", 1),
        ("wide", "jack", 4),
        ("bought", "xlr", 2),
        ("not-there", "xlr", 3),
    ]
    leads = [
        Cable(name, "", "analogue", 1000, 100, ends=("jack", plug), ways=ways)
        for name, plug, ways in sorts
    ]
    owned = {"idle", "used", "wide", "bought"}
    problem: Any = SimpleNamespace(cables_of=lambda _: leads, owned=lambda name: name in owned)
    piece = SimpleNamespace(lead=SimpleNamespace(ends=("jack", "jack"), ways=1))
    counted: Any = SimpleNamespace(joined=SimpleNamespace(pieces=[(piece, 1)]))
    found = wiring._idle_leads(problem, Wired(Mix({}, {"bought": (1,)}), counted, 0, 0))
    assert [cable.id for cable in found] == ["idle", "wide"]


def test_whether_there_is_a_rig_does_not_hang_on_a_small_one(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Where no rig of few units is found soon, the one that was found is wired."""

    def busy(*known: Any, effort: float | None = None) -> Result:
        return run(*known) if effort is None else Result("unknown", 0, lambda _: 1 // 0)

    monkeypatch.setattr(pooled, "run", busy)
    search = Search(state(SHOP, Needs(mic=24, max_hosts=2)))
    assert search.possible(Deadline(None)).found


def test_a_guess_is_wired_at_once_and_no_second_time(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where it is the first mix after all, its wiring is at hand."""
    monkeypatch.setattr(fixing, "MANY", 3)
    monkeypatch.setattr(fixing, "FEW", 0)
    wirings: list[tuple[Mix, int]] = []

    def counted(apart: Problem, mix: Mix, lower: int, deadline: Deadline) -> Wired | None:
        assert not apart.pooled
        wirings.append((mix, lower))
        return wire(apart, mix, lower, deadline)

    monkeypatch.setattr(pooled, "wire", counted)
    watch = Told()
    more = replace(PRE, id="pre-16", mic=16, price=60_000, optical_out=2)
    problem = state(catalogue(DESK, PRE, more), Needs(mic=16, max_hosts=2))
    found = Search(problem).best(Deadline(None, watch))
    assert isinstance(found, Best)
    assert (found.mix, found.money, found.proven) == (MIX, 50600, True)
    assert wirings == [(MIX, found.objective)]
    # Each wiring that is found on the way is a rig already.
    assert watch.moneys[0] > 50600
    assert watch.moneys[-2:] == [50600, 50600]
    assert len(watch.moneys) > 3


def test_a_guess_that_cannot_be_wired_is_no_rig(monkeypatch: pytest.MonkeyPatch) -> None:
    watch = Told()
    search, narrow = Search(PROBLEM), Search(PROBLEM)._narrow
    whole, result = narrow.solve(PROBLEM, (), {}, Deadline(None), Scope())
    guess = Guess(whole, replace(result, status="feasible"), result.bound)
    rig = search._soon(guess, Deadline(None, watch))
    assert rig is not None
    assert (rig.mix, rig.objective, rig.proven) == (MIX, result.bound, False)
    assert watch.moneys[-1] == 50600
    monkeypatch.setattr(pooled, "wire", lambda *_: None)
    nothing = Told()
    assert Search(PROBLEM)._soon(guess, Deadline(None, nothing)) is None
    assert not nothing.moneys
