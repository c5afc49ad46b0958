"""Who things are bought from: stock, packs, fees, limits, taxes and currencies."""

from __future__ import annotations

import datetime
from dataclasses import replace
from decimal import Decimal

import pytest

from rigopt.answers.outcome import Answered, Impossible
from rigopt.catalogue.types import Extra, Offer, Seller
from rigopt.needs.types import Needs
from rigopt.optimiser.decode.baskets import purchases
from rigopt.optimiser.model.model import columns
from rigopt.optimiser.problem.problem import state
from rigopt.optimiser.problem.supplies import NoRateError
from rigopt.optimiser.questions.plan import solve
from rigopt.optimiser.solver.linear import TooLargeError
from rigopt.output.words.answer import filled_up, proof
from tests.money.shop import COAX, DESK, OPT, PRE, bought, found, order, rig, shop

NORTH, SOUTH = Seller("north", "GBP"), Seller("south", "GBP")


def test_a_plain_price_beside_offers_is_one_more_way_to_buy() -> None:
    """300.00 without a seller, 310.00 or 290.00 with one; the plain price makes no order."""
    answer = rig(shop(Offer("desk", "north", 31_000), plain=True))
    assert bought(answer)[0] == ("desk", None, 1)
    assert not answer.orders
    cheaper = rig(shop(Offer("desk", "north", 29_000), plain=True))
    assert bought(cheaper)[0] == ("desk", "north", 1)
    used = Offer("desk", "north", 29_000, condition="used")
    assert bought(rig(shop(used, plain=True), new_only=True))[0] == ("desk", None, 1)


def test_a_plain_price_goes_on_where_a_stock_ends() -> None:
    offers = (Offer("pre", "north", 15_000, stock=1),)
    answer = rig(shop(*offers, plain=True), mic=32)
    assert [line for line in bought(answer) if line[0] == "pre"] == [
        ("pre", None, 2),
        ("pre", "north", 1),
    ]


def test_without_a_plain_price_an_item_is_bought_from_its_offers() -> None:
    answer = rig(shop(Offer("desk", "north", 31_000)))
    assert bought(answer) == [("desk", "north", 1), ("pre", None, 1), ("opt", None, 1)]
    assert answer.total == 31_000 + 20_000 + 600
    assert order(answer, "north").goods == 31_000


def test_the_cheapest_of_several_offers() -> None:
    offers = (Offer("desk", "north", 29_000), Offer("desk", "south", 28_999))
    assert bought(rig(shop(*offers)))[0] == ("desk", "south", 1)


def test_one_in_stock_here_and_two_there() -> None:
    offers = (Offer("pre", "north", 15_000, stock=1), Offer("pre", "south", 18_000))
    answer = rig(shop(*offers), mic=32)
    assert bought(answer)[1:3] == [("pre", "north", 1), ("pre", "south", 2)]


def test_two_rows_of_the_same_offer_are_one_of_twice_the_stock() -> None:
    offers = (Offer("pre", "north", 15_000, stock=1), Offer("pre", "north", 15_000, stock=2))
    assert ("pre", "north", 3) in bought(rig(shop(*offers), mic=32))


def test_stock_counts_packs() -> None:
    offers = (Offer("opt", "north", 500, pack=2, stock=1), Offer("opt", "south", 900))
    lines = bought(rig(shop(*offers), mic=32))
    assert lines[-2:] == [("opt", "north", 1), ("opt", "south", 3)]


@pytest.mark.parametrize(("stock", "possible"), [(0, False), (1, True)])
def test_nothing_left_is_nothing_for_sale(stock: int, possible: bool) -> None:
    outcome = found(shop(Offer("desk", "north", 1, stock=stock)))
    assert isinstance(outcome, Impossible) is not possible


def test_a_larger_pack_where_it_is_cheaper() -> None:
    """32 inputs take five cables: audio, and clock for two of the expanders."""
    offers = (Offer("opt", "north", 600), Offer("opt", "south", 1_100, pack=3))
    assert ("opt", "north", 1) in bought(rig(shop(*offers)))
    assert ("opt", "south", 2) in bought(rig(shop(*offers), mic=32))


def test_a_dearer_device_where_something_else_is_bought_anyway() -> None:
    """5.00 of delivery each: the expander is 4.00 dearer at the seller of the interface."""
    sellers = (replace(NORTH, delivery=500), replace(SOUTH, delivery=500))
    offers = (
        Offer("desk", "north", 30_000),
        Offer("pre", "north", 20_400),
        Offer("pre", "south", 20_000),
    )
    answer = rig(shop(*offers, sellers=sellers))
    assert ("pre", "north", 1) in bought(answer)
    assert answer.total == 30_000 + 20_400 + 500 + 600
    dearer = (*offers[:1], Offer("pre", "north", 20_501), offers[2])
    assert ("pre", "south", 1) in bought(rig(shop(*dearer, sellers=sellers)))


@pytest.mark.parametrize(("limit", "delivery"), [(30_599, 0), (30_600, 0), (30_601, 700)])
def test_delivery_is_free_exactly_from_the_limit_on(limit: int, delivery: int) -> None:
    seller = replace(NORTH, delivery=700, free_over=limit)
    offers = (Offer("desk", "north", 30_000), Offer("opt", "north", 600, stock=1))
    answer = rig(shop(*offers, sellers=(seller,)))
    assert order(answer, "north").delivery == delivery
    assert answer.total == 50_600 + delivery


@pytest.mark.parametrize(("fee", "packs"), [(599, 1), (600, 1), (601, 2)])
def test_one_more_cable_for_free_delivery(fee: int, packs: int) -> None:
    """A second cable for 6.00 reaches the limit; of equal money the fewer packs win."""
    seller = replace(NORTH, delivery=fee, free_over=31_200)
    offers = (Offer("desk", "north", 30_000), Offer("opt", "north", 600))
    answer = rig(shop(*offers, sellers=(seller,)))
    assert ("opt", "north", packs) in bought(answer)
    assert answer.total == 20_000 + (30_600 + fee if packs == 1 else 31_200)


def test_even_a_cable_of_no_use_for_free_delivery() -> None:
    seller = replace(NORTH, delivery=601, free_over=30_300)
    offers = (Offer("desk", "north", 30_000), Offer("coax", "north", 300))
    catalogue = shop(*offers, sellers=(seller,))
    answer = rig(catalogue)
    assert ("coax", "north", 1) in bought(answer)
    assert answer.total == 30_300 + 20_000 + 600
    # No box has a socket for it, so it could not be used; its length suits the runs.
    assert "used" not in filled_up(catalogue)


def test_even_a_device_of_no_use_for_free_delivery() -> None:
    small = replace(PRE, id="small", mic_line=0, optical_out=0, price=None)
    seller = replace(NORTH, delivery=601, free_over=30_600)
    offers = (Offer("desk", "north", 30_000), Offer("small", "north", 600))
    catalogue = shop(*offers, sellers=(seller,))
    catalogue = replace(catalogue, devices={**catalogue.devices, "small": small})
    answer = rig(catalogue)
    assert ("small", "north", 1) in bought(answer)
    assert len(answer.units) == 2
    assert answer.total == 30_600 + 20_000 + 600


def test_a_cable_too_short_for_any_run_fills_no_order_and_the_proof_says_so() -> None:
    """With it, the same rig would be 3.01 cheaper."""
    seller = replace(NORTH, delivery=601, free_over=30_300)
    offers = (Offer("desk", "north", 30_000), Offer("short", "north", 300))
    short = replace(COAX, id="short", length_mm=100, price=None)
    catalogue = shop(*offers, sellers=(seller,))
    catalogue = replace(catalogue, cables={**catalogue.cables, "short": short})
    answer = found(catalogue)
    assert isinstance(answer, Answered)
    assert answer.rig.total == 30_601 + 20_000 + 600
    plain = replace(catalogue, sellers={"north": replace(seller, free_over=None)})
    said, unlimited = proof(answer, catalogue), proof(answer, plain)
    assert said.startswith(unlimited)
    assert "suits the rate and the runs" in said.removeprefix(unlimited)


def test_a_limit_of_nothing_is_no_fee() -> None:
    seller = replace(NORTH, delivery=500, free_over=0)
    answer = rig(shop(Offer("desk", "north", 30_000), sellers=(seller,)))
    assert order(answer, "north").delivery == 0


@pytest.mark.parametrize(("tax", "total"), [("0", 30_400), ("20", 36_480), ("7.7", 32_741)])
def test_tax_is_on_goods_and_delivery(tax: str, total: int) -> None:
    """304.00 with 7.7 % is 327.408, and 327.41 is paid."""
    seller = replace(NORTH, delivery=400, tax_percent=Decimal(tax))
    answer = rig(shop(Offer("desk", "north", 30_000), sellers=(seller,)))
    assert order(answer, "north").total == total
    assert order(answer, "north").tax == total - 30_400
    assert answer.total == total + 20_600


def test_the_limit_is_reached_before_tax() -> None:
    seller = replace(NORTH, delivery=400, free_over=30_001, tax_percent=Decimal(20))
    answer = rig(shop(Offer("desk", "north", 30_000), sellers=(seller,)))
    assert order(answer, "north").delivery == 400


@pytest.mark.parametrize(("price", "total"), [(30_002, 33_002), (30_005, 33_006)])
def test_half_a_penny_is_rounded_up(price: int, total: int) -> None:
    """10 %: 330.022 is 330.02, and 330.055 is 330.06."""
    seller = replace(NORTH, tax_percent=Decimal(10))
    answer = rig(shop(Offer("desk", "north", price), sellers=(seller,)))
    assert order(answer, "north").total == total


def test_rounding_is_once_for_an_order_not_for_each_thing() -> None:
    """Three things of 0.05 with 10 %: 0.165 is 0.17; each rounded alone would be 0.18."""
    seller = replace(NORTH, tax_percent=Decimal(10))
    offers = (Offer("desk", "north", 5), Offer("pre", "north", 5), Offer("opt", "north", 5))
    answer = rig(shop(*offers, sellers=(seller,)))
    assert answer.total == 17


def test_two_orders_are_rounded_apart() -> None:
    """0.055 and 0.055 are 0.06 each; in one order with the cable they would be 0.17."""
    sellers = (replace(NORTH, tax_percent=Decimal(10)), replace(SOUTH, tax_percent=Decimal(10)))
    offers = (Offer("desk", "north", 5), Offer("pre", "south", 5), Offer("opt", "south", 10))
    answer = rig(shop(*offers, sellers=sellers))
    assert [one.total for one in answer.orders] == [6, 17]  # 0.055 and 0.165
    assert answer.total == 23


@pytest.mark.parametrize(
    ("currency", "rate", "price", "total"),
    [
        ("EUR", "1.17", 35_100, 30_000),  # 351.00 EUR at 1.17 for a pound
        ("JPY", "190.5", 57_150, 30_000),  # no decimals (ISO 4217): 57150 JPY
        ("KWD", "0.39", 117_000, 30_000),  # three decimals: 117.000 KWD
        ("EUR", "1.17", 35_099, 29_999),  # 299.991... pounds
        ("JPY", "190.5", 57_149, 29_999),  # 299.9948 pounds
    ],
)
def test_other_currencies(currency: str, rate: str, price: int, total: int) -> None:
    seller = Seller("north", currency)
    answer = rig(
        shop(Offer("desk", "north", price), sellers=(seller,)),
        exchange={currency: Decimal(rate)},
    )
    assert order(answer, "north") == replace(
        order(answer, "north"), currency=currency, goods=price, tax=0, total=total
    )
    assert answer.total == total + 20_600


@pytest.mark.parametrize(("currency", "desk"), [("JPY", 35_100), ("KWD", 35_100)])
def test_catalogues_of_other_currencies(currency: str, desk: int) -> None:
    """351.00 EUR at 1 to 1 is 351 JPY or 351.000 KWD."""
    catalogue = shop(Offer("desk", "north", desk), sellers=(Seller("north", "EUR"),))
    answer = rig(replace(catalogue, currency=currency), exchange={"EUR": Decimal(1)})
    assert order(answer, "north").total == {"JPY": 351, "KWD": 351_000}[currency]


def test_a_rate_is_asked_for_only_if_an_offer_could_be_used() -> None:
    sellers = (NORTH, Seller("far", "EUR"))
    catalogue = shop(Offer("desk", "north", 1), Offer("desk", "far", 1), sellers=sellers)
    with pytest.raises(NoRateError) as caught:
        solve(catalogue, Needs(mic=8))
    assert "--exchange EUR=RATE" in str(caught.value)
    assert "one GBP buys" in str(caught.value)
    used = shop(
        Offer("desk", "north", 1), Offer("desk", "far", 1, condition="used"), sellers=sellers
    )
    assert rig(used, mic=8, new_only=True).total == 1
    assert rig(used, mic=8, owned={"desk": 1}, owned_only=True).total == 0


@pytest.mark.parametrize(
    ("condition", "is_bought"), [("", True), ("New", True), ("used", False), ("b-stock", False)]
)
def test_new_only(condition: str, is_bought: bool) -> None:
    catalogue = shop(
        Offer("desk", "north", 10_000, condition=condition), Offer("desk", "south", 30_000)
    )
    line = rig(catalogue, new_only=True).purchases[0]
    assert (line.seller == "north") is is_bought
    assert rig(catalogue).purchases[0].note == condition


def test_no_more_sellers_than_allowed() -> None:
    """Plain prices do not count: the cable is bought at one whatever the limit."""
    offers = (
        Offer("desk", "north", 30_000),
        Offer("pre", "south", 20_000),
        Offer("pre", "north", 25_000),
    )
    assert rig(shop(*offers)).total == 50_600
    assert rig(shop(*offers), sellers=2).total == 50_600
    assert rig(shop(*offers), sellers=1).total == 55_600
    assert isinstance(found(shop(*offers), sellers=0), Impossible)
    assert rig(shop(*offers), sellers=0, owned={"desk": 1, "pre": 1}).total == 600


def test_of_equal_baskets_the_one_with_fewer_orders() -> None:
    offers = (
        Offer("desk", "south", 30_000),
        Offer("pre", "north", 20_000),
        Offer("pre", "south", 20_000),
    )
    assert [one.seller for one in rig(shop(*offers)).orders] == ["south"]


def test_of_equal_orders_the_first_seller_by_name() -> None:
    offers = (Offer("pre", "south", 20_000), Offer("pre", "north", 20_000))
    assert ("pre", "north", 1) in bought(rig(shop(*offers)))
    limited = (Offer("pre", "south", 20_000), Offer("pre", "north", 20_000, stock=2))
    answer = rig(shop(*limited), mic=32)
    assert ("pre", "south", 3) in bought(answer)  # one order rather than two


def test_avoided_things_are_not_bought_from_anybody() -> None:
    assert isinstance(found(shop(Offer("desk", "north", 1)), avoid=("desk",)), Impossible)


def test_the_budget_is_for_everything_that_is_paid() -> None:
    seller = replace(NORTH, delivery=400, tax_percent=Decimal(20))
    catalogue = shop(Offer("desk", "north", 30_000), sellers=(seller,))
    total = 36_480 + 20_600
    assert rig(catalogue, budget=total).total == total
    assert isinstance(found(catalogue, budget=total - 1), Impossible)


def test_as_of_goes_with_the_purchase() -> None:

    old, new = datetime.date(2025, 1, 2), datetime.date(2025, 3, 4)
    offers = (
        Offer("desk", "north", 30_000, stock=1, as_of=new),
        Offer("desk", "north", 30_000, stock=1, as_of=old),
    )
    assert rig(shop(*offers)).purchases[0].as_of == old


def test_a_seller_without_fees_is_like_the_plain_price() -> None:
    """The same answer as without the two files, but for the name."""
    offers = [Offer("desk", "north", 30_000), Offer("pre", "north", 20_000)]
    offers += (Offer("opt", "north", 600), Offer("coax", "north", 300))
    plain = rig(shop(), mic=32)
    named = rig(shop(*offers), mic=32)
    assert tuple(replace(p, seller=None) for p in named.purchases) == plain.purchases
    assert (named.total, named.inputs) == (plain.total, plain.inputs)
    assert [link.end for link in named.links] == [link.end for link in plain.links]


def test_a_device_in_a_pack_of_two() -> None:
    offers = (Offer("pre", "north", 36_000, pack=2), Offer("pre", "south", 20_000))
    assert ("pre", "south", 1) in bought(rig(shop(*offers)))
    assert bought(rig(shop(*offers), mic=32))[1:3] == [("pre", "north", 1), ("pre", "south", 1)]
    assert ("pre", "north", 1) in bought(rig(shop(*offers), mic=24))


def test_an_extra_may_have_offers() -> None:
    stand = Extra("stand", "stand", "mic", 900)
    catalogue = shop(Offer("stand", "north", 700, pack=10), extras=(stand,))
    assert ("stand", "north", 2) in bought(rig(catalogue))


def test_prices_of_devices_that_are_not_for_sale_are_blank() -> None:
    problem = state(shop(Offer("desk", "north", 30_000)), Needs(mic=8, owned_only=True))
    assert problem.devices == ()
    assert problem.cables == ()
    assert DESK.id not in problem.supplies
    assert OPT.id not in problem.supplies


def test_sums_that_would_not_be_exact_are_refused() -> None:
    seller = Seller("north", "EUR", 0, None, Decimal("7.123457"))
    catalogue = shop(Offer("desk", "north", 10**11), sellers=(seller,))
    with pytest.raises(TooLargeError, match="fewer digits"):
        solve(catalogue, Needs(mic=8, exchange={"EUR": Decimal("1.123456789")}))


def test_rates_and_taxes_of_many_digits_are_exact() -> None:
    """300.00 EUR with 7.123457 % at 1.1234567 are 286.05497 pounds."""
    seller = Seller("north", "EUR", 0, None, Decimal("7.123457"))
    catalogue = shop(Offer("desk", "north", 30_000), sellers=(seller,))
    answer = rig(catalogue, mic=8, exchange={"EUR": Decimal("1.1234567")})
    assert answer.total == 28_605


def test_a_search_cut_short_buys_nothing_that_helps_nobody() -> None:
    catalogue = shop(Offer("opt", "north", 600, stock=5), Offer("desk", "north", 30_000))
    problem = state(catalogue, Needs(mic=8))
    units = rig(catalogue, mic=8).units
    packs = {"desk": (2,), "opt": (3,), "pre": (1,)}
    kept = purchases(problem, packs, units, (), ())
    assert [(line.item, line.quantity) for line in kept] == [("desk", 1)]


@pytest.mark.parametrize(("price", "device"), [(19_999, "pre"), (20_001, "twin")])
def test_a_type_that_looks_dearer_may_be_the_cheaper_one(price: int, device: str) -> None:
    """Its seller's 5.00 of delivery are paid anyway, for the interface."""
    twin = replace(PRE, id="twin", price=None)
    offers = (
        Offer("desk", "north", 30_000),
        Offer("pre", "north", price),
        Offer("twin", "south", 20_000),
    )
    catalogue = shop(*offers, sellers=(replace(NORTH, delivery=500), SOUTH))
    catalogue = replace(catalogue, devices={**catalogue.devices, "twin": twin})
    assert device in [unit.device.id for unit in rig(catalogue).units]


def test_a_type_that_is_always_dearer_is_not_looked_at() -> None:
    """South may be a new order, for 5.00 more; neither rounds, so a penny beyond is enough."""
    twin = replace(PRE, id="twin", price=None)
    for price, kept in ((20_500, {"pre", "twin"}), (20_501, {"twin"})):
        offers = (Offer("pre", "north", price), Offer("twin", "south", 20_000))
        sellers = (NORTH, replace(SOUTH, delivery=500))
        catalogue = shop(*offers, sellers=sellers)
        catalogue = replace(catalogue, devices={**catalogue.devices, "twin": twin})
        found = columns(state(catalogue, Needs(mic=16)))
        assert {column.device.id for column in found.satellites} == kept


def test_a_plain_price_rules_out_no_offer_by_its_bare_number() -> None:
    """199.00 GBP at a plain price; 300.00 EUR are 150.00 GBP, and delivery is 50.00 more, which
    two of them save."""
    other = replace(PRE, id="other", price=None)
    seller = Seller("north", "EUR", delivery=10_000, free_over=50_000)
    both = shop(
        Offer("other", "north", 30_000),
        sellers=(seller,),
        devices={"desk": DESK, "pre": replace(PRE, price=19_900), "other": other},
    )
    one, two = (rig(both, mic=mic, exchange={"EUR": Decimal(2)}) for mic in (16, 24))
    assert one.total == 30_000 + 19_900 + 600
    assert two.total == 30_000 + 2 * 15_000 + 3 * 600
