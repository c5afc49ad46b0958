"""Mixes of devices in the order of their keys, by enumeration alone.

Built on the oracle's squads, which know nothing of any solver.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from tests.oracle.brute import NO_MONEY, Key, Purse, Squad, squads

Mix = Counter[str]


def working(catalogue: Catalogue, needs: Needs) -> dict[tuple[tuple[str, int], ...], Key]:
    """The least key of every mix of devices that works."""
    purse = Purse(catalogue, needs)
    found: dict[tuple[tuple[str, int], ...], Key] = {}
    for cost, boxes in squads(catalogue, needs, purse):
        mix = tuple(sorted(Counter(box.device.id for box in boxes).items()))
        key = Squad(boxes, cost, needs, purse).best(found.get(mix))
        if key is not None and key[0] < NO_MONEY:
            found[mix] = key
    return found


def needed(catalogue: Catalogue, needs: Needs) -> Iterator[tuple[Key, Mix]]:
    """Working mixes by key, without those that hold all of one that comes before."""
    listed: list[Mix] = []
    found = working(catalogue, needs)
    for mix, key in sorted(found.items(), key=lambda entry: entry[1]):
        counts = Counter(dict(mix))
        if not any(before <= counts for before in listed):
            listed.append(counts)
            yield key, counts
