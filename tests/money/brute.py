"""The cheapest rig and baskets by plain enumeration: no solver, no shared code of money.

Rigs and wirings come from `oracle.brute`. What each needs is bought in every way that there
is, packs beyond need included, and every seller is paid as its invoice says.
"""

from __future__ import annotations

import itertools
import math
from collections import Counter
from collections.abc import Iterable, Mapping
from functools import cache
from typing import Any

from rigopt.catalogue.types import Cable, Catalogue, Offer
from rigopt.money import decimals
from rigopt.needs.types import Needs
from tests.oracle.brute import Boxes, Key, Squad, Thing, castings, within_limits

CABLE_LIMIT_MM = {"optical": 10_000, "coax": 10_000, "word": 30_000}
"""The longest cable of each kind that works (common practice, no source)."""

Bag = tuple[tuple[str, int], ...]
"""Goods by seller, in its minor unit, for each seller that anything is bought from."""


def brute_best(catalogue: Catalogue, needs: Needs) -> Key | None:
    """The least key of any rig; `needs.units` bounds the search."""
    market = Market(catalogue, needs)
    pool = list(castings(catalogue, needs))
    best: Key | None = None
    for size in range(1, (needs.units or 0) + 1):
        for boxes in itertools.combinations_with_replacement(pool, size):
            if within_limits(boxes, needs):
                found = Squad(boxes, 0, needs, Purse(market, boxes)).best(best)
                best = found if best is None else min(best, found or best)
    return best


class Purse:
    """What one squad costs with its cables: takes the place of the oracle's purse."""

    def __init__(self, market: Market, boxes: Boxes) -> None:
        self.market, self.formats = market, market.catalogue.formats
        self.boxes = tuple(sorted(Counter(box.device.id for box in boxes).items()))
        self.height = sum(box.device.rack_units for box in boxes)
        self.plugs = sum(box.device.mains for box in boxes)

    def cables(self, things: Mapping[Thing, int]) -> int | None:
        """The money for everything; no tees or terminators are sold here."""
        needs = self.market.needs
        shorter = "far" if needs.host_to_rack_mm < needs.within_rack_mm else "near"
        laid: Counter[tuple[str, str]] = Counter()
        for (name, run), count in things.items():
            if count and name not in self.formats:
                return None
            if count:
                laid[self.formats[name].cable, shorter if run == "any" else run] += count
        runs = tuple((laid[kind, "far"], laid[kind, "near"]) for kind in CABLE_LIMIT_MM)
        return self.market.cost(self.boxes, self.height, self.plugs, runs)


class Market:
    """Every way to buy."""

    def __init__(self, catalogue: Catalogue, needs: Needs) -> None:
        self.catalogue, self.needs = catalogue, needs
        self.cost = cache(self._cost)
        self.bags = cache(self._bags)
        self.usable = {box.device.id for box in castings(catalogue, needs)}

    def _cost(
        self,
        boxes: tuple[tuple[str, int], ...],
        height: int,
        plugs: int,
        runs: tuple[tuple[int, int], ...],
    ) -> int | None:
        wanted = dict(boxes)
        units = sum(wanted.values())
        parts = [
            self.bags(((device,), ()), wanted.get(device, 0), 0)
            for device in sorted(self.usable)
        ]
        for kind, (far, near) in zip(CABLE_LIMIT_MM, runs, strict=True):
            long, short, longest = self.reaching(kind, far, near)
            parts.append(self.bags((long, short), longest, far + near))
        counts = {
            "mic": self.needs.mic,
            "source": self.needs.inputs,
            "unit": units,
            "rack_unit": height,
            "mains": plugs,
            "rig": 1,
        }
        parts += [
            self.bags(((extra.id,), ()), counts[extra.per] * extra.each, 0)
            for extra in self.catalogue.extras.values()
            if self.offers(extra.id)
        ]
        sums: set[Bag] = {()}
        for part in parts:
            sums = self.thinned({merged(one, other) for one in sums for other in part})
        paid = [cost for bag in sums if (cost := self.paid(bag)) is not None]
        used = wanted | {e.id: counts[e.per] * e.each for e in self.catalogue.extras.values()}
        unsold = sum(
            min(pieces, self.needs.owned.get(item, 0)) * self.needs.resale.get(item, 0)
            for item, pieces in used.items()
        )
        return min(paid) + unsold if paid else None

    def thinned(self, bags: set[Bag]) -> set[Bag]:
        """The bags of which no other is as good, whatever is bought beside.

        More goods never cost less at a seller who will not waive a fee, or has done so
        already; a seller who still may is left alone.
        """
        groups: dict[Bag, list[Bag]] = {}
        for bag in sorted(bags, key=lambda bag: sum(goods for _, goods in bag)):
            goods = dict(bag)
            waiting = [n for n in self.catalogue.sellers if self.waits(n, goods.get(n, 0))]
            open_at = tuple((name, goods.get(name, -1)) for name in waiting)
            kept = groups.setdefault(open_at, [])
            if not any(self.within(one, bag) for one in kept):
                kept.append(bag)
        return {bag for kept in groups.values() for bag in kept}

    def waits(self, name: str, goods: int) -> bool:
        seller = self.catalogue.sellers.get(name)
        return bool(seller and seller.delivery and goods < (seller.free_over or 0))

    @staticmethod
    def within(one: Bag, other: Bag) -> bool:
        goods = dict(other)
        return all(name in goods and amount <= goods[name] for name, amount in one)

    def reaching(
        self, kind: str, far: int, near: int
    ) -> tuple[tuple[str, ...], tuple[str, ...], int]:
        """Cables for both runs, those for the shorter, and how many must be of the first."""
        host_run, rack_run = self.needs.host_to_rack_mm, self.needs.within_rack_mm

        def fits(cable: Cable, least: int) -> bool:
            return cable.kind == kind and least <= cable.length_mm <= CABLE_LIMIT_MM[kind]

        cables = self.catalogue.cables.values()
        long = tuple(c.id for c in cables if fits(c, max(host_run, rack_run)))
        short = tuple(
            c.id for c in cables if fits(c, min(host_run, rack_run)) and c.id not in long
        )
        if host_run == rack_run:
            return long, short, 0
        return long, short, far if host_run > rack_run else near

    def _bags(
        self, items: tuple[tuple[str, ...], tuple[str, ...]], first: int, both: int
    ) -> frozenset[Bag]:
        """Ways to have `first` pieces of the first items and `both` of all of them.

        A pack that is not needed is bought only where it can save a fee that is larger.
        """
        offers = [offer for group in items for item in group for offer in self.offers(item)]
        owned = [sum(self.needs.owned.get(i, 0) for i in group) for group in items]

        def enough(packs: tuple[int, ...]) -> bool:
            pieces = Counter({False: owned[0], True: owned[1]})
            for offer, number in zip(offers, packs, strict=True):
                pieces[offer.item not in items[0]] += number * offer.pack
            return pieces[False] >= first and pieces.total() >= both

        def idle(packs: tuple[int, ...]) -> bool:
            return any(
                packs[i]
                and not self.saves(offer)
                and enough((*packs[:i], packs[i] - 1, *packs[i + 1 :]))
                for i, offer in enumerate(offers)
            )

        found = set()
        most = max(first, both)
        for packs in itertools.product(*(range(self.most(o, most) + 1) for o in offers)):
            if enough(packs) and not idle(packs):
                lines = zip(offers, packs, strict=True)
                found.add(merged(*(((o.seller, o.price * n),) for o, n in lines if n)))
        return frozenset(found)

    def saves(self, offer: Offer) -> bool:
        """Whether a pack beyond need could save more than it costs."""
        seller = self.catalogue.sellers.get(offer.seller)
        return bool(seller and seller.free_over and offer.price <= seller.delivery)

    def most(self, offer: Offer, pieces: int) -> int:
        """Packs worth looking at: those needed, and for a little more than the fee."""
        beyond = 0
        if offer.seller and offer.price:
            beyond = self.catalogue.sellers[offer.seller].delivery // offer.price
        packs = math.ceil(pieces / offer.pack) + beyond
        return packs if offer.stock is None else min(packs, offer.stock)

    def offers(self, item: str) -> list[Offer]:
        """Everybody who sells an item; '' is the plain price."""
        if self.needs.owned_only or item in self.needs.avoid:
            return []
        offers = [offer for offer in self.catalogue.offers if offer.item == item]
        if self.needs.new_only:
            offers = [offer for offer in offers if offer.condition in ("", "new")]
        shop = self.catalogue
        thing: Any = {**shop.devices, **shop.cables, **shop.extras}[item]
        if thing.price is not None:
            offers.append(Offer(item, "", thing.price, getattr(thing, "pack", 1)))
        return offers

    def paid(self, bag: Bag) -> int | None:
        """All invoices in the catalogue's minor unit; None for too many sellers."""
        named = [name for name, _ in bag if name]
        if self.needs.sellers is not None and len(named) > self.needs.sellers:
            return None
        return sum(self.invoice(name, goods) for name, goods in bag)

    def invoice(self, name: str, goods: int) -> int:
        if not name:
            return goods
        seller = self.catalogue.sellers[name]
        free = seller.free_over is not None and goods >= seller.free_over
        net = goods + (0 if free else seller.delivery)
        # All as whole numbers: net x (100 + tax) x 10^a over 100 x rate x 10^b, half up.
        rate = self.needs.exchange.get(seller.currency, 1)
        up = net * (10**8 + int(seller.tax_percent * 10**6)) * 10**9
        up *= 10 ** decimals(self.catalogue.currency)
        down = 10**8 * int(rate * 10**9) * 10 ** decimals(seller.currency)
        return (2 * up + down) // (2 * down)


def merged(*bags: Iterable[tuple[str, int]]) -> Bag:
    """Goods of all bags together."""
    goods: dict[str, int] = {}
    for name, amount in itertools.chain(*bags):
        goods[name] = goods.get(name, 0) + amount
    return tuple(sorted(goods.items()))
