"""Regret by enumeration: every mix that works, at every corner of the ranges.

Built on the oracle's squads, which know nothing of any solver. The regret of a rig is convex
in the prices (what it costs is linear, what the best costs is concave), so it is largest at
a corner.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.rig.types import Rig
from tests.choice.mixes import working
from tests.oracle.brute import NO_MONEY, Purse, brute_force

Corner = dict[str, int]
"""An exact price for each item whose price is a range."""


def things(catalogue: Catalogue) -> list[Any]:
    """Everything that may have a price."""
    shelves = (catalogue.devices, catalogue.cables, catalogue.extras)
    return [item for shelf in shelves for item in shelf.values()]


def corners(catalogue: Catalogue) -> Iterator[Corner]:
    ranges = {t.id: (t.least, t.price) for t in things(catalogue) if t.least is not None}
    for prices in itertools.product(*ranges.values()):
        yield dict(zip(ranges, prices, strict=True))


def at(catalogue: Catalogue, corner: Corner) -> Catalogue:
    """The catalogue at exact prices."""

    def shelf(name: str) -> dict[str, Any]:
        return {
            key: replace(item, price=corner.get(key, item.price), least=None)
            for key, item in getattr(catalogue, name).items()
        }

    shelves: dict[str, Any] = {name: shelf(name) for name in ("devices", "cables", "extras")}
    return replace(catalogue, **shelves)


def paid(rig: Rig, corner: Corner) -> int:
    """What a rig costs at exact prices."""
    return rig.total + sum(
        line.quantity * (corner[line.item] - line.unit_price)
        for line in rig.purchases
        if line.item in corner and line.seller is None
    )


def largest_by_corners(catalogue: Catalogue, needs: Needs, rig: Rig) -> int:
    """The largest regret of a rig: each corner enumerated anew. Money is not limited."""
    found = []
    for corner in corners(catalogue):
        least = brute_force(at(catalogue, corner), needs)
        assert least is not None
        found.append(paid(rig, corner) - least)
    return max(found)


def regrets(catalogue: Catalogue, needs: Needs) -> dict[tuple[tuple[str, int], ...], int]:
    """The largest regret of each mix that works, where no cable's price is a range.

    What a mix takes of cables costs the same at all corners, so it is worked out once.
    """
    every = list(corners(catalogue))
    boxes = {corner_key(c): Purse(at(catalogue, c), needs) for c in every}
    upper = corner_key({i: p for i, (_, p) in ends(catalogue).items()})
    costs: dict[tuple[tuple[str, int], ...], list[int]] = {}
    for mix, key in working(at(catalogue, dict(upper)), needs).items():
        if key[0] >= NO_MONEY:
            continue
        devices = [catalogue.devices[item] for item, n in mix for _ in range(n)]
        own = {name: purse.boxes(devices) or 0 for name, purse in boxes.items()}
        costs[mix] = [key[0] - own[upper] + own[corner_key(c)] for c in every]
    least = [min(prices) for prices in zip(*costs.values(), strict=True)]
    return {
        mix: max(p - q for p, q in zip(prices, least, strict=True))
        for mix, prices in costs.items()
    }


def ends(catalogue: Catalogue) -> dict[str, tuple[int, int]]:
    """The ends of each range."""
    low = next(corners(catalogue))
    high = list(corners(catalogue))[-1]
    return {item: (low[item], high[item]) for item in low}


def corner_key(corner: Corner) -> tuple[tuple[str, int], ...]:
    return tuple(sorted(corner.items()))
