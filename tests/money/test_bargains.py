"""When one way to buy always beats another: tried in orders of every kind."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rigopt.catalogue.types import Catalogue, Offer, Seller
from rigopt.needs.types import Needs
from rigopt.optimiser.problem.bargains import always_cheaper, beats, cost, unbeaten
from rigopt.optimiser.problem.supplies import OrderTerms, Supply, is_new, order_terms
from rigopt.rig.orders import delivery, half_up, landed, orders
from rigopt.rig.types import Purchase

EXCHANGE = {"EUR": Decimal("1.17")}


def paid(seller: Seller, goods: int | None) -> int:
    if goods is None:
        return 0
    return half_up((goods + delivery(seller, goods)) * landed(seller, "GBP", EXCHANGE))


def sellers(name: str) -> Any:
    return st.builds(
        Seller,
        st.just(name),
        st.sampled_from(("GBP", "EUR")),
        st.integers(0, 60),
        st.none() | st.integers(0, 200),
        st.sampled_from((Decimal(0), Decimal(20), Decimal("7.7"))),
    )


@settings(max_examples=400, derandomize=True, deadline=None)
@given(
    north=sellers("north"),
    south=sellers("south"),
    dear=st.integers(1, 200),
    cheap=st.integers(0, 200),
    same=st.booleans(),
    rest=st.lists(st.none() | st.integers(0, 300), min_size=2, max_size=2),
)
def test_what_beats_another_is_cheaper_in_every_order(  # noqa: PLR0917
    north: Seller, south: Seller, dear: int, cheap: int, same: bool, rest: list[int | None]
) -> None:
    """`rest`: other goods in the two orders; None if there are none."""
    catalogue = Catalogue("", "", "GBP", {}, {}, sellers={"north": north, "south": south})
    one = Supply("x", dear, seller="north")
    other = Supply("x", cheap, seller="north" if same else "south")
    open_at = order_terms({"x": (one, other)}, catalogue, Needs(exchange=EXCHANGE))
    if not beats(other, one, open_at, capped=False):
        return
    here, there = rest
    before = paid(north, (here or 0) + dear) + paid(south, there)
    if same:
        after = paid(north, (here or 0) + cheap) + paid(south, there)
    else:
        after = paid(north, here) + paid(south, (there or 0) + cheap)
    assert after < before


OPEN = {
    "plain": OrderTerms(),
    "fee": OrderTerms(Fraction(1), 10),
    "limit": OrderTerms(Fraction(1), 10, 100),
    "tax": OrderTerms(Fraction(6, 5)),
    "euro": OrderTerms(Fraction(100, 117)),
}


@pytest.mark.parametrize(
    ("cheap", "dear", "expected"),
    [
        (("plain", 9), ("plain", 10), True),
        (("plain", 10), ("plain", 10), False),
        (("limit", 89), ("limit", 100), True),  # the fee may come back
        (("limit", 90), ("limit", 100), False),
        (("fee", 89), ("plain", 100), True),  # it may be a new order
        (("fee", 90), ("plain", 100), False),
        (("limit", 100), ("plain", 101), True),  # delivered free all by itself
        (("plain", 89), ("limit", 100), True),  # the rest may fall below the limit
        (("plain", 90), ("limit", 100), False),
        (("plain", 119), ("tax", 100), True),  # one of them rounds: 1 is enough
        (("plain", 120), ("tax", 100), False),
        (("tax", 100), ("euro", 142), False),  # both round: 120 and 121.37
        (("tax", 100), ("euro", 143), True),  # 120 and 122.22
    ],
)
def test_by_how_much(cheap: Any, dear: Any, expected: bool) -> None:
    one, other = (Supply("x", price, seller=name) for name, price in (cheap, dear))
    assert beats(one, other, OPEN, capped=False) is expected


def test_what_is_limited_beats_nothing() -> None:
    dear = Supply("x", 100, seller="plain")
    assert not beats(Supply("x", 1, seller="plain", stock=9), dear, OPEN, capped=False)


def test_under_a_limit_of_sellers_only_the_same_and_the_plain_price_count() -> None:
    dear = Supply("x", 100, seller="plain")
    assert not beats(Supply("x", 1, seller="tax"), dear, OPEN, capped=True)
    assert beats(Supply("x", 1, seller="plain"), dear, OPEN, capped=True)
    assert beats(Supply("x", 1), dear, OPEN, capped=True)


def test_packs() -> None:
    single, double = Supply("x", 100, seller="plain"), Supply("x", 90, 2, seller="tax")
    assert unbeaten((single,), OPEN, False) == (single,)
    cheap = Supply("x", 50, 2, seller="plain")
    assert unbeaten((single, cheap), OPEN, False) == (cheap,)
    assert unbeaten((Supply("x", 50, seller="plain"), double), OPEN, False)[1] == double
    assert not always_cheaper((cheap,), (single,), OPEN, False)
    assert not always_cheaper((single,), (Supply("y", 900, 2, seller="tax"),), OPEN, False)
    assert cost((double,), OPEN) == Fraction(54)
    assert cost((), OPEN) == 0
    assert cost((Supply("x", 7),), OPEN) == 7


def test_words_for_new() -> None:
    assert [is_new(word) for word in ("", "new", "NEW", "as new", "used")] == [
        True,
        True,
        True,
        False,
        False,
    ]


def test_packs_beyond_need_are_for_less_than_the_fee() -> None:
    shop = OrderTerms(Fraction(1), 10, 100)
    assert [shop.surplus(price) for price in (0, 1, 3, 9, 10)] == [0, 9, 3, 1, 0]
    assert OrderTerms(Fraction(1), 10).surplus(3) == 0


def test_an_order_is_one_invoice() -> None:
    """100.01 and 50.00 with 7.7 % are 161.56077 pounds; tax alone is 11.55077."""
    seller = Seller("north", "GBP", 0, None, Decimal("7.7"))
    catalogue = Catalogue("", "", "GBP", {}, {}, sellers={"north": seller})
    lines = (
        Purchase("a", "", "device", 1, 10_001, seller="north"),
        Purchase("b", "", "cable", 2, 2_500, seller="north"),
        Purchase("c", "", "cable", 9, 9),
    )
    (only,) = orders(lines, catalogue, {})
    assert (only.goods, only.delivery, only.tax, only.total) == (15_001, 0, 1_155, 16_156)
    assert Offer("a", "north", 1).pack == 1
