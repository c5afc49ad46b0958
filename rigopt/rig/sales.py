"""What is sold: owned pieces that have a price and that nothing uses."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from rigopt.catalogue.types import Catalogue
from rigopt.rig.types import Sale


def sales(
    idle: Mapping[str, int], prices: Mapping[str, int], catalogue: Catalogue
) -> tuple[Sale, ...]:
    """The `idle` pieces that have a price: devices, cables, extras, each by id."""
    return tuple(
        Sale(key, shelf[key].label, kind, idle[key], prices[key])
        for kind, shelf in catalogue.shelves.items()
        for key in sorted(shelf)
        if idle.get(key, 0) > 0 and prices.get(key, 0)
    )


def proceeds(sold: Iterable[Sale]) -> int:
    """What sales come to, in minor units of the catalogue's currency."""
    return sum(line.total for line in sold)
