"""What is bought only to get free delivery, against every basket there is, on random shops."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal
from itertools import product
from random import Random
from typing import NamedTuple

import pytest

from rigopt.catalogue.types import Catalogue, Offer, Seller
from tests.money.shop import COAX, DESK, OPT, PRE, rig, shop
from tests.tiers import few

NEEDED = ("desk", "pre", "opt")
SMALL = replace(PRE, id="small", mic_line=0, optical_out=0)
SLOW = replace(PRE, id="slow", rates_hz=(44_100,))
SHORT = replace(COAX, id="short", length_mm=100)
LEFT_OUT = ("slow", "short")
"""What could not be used at the rate or over any run."""


class Case(NamedTuple):
    """A shop, and what it sells."""

    catalogue: Catalogue
    offers: tuple[Offer, ...]
    sellers: tuple[Seller, ...]


def case(seed: int) -> Case:
    """Two sellers whose limits are a little above what the rig costs with one of them."""
    random = Random(seed)
    prices = {"desk": 30_000, "pre": 20_000, "opt": 600}
    offers = [
        Offer(item, name, price + random.randint(-50, 50))
        for item, price in prices.items()
        for name in random.choice((("north",), ("south",), ("north", "south")))
    ]
    for filler in ("coax", "small", *LEFT_OUT):
        price, stock = random.randint(50, 700), random.choice((None, 1, 2))
        offers.append(Offer(filler, random.choice(("north", "south")), price, stock=stock))
    sellers = []
    for name in ("north", "south"):
        goods = sum(o.price for o in offers if o.seller == name and o.item in NEEDED)
        tax = Decimal(random.choice(("0", "7.7", "20")))
        limit = goods + random.randint(-100, 900)
        sellers.append(Seller(name, "GBP", random.randint(300, 1500), limit, tax))
    # Nothing has a price beside its offers.
    devices = {one.id: replace(one, price=None) for one in (DESK, PRE, SMALL, SLOW)}
    cables = {one.id: replace(one, price=None) for one in (COAX, OPT, SHORT)}
    found = shop(*offers, sellers=tuple(sellers), devices=devices, cables=cables)
    return Case(found, tuple(offers), tuple(sellers))


def least(case: Case, left_out: Iterable[str]) -> int:
    """The least money for the rig, whatever is bought beyond it but what is `left_out`."""
    offers = [offer for offer in case.offers if offer.item not in left_out]
    # More packs than these cost more than any fee, and so does a second big box.
    most = [1 if o.price > 10_000 else min(o.stock or 30, 1500 // o.price + 1) for o in offers]
    return min(
        sum(invoice(seller, offers, packs) for seller in case.sellers)
        for packs in product(*(range(number + 1) for number in most))
        if all(
            any(n for o, n in zip(offers, packs, strict=True) if o.item == item)
            for item in NEEDED
        )
    )


def invoice(seller: Seller, offers: list[Offer], packs: tuple[int, ...]) -> int:
    lines = [
        (o.price, n) for o, n in zip(offers, packs, strict=True) if n and o.seller == seller.id
    ]
    goods = sum(price * number for price, number in lines)
    fee = seller.delivery if lines and goods < (seller.free_over or 0) else 0
    taxed = (goods + fee) * (100 + seller.tax_percent)
    return int(taxed / 100 + Decimal("0.5"))


@pytest.mark.parametrize("seed", few(range(50), now=10))
def test_no_basket_is_cheaper(seed: int) -> None:
    """A filler that is of no use here counts, but not what could not be used at all."""
    made = case(seed)
    assert rig(made.catalogue).total == least(made, LEFT_OUT)


def test_the_cases_have_fillers_of_every_sort() -> None:
    """In some nothing fills an order, in some a thing of no use does, and in some what is left
    out would do it for less.
    """
    made = [case(seed) for seed in range(5)]
    true = [least(one, LEFT_OUT) for one in made]
    plain = [least(one, ("coax", "small", *LEFT_OUT)) for one in made]
    every = [least(one, ()) for one in made]
    assert any(a < b for a, b in zip(true, plain, strict=True))
    assert any(a == b for a, b in zip(true, plain, strict=True))
    assert any(a < b for a, b in zip(every, true, strict=True))
