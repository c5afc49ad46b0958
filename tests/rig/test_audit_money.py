"""What the audit says of purchases, invoices and limits, and how it is put. Invented prices."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from rigopt.catalogue.types import Catalogue, Device, Extra, Offer, Seller
from rigopt.needs.types import Needs
from rigopt.output.words.findings import change, says
from rigopt.rig.audit import audit
from rigopt.rig.audit.finding import Finding, Rule
from rigopt.rig.audit.invoice import bill, invoices, without_rate
from rigopt.rig.audit.outputs import most_phones
from rigopt.rig.audit.sold import check_sales, check_sold
from rigopt.rig.audit.wiring import Wiring
from rigopt.rig.types import Purchase, Sale, Unit
from tests.rig.rig_builders import (
    DESK,
    World,
    catalogue_of,
    master,
    with_device,
    with_input,
    with_needs,
    with_purchase,
    with_rig,
    with_unit,
)


def found(world: World, rule: Rule) -> list[Finding]:
    return [o for o in audit(world.rig, world.catalogue, world.needs) if o.rule == rule]


@pytest.mark.parametrize(
    ("goods", "percent", "tax", "total"),
    [
        (1, 40, 0, 1),
        (1, 50, 1, 2),
        (1, 60, 1, 2),
        (3, 50, 2, 5),
        (5, 30, 2, 7),
        (5, 10, 1, 6),
        (200, 20, 40, 240),
    ],
)
def test_tax_and_total_are_rounded_half_up(
    goods: int, percent: int, tax: int, total: int
) -> None:
    """By hand, in pence: 1 + 0.5 is 2, 3 + 1.5 is 5, 5 + 1.5 is 7."""
    shop = catalogue_of(
        [DESK], [], sellers={"n": Seller("n", "GBP", 0, None, Decimal(percent))}
    )
    lines = [Purchase("desk-8", "", "device", 1, goods, 1, "n")]
    (invoice,) = invoices(lines, shop, Needs()).values()
    assert (invoice.tax, invoice.total) == (tax, total)


def test_what_has_no_seller_is_on_no_invoice_and_is_paid() -> None:
    sellers = {"b": Seller("b", "GBP"), "a": Seller("a", "GBP"), "c": Seller("c", "EUR")}
    shop = catalogue_of([DESK], [], sellers=sellers)
    lines = [
        Purchase("desk-8", "", "device", 2, 100, 1, seller)
        for seller in ("b", None, "a", "ghost", "c", "c")
    ]
    assert list(invoices(iter(lines), shop, Needs())) == ["a", "b"]
    assert bill(iter(lines), shop, Needs()) == 600
    assert without_rate(iter(lines), shop, Needs()) == (sellers["c"],)
    assert without_rate(lines[:1], shop, Needs()) == ()
    paid = Needs(exchange={"EUR": Decimal(2)})
    assert (bill(lines, shop, paid), without_rate(lines, shop, paid)) == (800, ())


def offered(*offers: Offer) -> Callable[[Catalogue], Catalogue]:
    seller = Seller("north", "GBP")
    return lambda shop: replace(shop, offers=offers, sellers={"north": seller})


DESKS = Offer("desk-8", "north", 29_000, stock=1)


@pytest.mark.parametrize(
    ("offers", "line", "told"),
    [
        # A plain price stands beside offers, of this thing or of another.
        ((DESKS,), {}, []),
        ((Offer("pre-8", "north", 1),), {}, []),
        ((Offer("pre-8", "north", 1),), {"seller": "north"}, ["price "]),
        ((DESKS,), {"unit_price": 29_000}, ["price "]),
        ((DESKS,), {"unit_price": 29_000, "seller": "north"}, []),
        ((DESKS,), {"unit_price": 28_000, "seller": "north"}, ["price offer"]),
        ((DESKS,), {"least": 30_001}, ["price "]),
    ],
)
def test_a_line_is_at_the_plain_price_or_an_offer(
    offers: tuple[Offer, ...], line: dict[str, Any], told: list[str], band: World
) -> None:
    world = replace(band, catalogue=offered(*offers)(band.catalogue))
    world = with_purchase(world, "desk-8", **line)
    assert [f"{one.rule} {one.case}" for one in found(world, "price")] == told


def test_what_has_offers_alone_is_bought_of_one(band: World) -> None:
    world = replace(band, catalogue=offered(DESKS)(band.catalogue))
    world = with_device(world, "host-1", price=None)
    (one,) = found(world, "price")
    assert (one.case, one.fact("seller")) == ("offer", "nobody")
    other = replace(world, catalogue=offered(Offer("pre-8", "north", 1))(world.catalogue))
    assert found(other, "price") == []
    assert len(found(other, "not-for-sale")) == 1


def test_which_seller_has_too_few_and_which_has_another_price(band: World) -> None:
    world = replace(band, catalogue=offered(DESKS)(band.catalogue))
    two = with_purchase(world, "desk-8", unit_price=29_000, seller="north", quantity=2)
    (one,) = found(two, "stock")
    assert says(one) == "2 packs of desk-8 are bought; north has 1"
    (one,) = found(with_purchase(world, "desk-8", seller="north"), "price")
    assert says(one).endswith("as north is said to do")


def test_how_much_is_over_the_budget(band: World) -> None:
    (one,) = found(with_needs(band, budget=50_000), "budget")
    assert change(one) == "spend 600 less, or raise the budget"


def test_who_has_everything_buys_nothing(band: World) -> None:
    asked = with_needs(band, owned_only=True)
    (one,) = found(asked, "owned-only")
    assert one.fact("item") == band.rig.purchases[0].item == "desk-8"
    assert found(with_rig(asked, purchases=()), "owned-only") == []


def test_an_order_that_is_stated_or_right(sold: World) -> None:
    (one,) = found(with_rig(sold, orders=sold.rig.orders[:1]), "order")
    assert says(one) == (
        "the order at south is stated as none; "
        "it is 23400 + 0 + 0 minor units of EUR, together 20000"
    )


def test_pieces_are_named(band: World) -> None:
    (one,) = found(with_rig(band, purchases=band.rig.purchases[:2]), "packs-few")
    assert (one.fact("item"), one.fact("count"), one.fact("there")) == ("opt-1m", 1, 0)
    (one,) = found(with_purchase(band, "opt-1m", quantity=3), "packs-many")
    assert (one.fact("item"), one.fact("count"), one.fact("there")) == ("opt-1m", 1, 3)


def test_48_volts_are_told_as_listed_and_as_they_are(band: World) -> None:
    (one,) = found(with_input(band, 18, phantom=False), "input-phantom")
    assert says(one) == "48 V on input 18 is listed as off; it is on"
    (one,) = found(with_input(band, 1, phantom=True), "input-phantom")
    assert says(one) == "48 V on input 1 is listed as on; it is off"


@pytest.mark.parametrize(
    ("ports", "words"), [(("thunderbolt", "network"), "thunderbolt, network"), ((), "none")]
)
def test_the_ports_of_the_computer_are_told(ports: Any, words: str, band: World) -> None:
    (one,) = found(with_needs(band, ports=ports), "port")
    assert says(one) == f"host-1 is joined by usb; the computer has {words}"


def test_an_input_that_says_no_path_is_told_the_right_one(band: World) -> None:
    box = Unit("di-1", Device("di", "", "di", 100, inst=1), "di", None)
    world = with_rig(with_input(band, 1, path=()), units=(*band.rig.units, box))
    (one,) = found(world, "input-path")
    assert one.fact("path") == "host-1"


@pytest.mark.parametrize(("lines", "phones"), [(-1, 2), (0, 2), (1, 3), (2, 6), (3, 7), (9, 7)])
def test_the_most_headphones_that_so_many_line_outputs_feed(lines: int, phones: int) -> None:
    """Two of the host; one for one line output, four for two."""
    small = Device("small", "", "headphones", 100, phones=1, line_in=1)
    large = Device("large", "", "headphones", 100, phones=4, line_in=2)
    ears = [Unit(f"ears-{one.id}", one, "headphones", None) for one in (small, large)]
    assert most_phones(Wiring((master("host-1", DESK), *ears), (), 48000), lines) == phones


def test_what_is_asked_of_line_outputs_feeds_no_headphones(band: World) -> None:
    small = Device("small", "", "headphones", 100, phones=1, line_in=1)
    world = with_rig(band, units=(*band.rig.units, Unit("ears-1", small, "headphones", None)))
    asked = with_unit(with_needs(world, out_line=3, out_phones=3), "ears-1")
    assert found(asked, "phones") == []
    assert len(found(with_needs(asked, out_line=4), "phones")) == 1
    assert len(found(with_needs(asked, out_line=5), "phones")) == 1


@pytest.mark.parametrize(("quantity", "wrong"), [(0, True), (1, False)])
def test_nothing_is_no_sale(quantity: int, wrong: bool, band: World) -> None:
    """One spare cable is owned and sold; a line of none is none."""
    label = band.catalogue.cables["opt-1m"].label
    sale = Sale("opt-1m", label, "cable", quantity, 100)
    needs = replace(band.needs, owned={"opt-1m": quantity}, resale={"opt-1m": 100})
    found = check_sales(replace(band.rig, to_sell=(sale,)), band.catalogue, needs)
    assert [one.case for one in found] == ["line"] * wrong


def test_of_two_lines_of_one_item_the_second_is_wrong(band: World) -> None:
    label = band.catalogue.cables["opt-1m"].label
    sale = Sale("opt-1m", label, "cable", 1, 100)
    needs = replace(band.needs, owned={"opt-1m": 2}, resale={"opt-1m": 100})
    rig = replace(band.rig, to_sell=(sale, sale))
    assert [one.case for one in check_sales(rig, band.catalogue, needs)] == ["line"]


@pytest.mark.parametrize("quantity", [1, 2])
def test_what_has_no_price_is_not_sold(quantity: int, band: World) -> None:
    """Neither is a piece that is in use, nor one of two that are."""
    label = band.catalogue.cables["opt-1m"].label
    rig = replace(band.rig, to_sell=(Sale("opt-1m", label, "cable", quantity, 100),))
    found = list(check_sold(rig, band.catalogue, band.needs))
    right = [(one.case, one.fact("said"), one.fact("right")) for one in found]
    assert right == [("price", 100, 0), ("number", quantity, 0)]
    used = replace(band.needs, owned={"desk-8": 1}, resale={"desk-8": 5, "opt-1m": 5})
    assert list(check_sold(band.rig, band.catalogue, used)) == []


@pytest.mark.parametrize(
    ("condition", "new_only", "missing"),
    [("", True, True), ("used", True, False), ("used", False, True)],
)
def test_an_extra_that_only_offers_sell_is_called_for_where_one_would_do(
    condition: str, new_only: bool, missing: bool, band: World
) -> None:
    shop = offered(Offer("stand", "north", 900, condition=condition))(band.catalogue)
    shop = replace(shop, extras={"stand": Extra("stand", "stand", "rig", None)})
    world = with_needs(replace(band, catalogue=shop), new_only=new_only)
    assert len(found(world, "extras-few")) == missing
