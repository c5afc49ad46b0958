"""Catalogues as questions of money want them: with offers, ranges, or prices not known."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from typing import TypeVar

from rigopt.catalogue.types import Cable, Catalogue, Device, Offer, Seller

SELLERS, OFFERS = 10, 3

ItemT = TypeVar("ItemT", Device, Cable)


def with_offers(shop: Catalogue, seed: int) -> Catalogue:
    """The same devices and cables, each from three of ten sellers around its plain price."""
    draw = random.Random(seed)
    sellers = {
        f"shop-{number}": Seller(
            f"shop-{number}",
            shop.currency,
            draw.choice([0, 390, 490, 690, 1200]),
            draw.choice([None, 5000, 20000, 50000]),
            Decimal(draw.choice(["0", "0", "20", "7.7"])),
        )
        for number in range(SELLERS)
    }
    items: list[Device | Cable] = [*shop.devices.values(), *shop.cables.values()]
    offers = [
        Offer(
            item.id,
            name,
            (item.price or 0) * draw.randrange(88, 125) // 100,
            getattr(item, "pack", 1),
            draw.choice([None, None, 1, 3]),
        )
        for item in items
        for name in sorted(draw.sample(sorted(sellers), OFFERS))
    ]
    return replace(shop, offers=tuple(offers), sellers=sellers)


def with_ranges(shop: Catalogue, seed: int) -> Catalogue:
    """Half of the prices are only known to lie between two."""
    draw = random.Random(seed)

    def ranged(item: ItemT) -> ItemT:
        if draw.random() < 0.5:
            return item
        return replace(item, least=(item.price or 0) * draw.randrange(60, 100) // 100)

    return _each(shop, ranged, ranged)


def with_blanks(shop: Catalogue, seed: int) -> Catalogue:
    """Half of the devices have no price yet."""
    draw = random.Random(seed)
    return _each(
        shop,
        lambda box: replace(box, price=None) if draw.random() < 0.5 else box,
        lambda cable: cable,
    )


def _each(
    shop: Catalogue, box: Callable[[Device], Device], cable: Callable[[Cable], Cable]
) -> Catalogue:
    devices = {name: box(one) for name, one in shop.devices.items()}
    cables = {name: cable(one) for name, one in shop.cables.items()}
    return replace(shop, devices=devices, cables=cables)
