"""Rule: what is bought from a named seller is one order, with its delivery fee and tax.

Variables, for each seller: placed, 0/1; charged, 0/1, the fee is paid; free, 0/1, the goods
reach the limit; paid, a count of the catalogue's minor unit.
Constraints: packs > 0 only if placed; charged >= placed - free; goods >= limit x free;
paid >= rate x (goods + fee x charged), rounded half up. As money is made small, paid is
just that.
Cost: money is what is bought at plain prices, and paid.
"""

from __future__ import annotations

from collections.abc import Iterable

from rigopt.facts import KINDS
from rigopt.optimiser.problem.supplies import OrderTerms, Supply
from rigopt.optimiser.questions.repair.case import Case
from rigopt.optimiser.questions.repair.variables import Rewire
from rigopt.optimiser.solver.linear import Terms, Var, total

LARGEST = 2**60
"""Sums in the model stay below this."""


def add(rewire: Rewire) -> None:
    """Add the rule and its variables."""
    lines = bought(rewire)
    for seller in sorted({way.seller for _, way in lines if way.seller is not None}):
        _order(rewire, seller, [(var, way) for var, way in lines if way.seller == seller])


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


def most_packs(case: Case, way: Supply) -> int:
    """Packs that could be of use: one piece for each input, or what there is in stock."""
    inputs = sum(case.live(unit, kind, "in") for unit in case.units for kind in KINDS)
    packs = -(-inputs // way.pack)
    return packs if way.stock is None else min(packs, way.stock)


def too_large(case: Case) -> bool:
    """Whether prices are so large that the sums of the model would not be exact."""
    ways = [way for kind in KINDS for c in case.shelf(kind) for way in case.problem.ways(c.id)]
    return any(
        _twice(case, shop, [way for way in ways if way.seller == seller]) > LARGEST
        for seller, shop in case.problem.order_terms.items()
    )


def _twice(case: Case, shop: OrderTerms, ways: Iterable[Supply]) -> int:
    """Twice what an order can come to, in parts of the catalogue's minor unit."""
    goods = sum(most_packs(case, way) * way.price for way in ways) + shop.fee
    return 2 * shop.rate.numerator * goods + 2 * shop.rate.denominator


def _order(rewire: Rewire, seller: str, lines: list[tuple[Var, Supply]]) -> None:
    model, shop = rewire.model, rewire.case.problem.order_terms[seller]
    placed, charged = rewire.flag("placed", seller), rewire.flag("charged", seller)
    most = sum(most_packs(rewire.case, way) for _, way in lines)
    model.add(total([(var, 1) for var, _ in lines]) <= most * placed)
    goods: Terms = [(var, way.price) for var, way in lines]
    if shop.free_over is None:
        model.add(charged >= placed)
    else:
        free = rewire.flag("free", seller)
        model.add(charged >= placed - free)
        model.add(total(goods) >= shop.free_over * free)
    up, down = shop.rate.numerator, shop.rate.denominator
    twice = [(var, 2 * up * price) for var, price in [*goods, (charged, shop.fee)]]
    limit = _twice(rewire.case, shop, [way for _, way in lines]) // (2 * down) + 1
    paid = rewire.paid[seller] = rewire.count(limit, "paid", seller)
    # Half up is the whole number n with n - 1/2 <= x < n + 1/2.
    model.add(2 * down * paid >= total(twice) - down + 1)
