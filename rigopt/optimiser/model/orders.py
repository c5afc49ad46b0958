"""Rule: what is bought of one named seller is one order, with its fee, tax and rounding.

Variables, for each seller: used, 0/1, whether anything is ordered; free, 0/1, only where
the fee can fall away; T, what the order comes to, only where that needs rounding.
Constraints: packs <= upper x used; free <= used; goods >= free_over x free;
with x = goods + fee x (used - free) and the rate N / D: 2D x T >= 2N x - D + 1, of which
the least T is N x / D rounded half up; the number of orders <= the limit on sellers.
Cost: the sum of T, or of x times the rate where that is a whole number. Goods and fee are
in the seller's minor unit, T in the catalogue's.

Beyond need, something is bought only to reach `free_over`, and only for less than the fee.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from ortools.sat.python import cp_model

from rigopt.optimiser.model.variables import OrderVars, RigVars
from rigopt.optimiser.problem.supplies import OrderTerms, Supply
from rigopt.optimiser.solver.linear import LARGEST, Terms, TooLargeError, total


@dataclass(frozen=True, slots=True)
class Line:
    """Packs of one supply, and the most there can be of them."""

    supply: Supply
    packs: Terms
    upper: int


def surplus(rig: RigVars, supply: Supply) -> int:
    """Most packs that it can pay to buy beyond need."""
    if supply.seller is None:
        return 0
    return rig.problem.order_terms[supply.seller].surplus(supply.price)


def create(model: cp_model.CpModel, rig: RigVars) -> None:
    """Create the orders of what is bought.

    Raises:
        TooLargeError: When an order could be too large to be rounded exactly.
    """
    lines: dict[str, list[Line]] = {}
    for item, bought in rig.packs.items():
        rig.beat()
        for packs, supply in zip(bought, rig.problem.ways(item), strict=True):
            if packs and supply.seller is not None:
                line = Line(supply, packs, _upper(rig, packs))
                lines.setdefault(supply.seller, []).append(line)
    for name, seller in rig.problem.order_terms.items():
        if name in lines:
            rig.beat()
            rig.orders[name] = _order(model, seller, lines[name])


def _upper(rig: RigVars, packs: Terms) -> int:
    """Each unit is bought, or there is one variable."""
    if len(packs) == 1:
        return int(max(packs[0][0].proto.domain))
    return rig.problem.max_units


def _order(model: cp_model.CpModel, seller: OrderTerms, lines: list[Line]) -> OrderVars:
    used = model.new_bool_var("ordered")
    for line in lines:
        model.add(total(line.packs) <= line.upper * used)
    goods = [(var, n * line.supply.price) for line in lines for var, n in line.packs]
    largest = sum(line.upper * line.supply.price for line in lines)
    sums: Terms = [*goods, (used, seller.fee)]
    if seller.free_over is not None and largest >= seller.free_over:
        free = model.new_bool_var("delivered free")
        model.add(free <= used)
        model.add(total(goods) >= seller.free_over * free)
        sums.append((free, -seller.fee))
    return OrderVars(used, _cost(model, seller, sums, largest + seller.fee))


def _cost(model: cp_model.CpModel, seller: OrderTerms, sums: Terms, largest: int) -> Terms:
    up, down = seller.rate.numerator, seller.rate.denominator
    upper = math.ceil(largest * seller.rate)
    if 4 * (largest + 1) * up > LARGEST or 4 * upper * down > LARGEST:
        raise TooLargeError
    if seller.exact:
        return [(var, factor * up) for var, factor in sums if factor]
    paid = model.new_int_var(0, upper, "paid")
    model.add(2 * down * paid >= 2 * up * total(sums) - down + 1)
    return [(paid, 1)]


def add(model: cp_model.CpModel, rig: RigVars) -> None:
    """Add the rule to `model`."""
    if rig.problem.needs.sellers is not None:
        model.add(total(rig.ordered()) <= rig.problem.needs.sellers)
