"""Rule: what is bought from a named seller is one order, with its delivery fee and tax.

Variables, for each seller: placed, 0/1; charged, 0/1, the fee is paid; free, 0/1, the goods
reach the limit; paid, a count of the catalogue's minor unit.
Constraints: packs > 0 only if placed; charged >= placed - free; goods >= limit x free;
paid >= rate x (goods + fee x charged), rounded half up. As money is made small, paid is
just that.
Cost: money is what is bought at plain prices, and paid.
"""

from __future__ import annotations

from rigopt.optimiser.rewire.variables import Rewire
from rigopt.optimiser.supplies import Shop, Supply
from rigopt.optimiser.variables import Terms, Var, total

LARGEST = 2**60
"""Sums in the model stay below this."""


def add(rewire: Rewire) -> None:
    """Add the rule and its variables."""
    for seller, shop in rewire.case.problem.shops.items():
        lines = [(var, way) for var, way in bought(rewire) if way.seller == seller]
        if lines:
            _order(rewire, seller, shop, lines)


def bought(rewire: Rewire) -> list[tuple[Var, Supply]]:
    """Every way to buy a cable, with the packs."""
    return [
        pair
        for cable, packs in rewire.packs.items()
        for pair in zip(packs, rewire.case.problem.ways(cable), strict=True)
    ]


def spent(rewire: Rewire) -> Terms:
    """Money, in the catalogue's minor unit."""
    plain = [(var, way.price) for var, way in bought(rewire) if way.seller is None]
    return [*plain, *((var, 1) for var in rewire.paid.values())]


def too_large(rewire: Rewire) -> bool:
    """Whether prices are so large that the sums of the model would not be exact."""
    shops = rewire.case.problem.shops
    return any(
        _most(shops[seller], [(v, way) for v, way in bought(rewire) if way.seller == seller])
        > LARGEST
        for seller in shops
    )


def _most(shop: Shop, lines: list[tuple[Var, Supply]]) -> int:
    """Twice what the order can come to, in parts of the catalogue's minor unit."""
    goods = sum(_upper(var) * way.price for var, way in lines) + shop.fee
    return 2 * shop.rate.numerator * goods + 2 * shop.rate.denominator


def _upper(var: Var) -> int:
    return max(var.proto.domain)


def _order(rewire: Rewire, seller: str, shop: Shop, lines: list[tuple[Var, Supply]]) -> None:
    model = rewire.model
    placed, charged = rewire.flag("placed", seller), rewire.flag("charged", seller)
    most = sum(_upper(var) for var, _ in lines)
    model.add(total([(var, 1) for var, _ in lines]) <= most * placed)
    goods: Terms = [(var, way.price) for var, way in lines]
    if shop.free_over is None:
        model.add(charged >= placed)
    else:
        free = rewire.flag("free", seller)
        model.add(charged >= placed - free)
        model.add(total(goods) >= shop.free_over * free)
    up, down = shop.rate.numerator, shop.rate.denominator
    paid = rewire.count(_most(shop, lines) // (2 * down) + 1, "paid", seller)
    # Half up is the whole number n with n - 1/2 <= x < n + 1/2.
    twice = total(
        [*((var, 2 * up * price) for var, price in goods), (charged, 2 * up * shop.fee)]
    )
    model.add(2 * down * paid >= twice - down + 1)
    rewire.paid[seller] = paid
