"""Each rule of growth on one tiny catalogue: fine, forced, and the permitted edge."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from types import SimpleNamespace
from typing import Any

import pytest
from ortools.sat.python import cp_model

from rigopt.answers.growth import Grown
from rigopt.catalogue.types import Device, Extra, Offer, Seller
from rigopt.needs.types import SourceLine
from rigopt.optimiser.model.model import columns
from rigopt.optimiser.problem.supplies import NoRateError
from rigopt.optimiser.questions.growth import grow as module
from rigopt.optimiser.questions.growth import solve as solving
from rigopt.optimiser.questions.growth.grow import grow
from rigopt.optimiser.questions.growth.journey import journey
from rigopt.optimiser.questions.growth.model import pose
from rigopt.optimiser.questions.growth.steps import growth as steps_of
from rigopt.optimiser.search.pooled import NOTHING_YET
from rigopt.optimiser.solver import lexicographic
from rigopt.optimiser.solver.linear import TooLargeError, reach, total
from rigopt.optimiser.solver.relaxation import Relaxation
from rigopt.optimiser.solver.run import Deadline, Result, run
from tests.growth.world import (
    DESK,
    NO_END,
    OPT,
    PLAIN,
    PRE,
    bought,
    grown,
    outlays,
    refused,
    shop,
    stage,
    standing,
)

EIGHT, SIXTEEN = stage(8), stage(16)


def test_who_looks_ahead_buys_the_larger_interface_at_once() -> None:
    found = grown(shop(), EIGHT, SIXTEEN)
    assert bought(found.together) == [[("desk", 1)], [("pre", 1), ("opt", 1)]]
    assert outlays(found.together) == [30_000, 20_600]
    assert found.one_by_one is not None
    assert outlays(found.one_by_one) == [20_000, 50_600]
    assert found.known == "proven"


def test_the_first_stage_alone_takes_the_cheaper_one() -> None:
    assert standing(grown(shop(), EIGHT).together) == [["plain"]]


def test_what_is_bought_before_is_owned_then() -> None:
    found = grown(shop(), EIGHT, SIXTEEN).together
    assert [[u.owned for u in step.rig.units] for step in found.steps] == [
        [False],
        [True, False],
    ]
    assert [dict(step.needs.owned) for step in found.steps] == [{}, {"desk": 1}]


def test_so_many_units_of_a_type_are_owned_as_there_were() -> None:
    hub = replace(DESK, id="hub", mic_line=0, optical_in=3, optical_out=3)
    catalogue = shop(devices=(hub, PRE))
    found = grown(catalogue, stage(24, owned={"pre": 2, "hub": 1})).together
    assert [[u.owned for u in step.rig.units] for step in found.steps] == [
        [True, True, True, False]
    ]


def test_of_equal_ways_the_one_with_fewer_units_comes_first_whatever_its_links() -> None:
    """Each of what decides between equal costs outweighs all of what comes after it."""
    trip = journey(shop(), [EIGHT, SIXTEEN])
    every = [columns(problem, ranks=0) for problem in trip.problems]
    posed = pose(trip, every, Deadline(None))
    weights: dict[int, set[int]] = {}
    for var, factor in posed._size():
        weights.setdefault(factor, set()).add(var.index)
    packs = {var.index for var, _ in posed.baskets[0].spent()}
    units = {var.index for rig in posed.rigs for var, _ in rig.units()}
    hops = {var.index for rig in posed.rigs for var in rig.deepest.values()}
    assert packs <= weights[1]
    hop = next(factor for factor, of in weights.items() if of == hops)
    unit = next(factor for factor, of in weights.items() if of == units)
    link = min(factor for factor in weights if hop < factor < unit)
    assert hop > sum(problem.max_arriving for problem in trip.problems) > 0
    assert link > hop * sum(problem.needs.max_hops for problem in trip.problems)
    assert unit > link * sum(problem.max_links for problem in trip.problems)


def test_nothing_is_bought_before_it_must_be() -> None:
    found = grown(shop(), EIGHT, stage(16, title="a"), stage(16, title="b"))
    assert outlays(found.together) == [30_000, 20_600, 0]


def test_equal_totals_go_to_the_least_first_outlay() -> None:
    dear = replace(PLAIN, price=9400)
    found = grown(shop(devices=(dear, replace(DESK, price=9400), PRE)), EIGHT, SIXTEEN)
    assert outlays(found.together) == [9400, 20_600]
    late = grown(shop(), stage(8, "1"), stage(8, "1", out_phones=0), SIXTEEN).together
    assert outlays(late) == [30_000, 0, 20_600]


def test_a_factor_makes_it_better_to_wait_or_to_hurry() -> None:
    wait = grown(shop(), stage(8), stage(16, "0.5")).together
    assert outlays(wait) == [30_000, 10_300]
    longer = grown(shop(), stage(8), stage(16, "0.1")).together
    assert outlays(longer) == [20_000, 3000 + 2000 + 60]
    hurry = grown(shop(), stage(8, "0.5"), SIXTEEN).together
    assert outlays(hurry) == [15_000 + 10_000 + 300, 0]


def test_prices_at_a_factor_are_rounded_half_up() -> None:
    found = grown(shop(devices=(replace(PLAIN, price=333),)), stage(8, "0.5")).together
    assert found.total == 167


def test_a_factor_of_nothing_buys_nothing_that_is_of_no_use() -> None:
    found = grown(shop(), stage(8, "0"), stage(8, "1", title="again")).together
    assert bought(found) == [[("plain", 1)], []]


def test_a_budget_may_force_the_dearer_way() -> None:
    found = grown(shop(), stage(8, budget=29_999), SIXTEEN)
    assert outlays(found.together) == [20_000, 50_600]
    edge = grown(shop(), stage(8, budget=30_000), SIXTEEN)
    assert outlays(edge.together) == [30_000, 20_600]


def test_a_budget_may_force_to_buy_ahead() -> None:
    found = grown(shop(), EIGHT, stage(16, budget=599))
    assert outlays(found.together) == [50_600, 0]
    assert found.one_by_one is None
    assert found.known == "stuck"
    assert refused(shop(), stage(8, budget=50_000), stage(16, budget=599))


def test_one_by_one_is_not_said_to_be_stuck_after_a_stage_that_is_not_proven(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Another cheapest rig of the first stage might have led on."""

    class Unsure(module.Search):
        def best_exact(self, deadline: Deadline, *more: Any) -> Any:
            found = super().best_exact(deadline, *more)
            return replace(found, proven=False) if isinstance(found, module.Best) else found

    monkeypatch.setattr(module, "Search", Unsure)
    found = grown(shop(), EIGHT, stage(16, budget=599))
    assert (found.one_by_one, found.known) == (None, "time")


def test_packs_of_a_stage_are_used_up_later() -> None:
    two = replace(DESK, optical_in=2, optical_out=2)
    catalogue = shop(devices=(PLAIN, two, PRE))
    found = grown(catalogue, SIXTEEN, stage(24)).together
    # One expander as master needs one cable, two of them three.
    assert sum(n for lines in bought(found) for item, n in lines if item == "pair") >= 1
    assert found.total == 30_000 + 2 * 20_000 + 900 + 600


def test_a_higher_rate_later() -> None:
    found = grown(shop(), EIGHT, stage(12, rate_hz=96_000), stage(16)).together
    assert standing(found) == [["desk"], ["desk", "pre"], ["desk", "pre"]]
    assert [step.rig.rate_hz for step in found.steps] == [48_000, 96_000, 48_000]
    assert refused(shop(), EIGHT, stage(13, rate_hz=96_000))


def test_what_was_bought_before_it_was_to_be_avoided_may_stay() -> None:
    later = stage(16, avoid=("desk", "plain"))
    found = grown(shop(), EIGHT, later)
    assert standing(found.together) == [["desk"], ["desk", "pre"]]
    assert found.known == "stuck"
    assert refused(shop(), later)


def test_nothing_is_to_be_bought_at_a_later_stage() -> None:
    found = grown(shop(), EIGHT, stage(16, owned_only=True)).together
    assert outlays(found) == [50_600, 0]


def test_a_first_stage_without_purchases_needs_gear() -> None:
    first = stage(8, owned_only=True, owned={"desk": 1})
    found = grown(shop(), first, stage(16, owned={"desk": 1})).together
    assert outlays(found) == [0, 20_600]
    assert refused(shop(), stage(8, owned_only=True), SIXTEEN)


def test_gear_that_comes_later_is_there_only_then() -> None:
    found = grown(shop(), EIGHT, stage(16, owned={"pre": 1, "opt": 1})).together
    assert outlays(found) == [30_000, 0]
    gone = grown(shop(), stage(8, owned={"desk": 1}), stage(16, title="gone")).together
    assert outlays(gone) == [0, 50_600]


def test_used_things_bought_before_may_stay_where_only_new_ones_are_bought() -> None:
    offers = (
        Offer("desk", "north", 10_000, stock=1, condition="used"),
        Offer("desk", "south", 30_000),
    )
    found = grown(shop(*offers), EIGHT, stage(16, new_only=True)).together
    assert outlays(found) == [10_000, 20_600]
    assert grown(shop(*offers), stage(16, new_only=True)).together.total == 50_600


def test_stock_is_there_once_for_all_stages() -> None:
    two = replace(DESK, optical_in=2, optical_out=2)
    offers = (
        Offer("pre", "north", 5000, stock=1, condition="used"),
        Offer("pre", "south", 20_000),
    )
    catalogue = shop(*offers, devices=(two, PRE))
    found = grown(catalogue, SIXTEEN, stage(24)).together
    lines = [line for step in found.steps for line in step.rig.purchases]
    pres = sorted((line.seller, line.quantity) for line in lines if line.item == "pre")
    assert pres == [("north", 1), ("south", 1)]
    # The offers of the two stages stand in different places where used ones are left out.
    mixed = grown(catalogue, SIXTEEN, stage(24, new_only=True)).together
    assert mixed.total == found.total


def test_fees_are_saved_by_ordering_at_once() -> None:
    offers = (Offer("desk", "north", 30_000), Offer("pre", "north", 20_000))
    fee = (Seller("north", "GBP", delivery=1000), Seller("south", "GBP"))
    found = grown(shop(*offers, sellers=fee), EIGHT, SIXTEEN)
    # Two orders would cost 2000; one at the first stage costs 1000 and no more in all.
    assert found.together.total == 30_000 + 20_000 + 600 + 1000
    assert outlays(found.together) == [51_000, 600]


def test_a_limit_on_sellers_counts_for_each_stage() -> None:
    offers = (Offer("desk", "north", 30_000), Offer("pre", "south", 20_000))
    limited = (stage(8, sellers=1), stage(16, sellers=1))
    assert outlays(grown(shop(*offers), *limited).together) == [30_000, 20_600]
    assert refused(shop(*offers), stage(16, sellers=1))


def test_prices_in_another_currency_follow_the_rate_of_the_stage() -> None:
    offers = (Offer("pre", "north", 20_000),)
    abroad = (Seller("north", "EUR"),)
    rates = [{"EUR": Decimal(1)}, {"EUR": Decimal(2)}]
    stages = [stage(mic, exchange=rate) for mic, rate in zip((8, 16), rates, strict=True)]
    found = grown(shop(*offers, sellers=abroad), *stages).together
    assert outlays(found) == [30_000, 10_600]
    with pytest.raises(NoRateError):
        grow(shop(*offers, sellers=abroad), [EIGHT, SIXTEEN], NO_END)


def test_extras_are_bought_by_the_count_of_each_stage() -> None:
    extras = (
        Extra("lead", "lead", "mic", 100, 4),
        Extra("strip", "strip", "mains", 1000, 1),
    )
    found = grown(shop(extras=extras), EIGHT, stage(13)).together
    packs = [dict(lines) for lines in bought(found)]
    assert [p["lead"] for p in packs] == [2, 2]
    assert [p["strip"] for p in packs] == [1, 1]
    assert found.total == 30_000 + 20_000 + 600 + 4 * 100 + 2 * 1000


def test_named_sources_sit_in_the_rig_of_each_stage() -> None:
    names = tuple(SourceLine(f"S{n}", phantom="on" if n < 2 else "any") for n in range(10))
    first = stage(2, phantom=2, sources=names[:2])
    found = grown(shop(), first, stage(10, phantom=2, sources=names)).together
    seated = [{i.source for i in step.rig.inputs if i.source} for step in found.steps]
    assert seated == [{s.name for s in names[:2]}, {s.name for s in names}]


def test_expensive_things_are_added_exactly_where_one_by_one_fails() -> None:
    """Prices of tens of millions of minor units, and no way through without looking ahead."""
    dear = shop(devices=(PLAIN, replace(DESK, price=5 * 10**8), replace(PRE, price=10**9)))
    found = grown(dear, EIGHT, stage(16, budget=599))
    assert outlays(found.together) == [15 * 10**8 + 600, 0]


def test_sums_that_are_not_exact_are_refused() -> None:
    huge = shop(devices=(replace(DESK, price=10**18), PRE))
    with pytest.raises(TooLargeError):
        grow(huge, [EIGHT, SIXTEEN], NO_END)
    trip = journey(huge, [EIGHT, SIXTEEN])
    with pytest.raises(TooLargeError) as refused:
        solving.solve(trip, NO_END, None)
    assert refused.value.needs is trip.problems[1].needs


def test_what_cannot_be_in_a_cheap_journey_is_left_out_of_it() -> None:
    """One column of two; three of the other, at ten each, are too many."""
    model = cp_model.CpModel()
    counts = {name: model.new_int_var(0, 3, name) for name in ("dear", "cheap")}
    rig = SimpleNamespace(columns=counts.items)
    spent = [(var, 10) for var in counts.values()]
    posed: Any = SimpleNamespace(model=model, rigs=[rig], baskets=[], spent=spent)
    outlook: Any = SimpleNamespace(
        may_hold=lambda column, parts: (column, parts) != ("dear", 75)
    )
    nothing: Any = None
    known = Relaxation(0, {})
    solving.Prospect(nothing, [outlook], known, 3, 0, NO_END).tighten(posed, 25)
    model.maximize(total((var, 1) for var in counts.values()))
    value = run(model, NO_END).value
    assert [value(var) for var in counts.values()] == [0, 2]


# --- several hosts ---------------------------------------------------------------

SOCKETS = Device(
    "sockets",
    "two light-pipes in, none out",
    "host",
    10_000,
    optical_in=2,
    clock_in=("optical",),
)
CLOCKLESS = Device(
    "sender",
    "gives clock, no light-pipe in",
    "host",
    10_000,
    optical_out=2,
    clock_in=("word",),
    word_in=1,
)
FOLLOWER = Device(
    "follower",
    "has outputs that its host must feed",
    "expander",
    60_000,
    mic_line=8,
    optical_in=1,
    optical_out=1,
    clock_in=("optical",),
    line_out=8,
)


def test_hosts_are_told_apart_where_pooled_ones_promise_too_much() -> None:
    """Outputs need a way back from the host that audio goes to; pooled, any host will do.

    The two cheap hosts together have all sockets, but neither has both ways.
    """
    both = replace(DESK, id="both", mic_line=0, price=60_000)
    catalogue = shop(devices=(SOCKETS, CLOCKLESS, both, FOLLOWER))
    wanted: dict[str, Any] = {"out_line": 8, "max_hosts": 2}
    trip = journey(catalogue, [stage(8, **wanted)])
    pooled, apart = solving.solve(trip, NO_END, None), solving.solve(trip.apart(), NO_END, None)
    assert pooled.result.bound < apart.result.bound
    found = grown(catalogue, stage(4, **wanted), stage(8, **wanted))
    assert found.together.total == apart.result.bound
    assert "both" in standing(found.together)[0]


def test_two_hosts_may_come_one_after_the_other() -> None:
    catalogue = shop(devices=(replace(PLAIN, word_in=1, word_out=1, clock_in=("word",)),))
    word = replace(OPT, id="word", kind="word")
    catalogue = replace(catalogue, cables={"word": word})
    found = grown(catalogue, stage(8, max_hosts=2), stage(16, max_hosts=2)).together
    assert outlays(found) == [20_000, 20_600]


# --- time ------------------------------------------------------------------------


def test_one_by_one_is_the_answer_if_there_is_no_time_for_more(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def late(*_args: object) -> solving.Solved:
        trip = journey(shop(), [EIGHT, SIXTEEN])
        empty = pose(
            trip, [columns(problem, ranks=0) for problem in trip.problems], Deadline(None)
        )
        return solving.Solved(empty, replace(NOTHING_YET, bound=40_000))

    monkeypatch.setattr(module, "solve", late)
    found = grow(shop(), [EIGHT, SIXTEEN], NO_END)
    assert isinstance(found, Grown)
    assert found.together.total == 70_600
    assert (found.together.bound, found.together.proven) == (40_000, False)


def test_rigs_that_are_not_wired_in_time_leave_one_by_one(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    real = module.growth
    calls: list[int] = []

    def late(*args: object) -> object:
        calls.append(1)
        return real(*args) if len(calls) < 2 else None  # type: ignore[arg-type]

    monkeypatch.setattr(module, "growth", late)
    found = grow(shop(), [EIGHT, SIXTEEN], NO_END)
    assert len(calls) == 3
    assert isinstance(found, Grown)
    assert (found.together.total, found.together.bound) == (70_600, 50_600)
    assert not found.together.proven
    never = grow(shop(), [EIGHT, SIXTEEN], NO_END)
    assert never is NOTHING_YET


@pytest.mark.usefixtures("no_time")
def test_no_time_at_all_finds_nothing() -> None:
    found = grow(shop(), [EIGHT, SIXTEEN], NO_END)
    assert isinstance(found, Result)
    assert found.status == "unknown"


def test_time_that_ends_later_leaves_the_proof_open(monkeypatch: pytest.MonkeyPatch) -> None:
    """The search finds a journey and does not prove it; packs of no use are left out."""
    real = solving.run

    def interrupted(*args: object) -> Result:
        result = real(*args)  # type: ignore[arg-type]
        return replace(result, status="feasible", bound=1) if result.found else result

    monkeypatch.setattr(solving, "run", interrupted)
    found = grow(shop(), [EIGHT, SIXTEEN], NO_END)
    assert isinstance(found, Grown)
    assert not found.together.proven
    assert found.together.bound <= 50_600 <= found.together.total


def test_ties_that_are_not_settled_in_time_do_no_harm(monkeypatch: pytest.MonkeyPatch) -> None:
    trip = journey(shop(), [EIGHT, SIXTEEN])
    monkeypatch.setattr(lexicographic, "run", lambda *_: NOTHING_YET)
    solved = solving.solve(trip, NO_END, None)
    assert (solved.result.status, solved.result.bound) == ("optimal", 50_600)


def test_without_a_relaxation_everything_is_looked_at(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(solving, "relax", lambda *_: Relaxation(0, {}))
    assert grown(shop(), EIGHT, SIXTEEN).together.total == 50_600


def test_ties_beyond_what_is_exact_stay_open(monkeypatch: pytest.MonkeyPatch) -> None:
    trip = journey(shop(), [EIGHT, SIXTEEN])
    monkeypatch.setattr(solving, "reach", lambda terms: reach(terms) << 40)
    solved = solving.solve(trip, NO_END, None)
    assert (solved.result.status, solved.result.bound) == ("optimal", 50_600)


def test_packs_that_no_stage_uses_are_left_out() -> None:
    """As a search that ran out of time may have bought them."""
    trip = journey(shop(), [EIGHT, SIXTEEN])
    wanted = grown(shop(), EIGHT, SIXTEEN).together
    lines = [list(step.rig.purchases) for step in wanted.steps]
    cable = lines[1][1]
    junk = [[*lines[0], cable], [lines[1][0], replace(cable, quantity=3)]]
    found = steps_of(trip, junk, [{}, {}], NO_END)
    assert found is not None
    assert bought(found) == bought(wanted)


def test_too_little_makes_no_steps() -> None:
    trip = journey(shop(), [EIGHT])
    assert steps_of(trip, [[]], [{}], NO_END) is None
    assert steps_of(trip, [[]], [{}], Deadline(0.0)) is None


def test_a_rig_that_was_bought_is_wired_though_time_is_up() -> None:
    trip = journey(shop(), [EIGHT, SIXTEEN])
    lines = [step.rig.purchases for step in grown(shop(), EIGHT, SIXTEEN).together.steps]
    found = steps_of(trip, lines, [{}, {}], Deadline(0.0))
    assert found is not None
    assert found.total == 50_600
