"""What is bought where, what is paid there, and what is bought beyond need."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Sequence
from typing import Final, NamedTuple

from rigopt.rig.counts import ItemCounts
from rigopt.rig.types import Order, Purchase, Rig

OLD_DAYS: Final = 60
"""Offers change; so many days are a guess that serves (no source)."""


class Basket(NamedTuple):
    """What is bought in one place: an order at a named seller, or all at plain prices.

    The lines are in `currency`.
    """

    seller: str | None
    lines: tuple[Purchase, ...]
    currency: str
    order: Order | None

    @property
    def paid(self) -> int:
        """What is paid there, in the minor unit of `currency`."""
        if self.order is not None:
            return paid(self.order)
        return sum(line.total for line in self.lines)

    @property
    def paid_from(self) -> int:
        """The same where each price that is a range is at its lower end."""
        return self.paid - sum(line.total - line.total_from for line in self.lines)


def baskets(rig: Rig, currency: str) -> tuple[Basket, ...]:
    """What is bought at plain prices, in `currency`, if anything is; then the orders."""
    orders = {order.seller: order for order in rig.orders}
    found = []
    for seller in sorted({line.seller for line in rig.purchases}, key=lambda name: name or ""):
        lines = tuple(line for line in rig.purchases if line.seller == seller)
        order = orders.get(seller or "")
        found.append(Basket(seller, lines, paid_in(lines[0], rig.orders, currency), order))
    return tuple(found)


def paid_in(line: Purchase, orders: Iterable[Order], currency: str) -> str:
    """The currency of a purchase: its seller's, or `currency` at a plain price."""
    return next((order.currency for order in orders if order.seller == line.seller), currency)


def paid(order: Order) -> int:
    """What a seller is paid, in the minor unit of its currency."""
    return order.goods + order.delivery + order.tax


def old(line: Purchase, today: datetime.date) -> bool:
    """Whether its price was seen so long ago that it is to be asked again."""
    return line.as_of is not None and (today - line.as_of).days > OLD_DAYS


def beyond_need(one: ItemCounts, purchases: Sequence[Purchase]) -> int:
    """Pieces in whole packs beyond need: these are bought for what they save elsewhere."""
    pieces = 0
    lines = [line for line in purchases if line.item == one.item]
    for line in sorted(lines, key=lambda line: -line.pack):
        pieces += min(line.quantity, (one.left_over - pieces) // line.pack) * line.pack
    return pieces
