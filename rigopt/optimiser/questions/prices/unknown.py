"""The catalogue where some prices are not known: they are from 0 up, without an end."""

from __future__ import annotations

from collections.abc import Container, Mapping
from dataclasses import replace
from typing import TypeVar

from rigopt.catalogue.types import Cable, Catalogue, Device, Extra
from rigopt.needs.types import Needs

ItemT = TypeVar("ItemT", Device, Cable, Extra)


def unknown(catalogue: Catalogue, needs: Needs) -> frozenset[str]:
    """What could be bought if its price were known: '?', and a blank price of a device or cable
    without offers."""
    offered = {offer.item for offer in catalogue.offers}
    things: list[Device | Cable] = [*catalogue.devices.values(), *catalogue.cables.values()]
    blank = {item.id for item in things if item.price is None and item.id not in offered}
    return frozenset({*blank, *catalogue.unknown}.difference(needs.avoid))


def at_price(catalogue: Catalogue, items: Container[str], price: int | None) -> Catalogue:
    """The catalogue with one price for these items; None: they cannot be bought."""

    def shelf(things: Mapping[str, ItemT]) -> dict[str, ItemT]:
        return {
            key: replace(item, price=price, least=None) if key in items else item
            for key, item in things.items()
        }

    return replace(
        catalogue,
        devices=shelf(catalogue.devices),
        cables=shelf(catalogue.cables),
        extras=shelf(catalogue.extras),
    )


def for_nothing(catalogue: Catalogue) -> Catalogue:
    """The catalogue with all its offers at no price, and no delivery charged."""
    return replace(
        catalogue,
        offers=tuple(replace(offer, price=0) for offer in catalogue.offers),
        sellers={
            key: replace(seller, delivery=0, free_over=None)
            for key, seller in catalogue.sellers.items()
        },
    )
