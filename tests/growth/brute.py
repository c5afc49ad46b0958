"""The cheapest growth by plain enumeration: no solver, no model, no shared code of growth.

For each stage, every least set of pieces from which some rig can be made with nothing for
sale: that is asked of `oracle.brute` for one set after the other. More pieces never make a
rig impossible. Then, for each choice of such a set for every one of two stages, every way
to buy what is missing, at the first stage or the second, packs that only save a fee
included, and every way to sell what is owned: that is money back at a plain price. Every
seller is paid as `money.brute` writes the invoice.
"""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Container, Iterator, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from functools import cache
from typing import Any

from rigopt.catalogue.types import Catalogue, Device, Offer
from rigopt.needs.types import Needs, Stage
from tests.money.brute import Bag, Market, merged
from tests.oracle.brute import brute_best

Pieces = tuple[tuple[str, int], ...]
"""How many of each item, without zeros, in the order of ids."""

PLENTY = 5
"""More links of one sort than any rig of these tests needs."""


def least_outlay(catalogue: Catalogue, stages: Sequence[Stage]) -> tuple[int, int] | None:
    """The least money for two stages, and of that the least at the first; None: no way."""
    shops = [Market(catalogue, stage.needs) for stage in stages]
    resold = {item for stage in stages for item in stage.needs.resale}
    wanted = [least_pieces(catalogue, stage.needs, resold) for stage in stages]
    ways = _Ways(catalogue, stages, shops)
    best: tuple[int, int] | None = None
    for first, second in itertools.product(*wanted):
        for one, other in ways.baskets(first, second):
            paid = [shop.paid(bag) for shop, bag in zip(shops, (one, other), strict=True)]
            if _allowed(paid, stages):
                sums = [money for money in paid if money is not None]
                found = (sum(sums), sums[0])
                best = found if best is None else min(best, found)
    return best


def _allowed(paid: Sequence[int | None], stages: Sequence[Stage]) -> bool:
    return all(
        money is not None and (stage.needs.budget is None or money <= stage.needs.budget)
        for money, stage in zip(paid, stages, strict=True)
    )


# --- what a stage needs ----------------------------------------------------------


def least_pieces(catalogue: Catalogue, needs: Needs, resold: Container[str]) -> set[Pieces]:
    """The least sets of pieces that a rig needs, beside what is owned and never sold."""
    found: set[Pieces] = set()
    for devices in _multisets(sorted(catalogue.devices), needs.units or 0):
        for limits, extras in _counted(catalogue, needs):
            for cables in _cables(catalogue, replace(needs, **limits), devices):
                pieces = Counter({**dict(devices), **dict(cables), **extras})
                free = {i: n for i, n in needs.owned.items() if i not in resold}
                pieces.subtract({i: n for i, n in free.items() if i in pieces})
                found.add(tuple(sorted((i, n) for i, n in pieces.items() if n > 0)))
    return {one for one in found if not any(_less(other, one) for other in found)}


def _less(one: Pieces, other: Pieces) -> bool:
    """Whether the first is part of the second and not the same."""
    return one != other and all(dict(other).get(item, 0) >= n for item, n in one)


def _multisets(items: Sequence[str], most: int) -> Iterator[Pieces]:
    for size in range(1, most + 1):
        for chosen in itertools.combinations_with_replacement(items, size):
            yield tuple(sorted(Counter(chosen).items()))


def _counted(
    catalogue: Catalogue, needs: Needs
) -> Iterator[tuple[dict[str, Any], dict[str, int]]]:
    """Limits to a rig, and the pieces of extras that are enough for any rig within them."""
    fixed = {"mic": needs.mic, "source": needs.inputs, "rig": 1}
    limits = {"unit": "units", "rack_unit": "rack_units", "mains": "mains"}
    sold = [e for e in catalogue.extras.values() if Market(catalogue, needs).offers(e.id)]
    always = {e.id: fixed[e.per] * e.each for e in sold if e.per in fixed}
    free = [e for e in sold if e.per not in fixed]
    assert len({e.per for e in free}) == len(free), "one extra for each thing that is counted"
    spans = []
    for extra in free:
        limit = getattr(needs, limits[extra.per])
        most = max(map(_weight(extra.per), catalogue.devices.values())) * (needs.units or 0)
        spans.append(range((most if limit is None else min(limit, most)) + 1))
    for counts in itertools.product(*spans):
        said = zip(free, counts, strict=True)
        yield (
            {limits[extra.per]: n for extra, n in zip(free, counts, strict=True)},
            {**always, **{extra.id: extra.each * n for extra, n in said}},
        )


def _weight(per: str) -> Any:
    return lambda device: {"unit": 1, "rack_unit": device.rack_units}.get(per, device.mains)


def _cables(catalogue: Catalogue, needs: Needs, devices: Pieces) -> Iterator[Pieces]:
    """The least sets of cables with which all or some of these devices make a rig."""
    ids = sorted(catalogue.cables)
    if not _works(catalogue, needs, devices, dict.fromkeys(ids, PLENTY)):
        return
    found: list[tuple[int, ...]] = []
    vectors = itertools.product(range(PLENTY + 1), repeat=len(ids))
    for counts in sorted(vectors, key=sum):
        if any(all(a <= b for a, b in zip(less, counts, strict=True)) for less in found):
            continue
        cables = dict(zip(ids, counts, strict=True))
        if _works(catalogue, needs, devices, cables):
            found.append(counts)
            yield tuple((item, n) for item, n in cables.items() if n)


def _works(
    catalogue: Catalogue, needs: Needs, devices: Pieces, cables: Mapping[str, int]
) -> bool:
    """Whether there is a rig from these pieces with nothing for sale."""
    there = dict(devices)
    kept = {i: replace(d, price=None) for i, d in catalogue.devices.items() if i in there}
    if not set(needs.require) <= set(kept):
        return False
    nothing_for_sale = replace(
        catalogue,
        devices=kept,
        offers=(),
        extras={},
        cables={i: replace(c, price=None) for i, c in catalogue.cables.items()},
    )
    owned = {**there, **cables}
    return brute_best(nothing_for_sale, replace(needs, owned=owned, budget=None)) is not None


# --- how it is bought ------------------------------------------------------------

Baskets = tuple[Bag, Bag]
"""Goods by seller at the first stage and at the second."""


class _Ways:
    """Every way to buy pieces at two stages."""

    def __init__(
        self, catalogue: Catalogue, stages: Sequence[Stage], shops: Sequence[Market]
    ) -> None:
        self.catalogue, self.stages, self.shops = catalogue, stages, shops
        self.item, self.sold = cache(self._item), cache(self._sold)
        self.resold = {item for stage in stages for item in stage.needs.resale}

    def baskets(self, first: Pieces, second: Pieces) -> set[Baskets]:
        """Everything together, for all items of either stage."""
        one, other = dict(first), dict(second)
        sums: set[Baskets] = {((), ())}
        for item in sorted({*one, *other, *self.resold}):
            options = self.sold(item, one.get(item, 0), other.get(item, 0))
            sums = {
                (merged(a, c), merged(b, d))
                for (a, b), (c, d) in itertools.product(sums, options)
            }
            if not self.catalogue.sellers:
                sums = _cheap(sums)
        return sums

    def _sold(self, item: str, first: int, second: int) -> frozenset[Baskets]:
        """The same, where owned pieces may be sold at either stage."""
        if item not in self.resold:
            return self.item(item, first, second)
        found: set[Baskets] = set()
        for early, late, here, there in self._sales(item, first, second):
            for one, other in self.item(item, max(0, first - here), max(0, second - there)):
                found.add((merged(one, (("", -early),)), merged(other, (("", -late),))))
        return frozenset(found)

    def _sales(self, item: str, first: int, second: int) -> Iterator[tuple[int, int, int, int]]:
        """Money back at each stage, and the owned pieces that are left at it.

        Used pieces are not sold, owned ones are used first, and idle ones are sold where they
        have a price.
        """
        owned = [stage.needs.owned.get(item, 0) for stage in self.stages]
        price = [stage.needs.resale.get(item, 0) for stage in self.stages]
        for here in range(owned[0] + 1):
            come = min(owned[1], here + max(0, owned[1] - owned[0]))
            there = min(second, come) if price[1] else come
            late = there - max(0, owned[1] - owned[0])
            if not price[0] and here < owned[0]:
                continue
            if here < min(first, owned[0]):
                continue
            if price[0] and here > max(min(first, here), late):
                continue
            yield (owned[0] - here) * price[0], (come - there) * price[1], here, there

    def _item(self, item: str, first: int, second: int) -> frozenset[Baskets]:
        """Ways to have `first` pieces at the first stage and `second` by the second."""
        offers = [(0, o) for o in self.shops[0].offers(item)]
        offers += [(1, o) for o in self.shops[1].offers(item)]
        spans = [range(self._most(offer, max(first, second)) + 1) for _, offer in offers]
        return frozenset(
            self._goods(offers, packs)
            for packs in itertools.product(*spans)
            if self._enough(offers, packs, first, second)
            and not self._idle(offers, packs, first, second)
        )

    def _most(self, offer: Offer, pieces: int) -> int:
        beyond = 0
        if offer.seller and offer.price:
            seller = self.catalogue.sellers[offer.seller]
            beyond = seller.delivery // offer.price if seller.free_over else 0
        packs = -(-pieces // offer.pack) + min(beyond, 2)
        return packs if offer.stock is None else min(packs, offer.stock)

    @staticmethod
    def _enough(offers: Any, packs: Sequence[int], first: int, second: int) -> bool:
        pieces, sold = [0, 0], Counter[Offer]()
        for (stage, offer), number in zip(offers, packs, strict=True):
            pieces[stage] += number * offer.pack
            sold[offer] += number
        held = all(o.stock is None or number <= o.stock for o, number in sold.items())
        return held and pieces[0] >= first and sum(pieces) >= second

    def _idle(self, offers: Any, packs: Sequence[int], first: int, second: int) -> bool:
        """Whether a pack can go without which nothing is dearer."""
        for place, ((_, offer), number) in enumerate(zip(offers, packs, strict=True)):
            less = [n - (p == place) for p, n in enumerate(packs)]
            if number and self._enough(offers, less, first, second):
                seller = self.catalogue.sellers.get(offer.seller)
                if not (seller and seller.free_over):
                    return True
        return False

    def _goods(self, offers: Any, packs: Sequence[int]) -> Baskets:
        goods: list[dict[str, int]] = [{}, {}]
        for (stage, offer), number in zip(offers, packs, strict=True):
            if number:
                price = scaled(offer.price, self.stages[stage].price_factor)
                sums = goods[stage]
                sums[offer.seller] = sums.get(offer.seller, 0) + price * number
        return tuple(sorted(goods[0].items())), tuple(sorted(goods[1].items()))


def _cheap(sums: set[Baskets]) -> set[Baskets]:
    """At plain prices: those that are not dearer at both stages than another."""
    kept: set[Baskets] = set()
    least: int | None = None
    for one, other in sorted(
        sums, key=lambda s: (dict(s[0]).get("", 0), dict(s[1]).get("", 0))
    ):
        second = dict(other).get("", 0)
        if least is None or second < least:
            kept.add((one, other))
            least = second
    return kept


def scaled(price: int, factor: Decimal) -> int:
    """A price times a factor of at most four decimals, rounded half up."""
    return (price * int(factor * 10_000) * 2 + 10_000) // 20_000


def only(catalogue: Catalogue, devices: int, cables: int, extras: int) -> Catalogue:
    """The first of everything, so that enumeration ends."""
    kept: list[Device] = list(catalogue.devices.values())[:devices]
    sorts: dict[str, Any] = {}
    for extra in list(catalogue.extras.values())[:extras]:
        sorts.setdefault(extra.per, extra)
    return replace(
        catalogue,
        devices={device.id: device for device in kept},
        cables=dict(list(catalogue.cables.items())[:cables]),
        extras={extra.id: extra for extra in sorts.values()},
    )
