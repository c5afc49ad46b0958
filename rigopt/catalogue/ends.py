"""Prices that are ranges: which there are, and the catalogue at their upper ends."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TypeVar

from rigopt.catalogue.types import Cable, Catalogue, Device, Extra
from rigopt.errors import Fault
from rigopt.files.amounts import Span

ItemT = TypeVar("ItemT", Device, Cable, Extra)


def has_ranges(catalogue: Catalogue) -> bool:
    """Whether any price is a range."""
    return any(
        item.least is not None
        for shelf in catalogue.shelves.values()
        for item in shelf.values()
    )


def at_upper_ends(catalogue: Catalogue) -> Catalogue:
    """The catalogue with each range at its upper end, as if that were the price."""
    if not has_ranges(catalogue):
        return catalogue
    return replace(
        catalogue,
        devices=_exact(catalogue.devices),
        cables=_exact(catalogue.cables),
        extras=_exact(catalogue.extras),
    )


def with_price(catalogue: Catalogue, item: str, price: Span) -> Catalogue:
    """The catalogue with another price for an item, as if it stood in its file."""

    def shelf(things: Mapping[str, ItemT]) -> Mapping[str, ItemT]:
        if item not in things:
            return things
        least = None if price.most in (None, price.least) else price.least
        return {**things, item: replace(things[item], price=price.most, least=least)}

    unknown = {key: fault for key, fault in catalogue.unknown.items() if key != item}
    if price.most is None:
        unknown[item] = Fault(catalogue.name, "nobody knows what it costs", value="?")
    return replace(
        catalogue,
        devices=shelf(catalogue.devices),
        cables=shelf(catalogue.cables),
        extras=shelf(catalogue.extras),
        unknown=unknown,
    )


def _exact(shelf: Mapping[str, ItemT]) -> dict[str, ItemT]:
    return {key: replace(item, least=None) for key, item in shelf.items()}
