"""Ways to buy: which offers may be used, and what an order at each seller comes to.

An item is bought at its plain price, as if from a seller without a name, a fee, a tax or an
end to the stock, or from one of its offers. Offers that the needs rule out are left out, and
equal ones become one. They are in a fixed order: the plain price, then by seller, price, pack,
new before not new. (The problem drops those that another offer always beats: see
`bargains`.)
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple

from rigopt.catalogue.types import Catalogue, Device, Item, Offer, Seller
from rigopt.errors import RigoptError
from rigopt.needs.types import Needs
from rigopt.rig.orders import landed

NEW = ("", "new")
"""Conditions, in any case, of an offer of something new. Every other word says it is not."""


class NoRateError(RigoptError):
    """Things could be bought in another currency, and nothing says what that is worth."""

    def __init__(self, seller: str, code: str, currency: str) -> None:
        super().__init__(seller, code, currency)
        self.seller, self.code, self.currency = seller, code, currency

    def __str__(self) -> str:
        return (
            f"'{self.seller}' sells in {self.code}, and there is no exchange rate for it. "
            f"Say how much {self.code} one {self.currency} buys: --exchange {self.code}=RATE, "
            f"or {self.code} = RATE under [exchange] in the needs"
        )


@dataclass(frozen=True, slots=True)
class Supply:
    """One way to buy an item: up to `stock` packs of `pack` pieces at `price` each.

    `price` is in the minor unit of the seller's currency, before tax; `stock` None is
    without end, `seller` None the plain price of the catalogue. Of a price that is a range,
    `price` is the upper end and `least` the lower one.
    """

    item: str
    price: int
    pack: int = 1
    seller: str | None = None
    stock: int | None = None
    condition: str = ""
    as_of: datetime.date | None = None
    least: int | None = None

    @property
    def low(self) -> int:
        """The least that a pack can cost."""
        return self.price if self.least is None else self.least

    @property
    def ranges(self) -> bool:
        """Whether its price is not known to the penny."""
        return self.low < self.price


class OrderTerms(NamedTuple):
    """What an order comes to: `rate` times goods and `fee`, in the catalogue's minor unit.

    The tax is in the rate. There is no fee once the goods reach `free_over`; None where
    there is no fee, or no way round it. Fee and limit are in the seller's minor unit.
    """

    rate: Fraction = Fraction(1)
    fee: int = 0
    free_over: int | None = None

    @property
    def exact(self) -> bool:
        """Whether orders come to whole numbers before they are rounded."""
        return self.rate.denominator == 1

    def surplus(self, price: int) -> int:
        """Most packs at `price` that it can pay to buy beyond need, to get rid of the fee."""
        return 0 if self.free_over is None or not price else (self.fee - 1) // price


UNNAMED = OrderTerms()
"""Where things are bought at the plain price of the catalogue."""


def order_terms(
    supplies: Mapping[str, tuple[Supply, ...]], catalogue: Catalogue, needs: Needs
) -> dict[str, OrderTerms]:
    """The named sellers of `supplies`, in the order of their names.

    Raises:
        NoRateError: When one of them sells in a currency without an exchange rate.
    """
    names = {s.seller for ways in supplies.values() for s in ways if s.seller is not None}
    return {name: _terms(catalogue.sellers[name], catalogue, needs) for name in sorted(names)}


def _terms(seller: Seller, catalogue: Catalogue, needs: Needs) -> OrderTerms:
    if seller.currency != catalogue.currency and seller.currency not in needs.exchange:
        raise NoRateError(seller.id, seller.currency, catalogue.currency)
    rate = landed(seller, catalogue.currency, needs.exchange)
    fee = 0 if seller.free_over == 0 else seller.delivery
    return OrderTerms(rate, fee, seller.free_over if fee else None)


def supplies(
    catalogue: Catalogue, needs: Needs, items: Iterable[Item]
) -> dict[str, tuple[Supply, ...]]:
    """The ways to buy those of `items` that can be bought, offers that are equal as one."""
    if needs.owned_only:
        return {}
    offers: dict[str, list[Offer]] = {}
    for offer in catalogue.offers:
        offers.setdefault(offer.item, []).append(offer)
    found = {}
    for item in items:
        ways = _plain(item) + _offered(offers.get(item.id, ()), needs)
        if ways and item.id not in needs.avoid:
            found[item.id] = ways
    return found


def is_new(condition: str) -> bool:
    """Whether an offer's condition is that of something new."""
    return condition.casefold() in NEW


def _plain(item: Item) -> tuple[Supply, ...]:
    pack = 1 if isinstance(item, Device) else item.pack
    if item.price is None:
        return ()
    return (Supply(item.id, item.price, pack, least=item.least),)


def _offered(offers: Iterable[Offer], needs: Needs) -> tuple[Supply, ...]:
    merged: dict[tuple[object, ...], Supply] = {}
    for offer in offers:
        if offer.stock == 0 or (needs.new_only and not is_new(offer.condition)):
            continue
        used = not is_new(offer.condition)
        key = (offer.seller, offer.price, offer.pack, used, offer.condition)
        merged[key] = _joined(merged.get(key), offer)
    return tuple(merged[key] for key in sorted(merged))


def _joined(before: Supply | None, offer: Offer) -> Supply:
    """The offer, with the stock of an equal one; of two dates the older counts."""
    stock, as_of = offer.stock, offer.as_of
    if before is not None:
        known = (before.stock, offer.stock)
        stock = None if None in known else sum(filter(None, known))
        as_of = min(filter(None, (before.as_of, offer.as_of)), default=None)
    return Supply(
        offer.item, offer.price, offer.pack, offer.seller, stock, offer.condition, as_of
    )
