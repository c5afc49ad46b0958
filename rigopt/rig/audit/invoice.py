"""What a seller's invoice comes to, written anew from the words of the rule.

Fractions of whole units of money, from the goods to the last line, where the total is
rounded half up to what can be paid.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import NamedTuple

from rigopt.catalogue.types import Catalogue, Seller
from rigopt.money import decimals
from rigopt.needs.types import Needs
from rigopt.rig.types import Purchase


class Invoice(NamedTuple):
    """Goods, delivery and tax in minor units of `currency`, `total` in the catalogue's."""

    currency: str
    goods: int
    delivery: int
    tax: int
    total: int


def invoices(
    lines: Iterable[Purchase], catalogue: Catalogue, needs: Needs
) -> dict[str, Invoice]:
    """The invoice of each seller by name; none of one whose money cannot be reckoned."""
    lines = list(lines)
    unpriced = {seller.id for seller in without_rate(lines, catalogue, needs)}
    found = {}
    for name in sorted({line.seller for line in lines if line.seller is not None}):
        if name in catalogue.sellers and name not in unpriced:
            goods = [line for line in lines if line.seller == name]
            found[name] = _invoice(catalogue.sellers[name], goods, catalogue, needs)
    return found


def bill(lines: Iterable[Purchase], catalogue: Catalogue, needs: Needs) -> int:
    """Everything that is paid, in minor units of the catalogue's currency."""
    lines = list(lines)
    plain = [line.quantity * line.unit_price for line in lines if line.seller is None]
    return sum(plain) + sum(i.total for i in invoices(lines, catalogue, needs).values())


def without_rate(
    lines: Iterable[Purchase], catalogue: Catalogue, needs: Needs
) -> tuple[Seller, ...]:
    """The sellers of `lines` whose currency is another, and has no rate."""
    known_sellers = catalogue.sellers.items()
    sellers = [one for line in lines for name, one in known_sellers if name == line.seller]
    known = (catalogue.currency, *needs.exchange)
    return tuple(dict.fromkeys(one for one in sellers if one.currency not in known))


def _invoice(
    seller: Seller, lines: list[Purchase], catalogue: Catalogue, needs: Needs
) -> Invoice:
    goods = sum(line.quantity * line.unit_price for line in lines)
    fee = seller.delivery
    if seller.free_over is not None and goods >= seller.free_over:
        fee = 0
    net = _whole(goods + fee, seller.currency)
    tax = net * Fraction(seller.tax_percent) / 100
    buys = Fraction(1)
    if seller.currency != catalogue.currency:
        buys = Fraction(needs.exchange[seller.currency])
    total = (net + tax) / buys
    return Invoice(
        seller.currency,
        goods,
        fee,
        _minor(tax, seller.currency),
        _minor(total, catalogue.currency),
    )


def _whole(minor: int, currency: str) -> Fraction:
    return Fraction(minor, 10 ** decimals(currency))


def _minor(amount: Fraction, currency: str) -> int:
    """Half up: a fraction of exactly one half goes to the next whole number."""
    whole, rest = divmod(amount * 10 ** decimals(currency), 1)
    return int(whole) + int(rest >= Fraction(1, 2))
