"""What the sources ask of a channel: which channel serves which of them."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from itertools import combinations
from typing import TypeVar

from rigopt.catalogue.types import ACCEPTS
from rigopt.needs.types import Group

ItemT = TypeVar("ItemT")


def serves(channel_kind: str, powered: bool, group: Group) -> bool:
    """Whether a channel takes a source of that group, with its 48 V on or off."""
    if group.kind not in ACCEPTS[channel_kind]:
        return False
    return group.phantom == "any" or (group.phantom == "on") == powered


def subsets(items: Collection[ItemT]) -> Iterator[tuple[ItemT, ...]]:
    """Every set of these that is not empty, the smaller sets first.

    By Hall's theorem (P. Hall, 1935) sources find a channel each exactly if, for every set
    of groups, there are as many channels that serve at least one of them.
    """
    for size in range(1, len(items) + 1):
        yield from combinations(items, size)
