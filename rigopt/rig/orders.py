"""What is paid: one order at each named seller, as its invoice has it.

An order holds goods, in the minor unit of the seller's currency. Delivery is the seller's
fee, or nothing once the goods, before tax, reach `free_over`. The order's total is

    (goods + delivery) x (1 + tax / 100) / exchange rate

in the catalogue's currency, exact, and rounded half up to its minor unit once, at the end.
The rate says how much of the seller's currency one unit of the catalogue's buys. Things
that are bought at the plain price of the catalogue are in no order: no fee, no tax.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from decimal import Decimal
from fractions import Fraction

from rigopt.catalogue.types import Catalogue, Seller
from rigopt.money import decimals
from rigopt.rig.types import Order, Purchase


def half_up(amount: Fraction) -> int:
    """`amount`, which is not negative, rounded half up to a whole number."""
    return math.floor(amount + Fraction(1, 2))


def landed(seller: Seller, currency: str, exchange: Mapping[str, Decimal]) -> Fraction:
    """Minor units of `currency` that one minor unit of the seller's costs with tax.

    Raises:
        KeyError: When the seller's currency is another, and there is no rate for it.
    """
    rate = Fraction(1) if seller.currency == currency else Fraction(exchange[seller.currency])
    digits = decimals(currency) - decimals(seller.currency)
    return (1 + Fraction(seller.tax_percent) / 100) * Fraction(10) ** digits / rate


def delivery(seller: Seller, goods: int) -> int:
    """The fee of an order of `goods`, both in minor units of the seller's currency."""
    free = seller.free_over is not None and goods >= seller.free_over
    return 0 if free else seller.delivery


def orders(
    purchases: Iterable[Purchase], catalogue: Catalogue, exchange: Mapping[str, Decimal]
) -> tuple[Order, ...]:
    """One order for each named seller that something is bought from, by its name."""
    goods: dict[str, int] = {}
    for line in purchases:
        if line.seller is not None:
            goods[line.seller] = goods.get(line.seller, 0) + line.total
    return tuple(
        _order(catalogue.sellers[name], goods[name], catalogue.currency, exchange)
        for name in sorted(goods)
    )


def _order(seller: Seller, goods: int, currency: str, exchange: Mapping[str, Decimal]) -> Order:
    fee = delivery(seller, goods)
    return Order(
        seller=seller.id,
        currency=seller.currency,
        goods=goods,
        delivery=fee,
        tax=half_up((goods + fee) * Fraction(seller.tax_percent) / 100),
        total=half_up((goods + fee) * landed(seller, currency, exchange)),
    )


def paid(purchases: Iterable[Purchase], placed: Iterable[Order]) -> int:
    """All orders, and what is bought at plain prices; minor units of the catalogue's."""
    plain = sum(line.total for line in purchases if line.seller is None)
    return plain + sum(order.total for order in placed)
