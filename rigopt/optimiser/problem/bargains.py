"""When one way to buy is always cheaper than another, whatever else is in the orders.

Let an order's exact sum be r x (G + d), with goods G, fee d and rate r, and what is paid
that sum rounded. Take a pack at price p out of any order at a seller, and put a pack at
price q into any order at another, or into none so far:

- taking out saves at least r x p, less r x fee if there is a `free_over`, below which the
  goods may fall;
- putting in costs at most r x (q + fee), since the order may be a new one, or r x q if q
  alone reaches `free_over`;
- rounding adds less than 1 at each seller whose sums are not whole numbers. So if the
  difference of the two is at least 1, and at least 2 where both sellers round, the second
  basket costs less by at least one minor unit.

At one and the same seller only the goods change, by p - q, and the fee may come back: with
r x (p - q), less r x fee if there is a `free_over`, of at least 1 the rounded sum falls.

So if each way to buy A, of a pack of one, is beaten in this sense by some way to buy B, of
a pack of one and an endless stock, every rig with a unit of A can be had for less with B in
its place: B is as good as A, and bought instead of it. A limit on the number of sellers may
forbid a new order; under one, only the plain price and the same seller count.

Where prices are ranges, p is the lower end of the one that is taken out, and q the upper end
of the other, so that it holds whatever they are.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from rigopt.optimiser.problem.supplies import UNNAMED, OrderTerms, Supply

TermsBySeller = Mapping[str, OrderTerms]


def terms_of(supply: Supply, order_terms: TermsBySeller) -> OrderTerms:
    """Where it is bought."""
    return UNNAMED if supply.seller is None else order_terms[supply.seller]


def upper(supply: Supply, order_terms: TermsBySeller) -> Fraction:
    """What a pack put into any order adds at most, rounding aside; catalogue's minor unit."""
    seller = terms_of(supply, order_terms)
    return seller.rate * _added(supply, seller)


def _added(supply: Supply, seller: OrderTerms) -> int:
    """The same in the seller's minor unit."""
    free = seller.free_over is not None and supply.price >= seller.free_over
    return supply.price + (0 if free else seller.fee)


def _saved(supply: Supply, seller: OrderTerms) -> int:
    """What a pack taken out of any order saves at least, rounding aside; seller's unit."""
    return supply.low - (0 if seller.free_over is None else seller.fee)


def beats(cheap: Supply, dear: Supply, order_terms: TermsBySeller, capped: bool) -> bool:
    """Whether a pack bought by `cheap` in place of one by `dear` always costs less.

    `capped`: the number of sellers is limited.
    """
    if cheap.stock is not None:
        return False
    one, other = terms_of(cheap, order_terms), terms_of(dear, order_terms)
    if cheap.seller == dear.seller:
        kept = 0 if one.free_over is None else one.fee
        return one.rate * (dear.low - cheap.price - kept) >= 1
    if capped and cheap.seller is not None:
        return False
    rounded = (not one.exact) + (not other.exact)
    # Whole numbers, which are many times as quick as fractions: this is asked often.
    up, down = one.rate.as_integer_ratio()
    others_up, others_down = other.rate.as_integer_ratio()
    saved, added = _saved(dear, other) * others_up * down, _added(cheap, one) * up * others_down
    return saved - added >= max(1, rounded) * down * others_down


def unbeaten(
    ways: tuple[Supply, ...], order_terms: TermsBySeller, capped: bool
) -> tuple[Supply, ...]:
    """Those of the ways to buy one item that no other, of as large a pack, always beats."""
    endless = [way for way in ways if way.stock is None]
    return tuple(
        way
        for way in ways
        if not any(o.pack >= way.pack and beats(o, way, order_terms, capped) for o in endless)
    )


def always_cheaper(
    cheap: tuple[Supply, ...],
    dear: tuple[Supply, ...],
    order_terms: TermsBySeller,
    capped: bool,
) -> bool:
    """Whether a unit bought in one of the ways `cheap` always costs less than by `dear`."""
    single = [way for way in cheap if way.pack == 1]
    return all(
        way.pack == 1 and any(beats(other, way, order_terms, capped) for other in single)
        for way in dear
    )


def known_dearer(cheap: tuple[Supply, ...], dear: tuple[Supply, ...], by: int = 0) -> bool:
    """Whether, at plain prices, a unit of `dear` costs at least `by` more in any case."""
    most = min((way.price for way in cheap), default=0)
    return min((way.low for way in dear), default=0) - most >= by


def cost(ways: tuple[Supply, ...], order_terms: TermsBySeller) -> Fraction | int:
    """What one piece of an item adds at most, bought in the cheapest way; 0 if in none.

    A plain price is itself, which is quicker to compare than a fraction.
    """
    if not ways:
        return 0
    if len(ways) == 1 and ways[0].seller is None and ways[0].pack == 1:
        return ways[0].price
    return min(upper(way, order_terms) / way.pack for way in ways)
