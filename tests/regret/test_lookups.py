"""`rigopt prices`: what it says is certain is so, and it asks for few."""

from __future__ import annotations

import json
import shutil
from collections import Counter
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from statistics import median
from typing import Any

import pytest

import rigopt
from rigopt.answers.outcome import Answered, Impossible, Regret
from rigopt.answers.prices import Ask, Prices
from rigopt.api.prices import ask_prices
from rigopt.catalogue.ends import with_price
from rigopt.catalogue.types import Cable, Catalogue, Extra, Offer, Seller
from rigopt.cli.main import run
from rigopt.errors import Fault
from rigopt.files.amounts import Span
from rigopt.needs.types import Needs
from rigopt.optimiser.questions.plan import solve
from rigopt.optimiser.questions.prices import prices as module
from rigopt.optimiser.questions.prices.prices import prices
from rigopt.optimiser.questions.prices.unknown import at_price
from rigopt.optimiser.questions.regret.largest import Largest
from rigopt.optimiser.solver.run import NO_END
from rigopt.output.data.prices_json import prices_json
from rigopt.output.terminal.prices import prices_text
from tests.regret.lookups import Case, case, corners, looked_up
from tests.world import COAX, DESK, HUB, OPT, PRE, WORD, catalogue

SMALL = Path(__file__).parents[1] / "golden" / "catalogues" / "small"
DEAR = 10**6


def uncertain(one: Case) -> str:
    """A price vector at which another mix is cheaper than the answer; empty if none is."""
    asked, found = looked_up(one)
    assert found.answer is not None
    known = {item: one.truth[item] for item in asked}
    units = Counter(unit.device.id for unit in found.answer.rig.units)
    owned = one.needs.owned
    bought = {i: n - owned.get(i, 0) for i, n in units.items() if n > owned.get(i, 0)}
    # Owned units beside them make no difference but to what else is bought.
    mine = min((m for m in one.mixes if m.bought == bought), key=lambda m: m.rest)
    assert mine.cost(known) == found.answer.rig.total
    assert found.unknown == len(one.truth) - len(asked)
    for corner in corners(one.truth.keys() - known.keys(), DEAR):
        prices_ = known | corner
        least = min(mix.cost(prices_) for mix in one.mixes)
        if mine.cost(prices_) > least:
            return f"{mine} costs {mine.cost(prices_)}, not {least}, at {prices_}"
    return ""


@pytest.mark.parametrize(
    "first",
    [
        pytest.param(first, marks=pytest.mark.full if first < 3 else pytest.mark.long)
        for first in range(0, 300, 3)
    ],
)
def test_what_is_done_is_certain(first: int) -> None:
    found = {
        seed: what
        for seed in range(first, first + 3)
        if (one := case(seed)) and (what := uncertain(one))
    }
    assert not found


@pytest.mark.long
def test_few_are_asked_for() -> None:
    """Against the fewest that would do, and against all, over 200 catalogues."""
    ratios: list[float] = []
    shares: list[float] = []
    rows = Counter[str]()
    seed = 0
    while len(ratios) < 200:
        one = case(seed)
        seed += 1
        if one is None:
            continue
        asked, fewest = len(looked_up(one)[0]), one.fewest()
        assert asked >= fewest
        ratios.append(asked / fewest if fewest else float(asked == 0 or asked))
        shares.append(asked / len(one.truth))
        rows[f"{asked} asked, {fewest} at least, of {len(one.truth)}"] += 1
    print(median(ratios), max(ratios), sum(ratios) / 200, median(shares), sum(shares) / 200)
    assert median(ratios) <= 1.5


def test_the_price_of_what_every_rig_buys_is_not_asked_for() -> None:
    """One host alone: whatever it costs, it is bought."""
    shop = catalogue(DESK, PRE)
    blank = replace(shop, devices={k: replace(d, price=None) for k, d in shop.devices.items()})
    found = prices(blank, Needs(mic=16), 0, NO_END)
    assert isinstance(found, Prices)
    assert found.done
    assert found.blank == ("desk-8", "pre-8")
    assert found.unknown == 2


def test_a_price_that_is_not_known_is_told_as_such_and_not_as_nothing() -> None:
    """Only the cable has a price: 6.00, and two devices come on top."""
    shop = catalogue(DESK, PRE)
    blank = replace(shop, devices={k: replace(d, price=None) for k, d in shop.devices.items()})
    found, known = ask_prices(blank, Needs(mic=16))
    assert isinstance(found, Prices)
    assert found.answer is not None
    bought = [(line.item, line.known, line.total) for line in found.answer.rig.purchases]
    assert bought == [("desk-8", False, 0), ("pre-8", False, 0), ("opt-1m", True, 600)]
    told = prices_text(found, known, Needs(mic=16))
    assert "Total:  6.00 GBP and the price of desk-8 and pre-8\n" in told
    bill = told[told.index("TO BUY") :].splitlines()
    assert [line.split()[-4:] for line in bill[3:5]] == [["not", "known", "not", "known"]] * 2
    assert bill[7].split() == ["Total", "of", "what", "is", "known", "6.00"]
    assert "MIND" not in told
    plan = json.loads(prices_json(found, "GBP", Needs(mic=16)))["plan"]
    amounts = [(line["unit_price"], line["total"]) for line in plan["purchases"]]
    assert amounts == [(None, None), (None, None), ("6.00", "6.00")]
    table = rigopt.prices(rigopt.Needs(mic=16), blank).purchases
    assert list(table["total"]) == [None, None, Decimal("6.00")]


def test_an_offer_of_what_has_no_price_is_known() -> None:
    """Three are needed: a pack of two is in stock for nothing, and what one alone costs nobody
    knows."""
    lead = replace(OPT, price=None)
    shop = catalogue(HUB, PRE, cables=(lead,))
    offers = (Offer("opt-1m", "north", 0, pack=2, stock=1),)
    shop = replace(
        shop,
        sellers={"north": Seller("north", "GBP")},
        offers=offers,
        unknown={"opt-1m": Fault("cables.csv", "nobody knows what it costs", value="?")},
    )
    found, _ = ask_prices(shop, Needs(mic=16))
    assert isinstance(found, Prices)
    assert found.answer is not None
    lines = found.answer.rig.purchases
    assert {(line.seller, line.known) for line in lines if line.item == "opt-1m"} == {
        (None, False),
        ("north", True),
    }


def test_each_rig_that_does_alone_is_asked_for() -> None:
    """Two interfaces of eight inputs: one price tells nothing, and both are asked at once."""
    other = replace(DESK, id="desk-9", price=None)
    shop = catalogue(replace(DESK, price=None), other, replace(PRE, price=None))
    found = prices(shop, Needs(mic=8), 0, NO_END)
    assert isinstance(found, Prices)
    assert {ask.item for ask in found.ask} == {"desk-8", "desk-9"}
    assert found.regret is None
    for item, price in (("desk-8", 300), ("desk-9", 290)):
        shop = with_price(shop, item, Span(price, price))
    done = prices(shop, Needs(mic=8), 0, NO_END)
    assert isinstance(done, Prices)
    assert done.answer is not None
    assert [unit.device.id for unit in done.answer.rig.units] == ["desk-9"]


def test_near_enough_is_an_answer_sooner() -> None:
    other = replace(DESK, id="desk-9", price=310, least=290)
    shop = catalogue(replace(DESK, price=300), other)
    found = prices(shop, Needs(mic=8), 0, NO_END)
    assert isinstance(found, Prices)
    assert (found.done, found.regret, [a.item for a in found.ask]) == (False, 10, ["desk-9"])
    content = prices(shop, Needs(mic=8), 10, NO_END)
    assert isinstance(content, Prices)
    assert content.answer is not None
    assert content.answer.regret is not None
    assert content.answer.regret == Regret(10, 0)
    assert content.answer.proven
    assert content.answer.bound == content.answer.rig.total_from - 10


def asks(shop: Catalogue, needs: Needs) -> tuple[Ask, ...]:
    """What it asks for; it is not done."""
    found = prices(shop, needs, 0, NO_END)
    assert isinstance(found, Prices)
    assert not found.done
    return found.ask


TWO_HOSTS = Needs(mic=16, max_hosts=2)


@pytest.mark.parametrize("least", [None, 190])
def test_what_every_rig_buys_once_may_be_worth_a_second(least: int | None) -> None:
    """One interface with an expander, or two: the second may cost anything."""
    pre = replace(PRE, price=210, least=least)
    shop = catalogue(replace(DESK, price=None), pre)
    assert asks(shop, TWO_HOSTS) == (Ask("desk-8", "every"),)


def test_an_offer_stands_in_for_one_of_two_that_every_rig_needs() -> None:
    """Of two expanders one is for sale at 90.00: whether it is worth that, the price says.

    With it at 500.00, one of each is bought; for next to nothing, both are at the plain price.
    """
    host = replace(DESK, optical_in=3, optical_out=3)
    shop = replace(
        catalogue(host, replace(PRE, price=None)),
        offers=(Offer("pre-8", "near", 9_000, stock=1),),
        sellers={"near": Seller("near", "GBP", delivery=500, free_over=10_000)},
        unknown={"pre-8": Fault("devices.csv", "nobody knows what it costs", value="?")},
    )
    needs = Needs(mic=24)
    assert asks(shop, needs) == (Ask("pre-8", "every"),)
    known = prices(with_price(shop, "pre-8", Span(50_000, 50_000)), needs, 0, NO_END)
    assert isinstance(known, Prices)
    assert known.answer is not None
    assert known.answer.rig.total == 30_000 + 50_000 + 9_000 + 500 + 3 * 600


def test_what_only_some_rigs_buy_could_count() -> None:
    """A rig without it costs no more than the best one that is known."""
    shop = catalogue(DESK, replace(DESK, id="desk-9", price=None))
    assert asks(shop, Needs(mic=8)) == (Ask("desk-9", "could"),)


def test_five_are_asked_for_at_once() -> None:
    hosts = [replace(DESK, id=f"desk-{number}", price=None) for number in range(1, 8)]
    assert len({ask.item for ask in asks(catalogue(*hosts), Needs(mic=8))}) == 5


def test_a_price_that_is_exact_is_not_asked_for() -> None:
    """The dear interface is in every rig; what may change is the expander's price."""
    shop = catalogue(
        DESK,
        replace(PRE, price=210, least=190),
        replace(PRE, id="pre-9", price=200),
    )
    assert asks(shop, Needs(mic=16)) == (Ask("pre-8", "could"),)


def test_what_every_rig_buys_as_often_is_not_asked_for_before_a_range() -> None:
    shop = catalogue(
        replace(DESK, price=None),
        replace(PRE, price=210, least=190),
        replace(PRE, id="pre-9", price=200),
    )
    assert asks(shop, Needs(mic=16)) == (Ask("pre-8", "could"),)


def test_what_is_not_known_is_asked_for_before_a_range() -> None:
    """The interface is in every rig; one expander may cost anything, the other costs 2.00."""
    shop = catalogue(
        replace(DESK, price=310, least=290),
        replace(PRE, price=None),
        replace(PRE, id="pre-9", price=200),
    )
    assert asks(shop, Needs(mic=16)) == (Ask("pre-8", "could"),)


def test_what_every_rig_within_a_budget_buys_may_cost_more_than_is_left() -> None:
    """The other expander alone costs more than the budget; this one has to be known."""
    shop = catalogue(DESK, replace(PRE, price=None), replace(PRE, id="pre-9", price=50_000))
    assert asks(shop, Needs(mic=16, budget=50_000)) == (Ask("pre-8", "every"),)


def test_what_is_not_known_may_cost_nothing() -> None:
    shop = catalogue(replace(DESK, price=1), replace(DESK, id="desk-9", price=None))
    assert asks(shop, Needs(mic=8)) == (Ask("desk-9", "could"),)


def test_it_is_in_every_rig_that_could_still_be_the_cheapest() -> None:
    """Without it there is a rig, but one that costs more than the best that is known."""
    dear = replace(DESK, id="desk-16", mic_line=16, price=10**6)
    shop = catalogue(replace(DESK, price=31_000, least=29_000), PRE, dear)
    pre = replace(PRE, price=30_000)
    shop = replace(shop, devices={**shop.devices, "pre-8": pre})
    assert asks(shop, TWO_HOSTS) == (Ask("desk-8", "every"),)


@pytest.mark.parametrize(
    ("others", "first"),
    [
        ((COAX, WORD), "pre-8"),
        ((), "pre-8"),
        ((replace(COAX, price=10**6), replace(WORD, price=10**6)), "z-opt"),
    ],
)
def test_what_may_cost_most_is_asked_for_first(others: tuple[Cable, ...], first: str) -> None:
    """Devices that are known cost 300.00, cables about 8.00, or far more: one of each is not
    known; where no cable is, it is taken to cost less than a device.
    """
    cables = (replace(OPT, id="z-opt", price=None), *others)
    known = replace(DESK, id="desk-16", mic_line=16, optical_in=0, optical_out=0, clock_in=())
    shop = catalogue(DESK, known, replace(PRE, price=None), cables=cables)
    free = replace(shop, devices={**shop.devices, "desk-8": replace(DESK, price=100)})
    assert asks(free, Needs(mic=16))[0].item == first


def test_what_no_price_of_its_like_is_known_of_costs_a_part_of_a_device() -> None:
    """A shelf for each unit may cost 300.00 / 20, and a light-pipe about 8.00: of two shelves
    one is more than the large interface alone would take."""
    big = replace(DESK, id="big-16", price=60000, mic_line=16, optical_in=0, clock_in=())
    shop = catalogue(DESK, PRE, big, cables=(replace(OPT, price=None), COAX, WORD))
    shop = replace(
        shop,
        extras={"a-shelf": Extra("a-shelf", "Shelf", "unit")},
        unknown={"a-shelf": Fault("extras.csv", "nobody knows what it costs", value="?")},
    )
    assert asks(shop, Needs(mic=16))[0].item == "a-shelf"


def test_of_rigs_that_do_the_one_that_comes_first_is_the_answer(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    shop, needs = catalogue(DESK, PRE), Needs(mic=16)
    first = solve(shop, needs)
    assert isinstance(first, Answered)
    other = replace(first.rig, clock_hops=3)
    monkeypatch.setattr(module, "first_of", lambda *_: (other, Largest(0, 0, True, None)))
    found = prices(shop, needs, 0, NO_END)
    assert isinstance(found, Prices)
    assert found.answer is not None
    assert found.answer.rig is other


@pytest.mark.parametrize("settled", ["none in time", "with two cables"])
def test_the_answer_buys_no_more_of_what_is_not_known_than_every_rig_does(
    settled: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A cable to the interface is in every rig; one back makes the interface the master."""
    needs = Needs(mic=16)
    shop = catalogue(DESK, PRE, cables=(replace(OPT, price=0),))
    both = solve(shop, replace(needs, master="host"))
    assert isinstance(both, Answered)
    assert [(x.item, x.quantity) for x in both.rig.purchases if x.kind == "cable"] == [
        (OPT.id, 2)
    ]
    said = None if settled == "none in time" else (both.rig, Largest(0, 0, True, None))
    monkeypatch.setattr(module, "first_of", lambda *_: said)
    found = prices(at_price(shop, {OPT.id}, None), needs, 0, NO_END)
    assert isinstance(found, Prices)
    assert found.answer is not None
    assert found.answer.rig.master.role == "expander"
    assert (found.blank, found.regret) == ((OPT.id,), 0)


def test_no_rig_at_any_price() -> None:
    shop = catalogue(replace(HUB, price=None))
    assert prices(shop, Needs(mic=8), 0, NO_END) == Impossible(minimal=False)


def test_a_loop_by_file_and_by_option(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Blank prices, then those that are asked for; by either way it says the same."""
    shop = tmp_path / "shop"
    shutil.copytree(SMALL, shop)
    file = shop / "devices.csv"
    full = file.read_text()
    truth = {"desk-8": "240.00", "rack-16": "480.00"}
    file.write_text(full.replace(",240.00,", ",?,").replace(",480.00,", ",,"))
    ask = ["prices", "--catalog", str(shop), "--mic", "16", "--json", "-"]

    def told(*more: str) -> dict[str, Any]:
        assert run([*ask, *more]) == 0
        found: dict[str, Any] = json.loads(capsys.readouterr().out)
        return found

    said, typed = told(), list[str]()
    assert said["format"] == "rigopt-prices/1"
    while not said["done"]:
        assert said["never_mattered"] is None
        assert said["ask"]
        for item in said["ask"]:
            typed += ["--price", f"{item}={truth[item]}"]
        said = told(*typed)
    assert said["never_mattered"] == 2 - len(typed) // 2
    assert said["plan"]["total"] == "436.00"
    file.write_text(full)
    assert told()["plan"] == said["plan"]


def test_in_words(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    shop = tmp_path / "shop"
    shutil.copytree(SMALL, shop)
    file = shop / "devices.csv"
    file.write_text(file.read_text().replace(",240.00,", ",,").replace(",480.00,", ",,"))
    ask = ["prices", "--catalog", str(shop), "--mic", "16"]
    assert run(ask) == 0
    shown = capsys.readouterr().out
    assert shown.startswith("1 price to look up next\n")
    assert "--price rack-16=MONEY" in shown
    assert run([*ask, "--price", "desk-8=240", "--price", "rack-16=480"]) == 0
    shown = capsys.readouterr().out
    assert shown.startswith("Every price is known.")
    assert "The cheapest rig\n" in shown


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (["--price", "desk-9=1"], "did you mean"),
        (["--price", "desk-8=much"], "is not"),
        (["--within", "-1"], "must not be negative"),
    ],
)
def test_what_is_wrong(more: list[str], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["prices", "--catalog", str(SMALL), "--mic", "8", *more]) == 2
    assert said in capsys.readouterr().err
