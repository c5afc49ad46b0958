"""Used gear sold: what is owned, has a price and is not used. All priced by hand."""

from __future__ import annotations

import random
from dataclasses import replace
from typing import Any

import pytest

from rigopt.answers.outcome import Answered, Impossible
from rigopt.catalogue.types import Cable, Catalogue, Device, Extra
from rigopt.needs.types import Needs
from rigopt.optimiser.problem.problem import state
from rigopt.optimiser.questions.alternatives import alternatives
from rigopt.optimiser.questions.conflict.explain import explained
from rigopt.optimiser.questions.curve import curve
from rigopt.optimiser.questions.plan import solve
from rigopt.optimiser.questions.stretch import stretch
from rigopt.optimiser.questions.why.why import why
from rigopt.optimiser.search.pooled import Best, Search
from rigopt.optimiser.solver.run import Deadline
from rigopt.optimiser.solver.watch import Watch
from rigopt.output.words.findings import says
from rigopt.rig.audit import audit
from rigopt.rig.types import Rig, Sale
from tests.money.brute import brute_best
from tests.money.instances import instance
from tests.money.shop import DESK, OPT, PRE, bought, found, rig, shop
from tests.oracle.keys import key_of
from tests.tiers import few

TWIN = replace(DESK, id="twin")
TWO = shop(devices={"desk": DESK, "pre": PRE, "twin": TWIN})
NO_END = Deadline(None)
SLOW = (50, 75, *range(80, 100))
"""A seed of these keeps the enumeration busy for long."""


def sold(answer: Rig) -> list[tuple[str, int, int]]:
    """Item, pieces and price of each sale."""
    return [(line.item, line.quantity, line.unit_price) for line in answer.to_sell]


def test_what_is_used_is_not_sold() -> None:
    answer = rig(shop(), owned={"desk": 1}, resale={"desk": 15_000})
    assert (answer.total, sold(answer)) == (20_000 + 600, [])


def test_what_is_needed_beside_an_owned_piece_is_bought() -> None:
    """A host that is to lead takes two cables."""
    answer = rig(shop(), master="host", owned={"opt": 1}, resale={"opt": 100})
    assert (answer.total, sold(answer)) == (30_000 + 20_000 + 600, [])


def test_what_has_no_price_at_this_stage_brings_nothing() -> None:
    problem = state(shop(), Needs(mic=8, owned={"pre": 2, "opt": 3}, resale={"pre": 9_000}))
    assert replace(problem, sellable={"pre": 2, "opt": 3}).sale == 18_000


def test_all_that_is_not_used_is_sold() -> None:
    answer = rig(shop(), mic=8, owned={"pre": 2, "opt": 3}, resale={"pre": 9_000})
    assert sold(answer) == [("pre", 2, 9_000)]
    assert answer.total == 30_000 - 18_000


def test_what_may_be_sold_is_no_part_of_what_a_rig_costs_at_least() -> None:
    """What is told while the search goes on: without any rig, the old boxes bring 180.00."""
    watch = Watch()
    needs = Needs(mic=8, owned={"pre": 2, "opt": 3}, resale={"pre": 9_000})
    best = Search(state(shop(), needs)).best_exact(Deadline(None, watch))
    assert isinstance(best, Best)
    assert watch.bound is not None
    assert -18_000 <= watch.bound <= 30_000 - 18_000


def test_a_piece_is_sold_where_another_costs_less_than_it_brings() -> None:
    """A twin at 300.00, and 350.00 for the old one: 50.00 are left over."""
    ask: dict[str, Any] = {"mic": 8, "owned": {"desk": 1}}
    answer = rig(TWO, **ask, resale={"desk": 35_000})
    assert (bought(answer), sold(answer)) == ([("twin", None, 1)], [("desk", 1, 35_000)])
    assert answer.total == -5_000
    for price in (29_999, 30_000):
        kept = rig(TWO, **ask, resale={"desk": price})
        assert (kept.total, bought(kept), sold(kept)) == (0, [], [])


def test_owned_ones_come_before_bought_ones_whatever_they_bring() -> None:
    answer = rig(shop(), mic=8, owned={"desk": 1}, resale={"desk": 90_000})
    assert (answer.total, bought(answer)) == (0, [])


def test_a_type_that_is_owned_is_no_cheaper_than_what_it_brings() -> None:
    """The twin at 301.00 looks dearer than a desk, but the desk would take 350.00 away."""
    dear = replace(TWIN, price=30_100)
    catalogue = shop(devices={"desk": DESK, "pre": PRE, "twin": dear})
    answer = rig(catalogue, mic=8, owned={"desk": 1}, resale={"desk": 35_000})
    assert (answer.total, bought(answer)) == (-4_900, [("twin", None, 1)])


def test_cables_and_extras_are_sold_too() -> None:
    """The owned cable brings 10.00, and another of 7.00 does as well."""
    other = replace(OPT, id="other", price=700)
    leads = (Extra("lead", "lead", "mic", 100), Extra("clip", "clip", "mic", None))
    catalogue = shop(extras=leads, cables={"opt": OPT, "other": other})
    owned = {"desk": 1, "pre": 1, "opt": 2, "lead": 20, "clip": 18}
    dear = rig(catalogue, owned=owned, resale={"opt": 1_000, "lead": 50, "clip": 30})
    assert sold(dear) == [("opt", 2, 1_000), ("clip", 2, 30), ("lead", 4, 50)]
    assert dear.total == 700 - 2 * 1_000 - 4 * 50 - 2 * 30
    cheap = rig(catalogue, owned=owned, resale={"opt": 400, "lead": 50})
    assert (sold(cheap), cheap.total) == ([("opt", 1, 400), ("lead", 4, 50)], -600)


def test_an_extra_that_nobody_sells_has_a_say_in_units() -> None:
    """Shelves by the unit bring 500.00 each: one large host leaves one more than two boxes."""
    large = replace(DESK, id="large", price=70_000, mic_line=16)
    catalogue = shop(
        devices={"desk": DESK, "large": large, "pre": PRE},
        extras=(Extra("shelf", "shelf", "unit", None),),
    )
    answer = rig(catalogue, owned={"shelf": 2}, resale={"shelf": 50_000})
    assert (answer.total, sold(answer)) == (20_000, [("shelf", 1, 50_000)])
    assert rig(catalogue, owned={"shelf": 2}).total == 50_600


@pytest.mark.parametrize(
    ("item", "price", "total", "left"),
    [
        # Four leads carry what the preamp sends; two of six are idle.
        ("lead", 300, 32_000 - 2 * 300, 2),
        # A loom for 15.00 does what four leads do, which would bring 16.00.
        ("lead", 400, 32_000 + 1_500 - 6 * 400, 6),
        ("loom", 300, 32_000 - 5 * 300, 5),
        # Four leads cost 20.00, and the loom brings 25.00.
        ("loom", 2_500, 32_000 + 2_000 - 6 * 2_500, 6),
    ],
)
def test_analogue_leads_and_looms(item: str, price: int, total: int, left: int) -> None:
    """An interface at 200.00 with four line inputs left, and a preamp at 120.00."""
    box = Device("box", "box", "host", 20_000, mic_line=4, line=4)
    amp = Device("amp", "amp", "preamp", 12_000, mic=4, direct_out=4)
    lead = Cable("lead", "lead", "analogue", 1_500, 500, ends=("jack", "jack"))
    loom = replace(lead, id="loom", price=1_500, ways=4)
    catalogue = shop(devices={"box": box, "amp": amp}, cables={"lead": lead, "loom": loom})
    answer = rig(catalogue, mic=8, owned={item: 6}, resale={item: price})
    assert (answer.total, sold(answer)) == (total, [(item, left, price)])


def test_the_budget_is_net() -> None:
    ask: dict[str, Any] = {"mic": 8, "owned": {"pre": 2}, "resale": {"pre": 10_000}}
    assert rig(shop(), **ask, budget=10_000).total == 10_000
    assert isinstance(found(shop(), **ask, budget=9_999), Impossible)


def test_nothing_need_be_bought_for_something_to_be_sold() -> None:
    owned = {"desk": 1, "pre": 2}
    answer = rig(shop(), mic=8, owned=owned, resale={"pre": 10_000}, owned_only=True)
    assert (answer.total, bought(answer)) == (-20_000, [])


def test_a_price_for_what_is_not_owned_changes_nothing() -> None:
    assert rig(TWO, resale={"desk": 90_000, "opt": 90_000}) == rig(TWO)


def test_what_is_told_while_it_runs_is_net() -> None:
    watch = Watch()
    needs = Needs(mic=8, owned={"desk": 1}, resale={"desk": 35_000})
    solve(TWO, needs, watch=watch)
    assert (watch.best, watch.bound) == (-5_000, -5_000)


# --- other questions -------------------------------------------------------------

SELLING = Needs(mic=8, owned={"desk": 1}, resale={"desk": 35_000})


def test_prices_and_what_a_need_costs() -> None:
    """The twin is worth its price below what the owned one brings; with a budget, to there."""
    for budget, limit in ((None, 34_999), (0, 34_999), (-0 + 100, 34_999)):
        needs = replace(SELLING, budget=budget)
        told = why(TWO, needs, rig(TWO, **asked(needs)), NO_END)
        assert told.complete
        (twin,) = [price for price in told.prices if price.device == "twin"]
        assert (twin.units, twin.limit) == (1, limit)
        most = solve(priced(limit), needs)
        over = solve(priced(limit + 1), needs)
        assert [one.rig.units[0].device.id for one in (most, over)] == ["twin", "desk"]  # type: ignore[union-attr]


def asked(needs: Needs) -> dict[str, Any]:
    return {name: getattr(needs, name) for name in ("mic", "owned", "resale", "budget")}


def priced(price: int) -> Catalogue:
    return replace(TWO, devices={**TWO.devices, "twin": replace(TWIN, price=price)})


def test_alternatives_are_net() -> None:
    others = alternatives(TWO, SELLING, rig(TWO, **asked(SELLING)), 2, NO_END).found
    assert others[0].rig.total == 0
    assert others[0].rig.to_sell == ()


def test_a_curve_starts_below_nothing() -> None:
    points = curve(TWO, SELLING, [8, 16], NO_END).points
    answers = [point.answer for point in points]
    assert [one and (one.rig.total, one.proven) for one in answers] == [
        (-5_000, True),
        (15_600, True),
    ]


def test_the_most_for_a_budget_is_net() -> None:
    found = stretch(TWO, SELLING, 15_600, NO_END)
    assert found.best is not None
    assert (found.best.mic, found.proven) == (16, True)
    assert stretch(TWO, SELLING, 15_599, NO_END).best.mic == 8  # type: ignore[union-attr]


def test_a_budget_in_the_way_is_named_with_the_net_sum() -> None:
    needs = Needs(mic=8, owned={"pre": 2}, resale={"pre": 10_000}, budget=9_999)
    told = explained(shop(), needs, NO_END)
    changes = [(c.settings[0].name, c.settings[0].now) for c in told.changes]
    assert ("budget", 10_000) in changes


# --- against enumeration ---------------------------------------------------------


def drawn(seed: int) -> tuple[Catalogue, Needs]:
    """A question with sellers, with devices and extras that are owned and have a price."""
    draw = random.Random(seed)
    catalogue, needs = instance(seed)
    items = [*catalogue.devices, *catalogue.extras]
    owned = {item: draw.randint(1, 6) for item in items if draw.random() < 0.5}
    resale = {item: draw.choice((1, 400, 5_000, 40_000)) for item in owned}
    return catalogue, replace(needs, owned={**needs.owned, **owned}, resale=resale)


def trouble(asked: tuple[Catalogue, Needs]) -> str:
    """How the optimiser differs from the enumeration, which counts what is not got."""
    catalogue, needs = asked
    budget = None if needs.budget is None else needs.budget + needs.sale
    key = brute_best(catalogue, replace(needs, budget=budget))
    outcome = solve(catalogue, needs)
    if isinstance(outcome, Impossible):
        return "" if key is None else f"impossible, but there is {key}"
    assert isinstance(outcome, Answered)
    assert outcome.proven
    assert outcome.bound == outcome.rig.total
    own = key_of(outcome.rig)
    if own is None or key is None or (own[0] + needs.sale, *own[1:]) != key:
        return f"found {own}, not {key} less {needs.sale}"
    return "; ".join(says(fault) for fault in audit(outcome.rig, catalogue, needs))


@pytest.mark.parametrize("first", few(range(0, 100, 5), now=0, slow=SLOW))
def test_agrees_with_enumeration(first: int) -> None:
    seeds = range(first, first + 5)
    assert not {seed: what for seed in seeds if (what := trouble(drawn(seed)))}


# --- audit -----------------------------------------------------------------------

LINE = Sale("pre", "expander", "device", 2, 10_000)


@pytest.mark.parametrize(
    "lines",
    [
        (),
        (replace(LINE, quantity=1),),
        (replace(LINE, quantity=3),),
        (replace(LINE, unit_price=9_000),),
        (replace(LINE, label="another"),),
        (replace(LINE, kind="cable"),),
        (replace(LINE, quantity=1), replace(LINE, quantity=1)),
        (LINE, Sale("desk", "interface", "device", 1, 10_000)),
    ],
)
def test_the_audit_sees_what_is_wrong_with_a_sale(lines: tuple[Sale, ...]) -> None:
    needs = Needs(mic=8, owned={"pre": 2}, resale={"pre": 10_000})
    right = rig(shop(), mic=8, owned=needs.owned, resale=needs.resale)
    assert right.to_sell == (LINE,)
    total = 30_000 - sum(line.total for line in lines)
    wrong = replace(right, to_sell=lines, total=total)
    assert "sold" in {finding.rule for finding in audit(wrong, shop(), needs)}


def test_the_audit_adds_sales_up() -> None:
    needs = Needs(mic=8, owned={"pre": 2}, resale={"pre": 10_000})
    right = rig(shop(), mic=8, owned=needs.owned, resale=needs.resale)
    wrong = replace(right, total=30_000)
    assert {finding.rule for finding in audit(wrong, shop(), needs)} >= {"total"}
