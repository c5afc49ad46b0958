"""Switch and entry prices, exactly.

What a rig costs is a line in the unit price of one type: the rest, plus the number that is
bought times the price. The cheapest of many rigs is the least of many lines, which is
concave. So a price is found by a few steps from crossing to crossing, each from the rig
that is cheapest at the last one, and no step can go past the answer. The whole objective is
compared, not the money alone, and where two rigs are equal in that, the order of ids
decides, as in any plan.
"""

from __future__ import annotations

from bisect import bisect_left

from rigopt.optimiser.questions.why.market import Line, Market


def switch_price(market: Market, line: Line, units: int, price: int) -> int | None:
    """The highest price at which the cheapest rig has `units` or more of the type.

    `line` is the cheapest rig at `price`; it has `units`, and some of them are bought, so
    that it stays the cheapest of all that have so many. None if there is no such price,
    because no rig has fewer. Above the price at which the budget is reached, there is no rig.

    Raises:
        TimeUpError: When it is not known in time.
    """
    fewer, affordable = units - 1, market.affordable(line)
    other = market.cheapest(price, 0, fewer)
    if other is None:
        return affordable
    while True:
        price = market.crossing(line, other)
        if affordable is not None:
            price = min(price, affordable)
        found = market.cheapest(price, 0, fewer, limit=line.objective(price))
        if found is None:
            return price
        if found.objective(price) == line.objective(price):
            return price - market.earlier(price, 0, fewer, line, found)
        other = found


def entry_price(market: Market, line: Line) -> int | None:
    """The price below which the cheapest rig has at least one of the type; None: never.

    `line` is the cheapest rig without it.

    Raises:
        TimeUpError: When it is not known in time.
    """
    price, objective = market.near(line), line.rest
    if price is None:
        return None
    start = price
    while True:
        found = market.cheapest(price, 1, limit=objective)
        if found is None and price == start > 0:
            price = start = 0  # it was no good price to begin at
            continue
        if found is not None and found.objective(price) < objective:
            price = -((found.rest - objective) // found.bought)
            continue
        if found is not None and market.earlier(price, 1, None, line, found):
            price += 1
        return price or None


def switch_price_by_halves(market: Market, units: int) -> int | None:
    """The same as `switch_price` where no line is known; -1 if not even for nothing.

    Raises:
        TimeUpError: When it is not known in time.
    """
    other = market.cheapest(0, 0, units - 1)
    high = market.too_dear(other, units)
    if high is None:
        return None
    return bisect_left(range(high), True, key=lambda price: market.used(price) < units) - 1
