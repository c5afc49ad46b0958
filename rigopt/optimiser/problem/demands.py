"""What the sources ask of a channel: which channel serves which of them.

By Hall's theorem (P. Hall, 1935, from memory) every source finds a channel of its own
exactly if, for every set of groups, as many channels serve at least one of them as there
are sources in it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from itertools import combinations
from typing import TypeVar

from rigopt.catalogue.types import ACCEPTS
from rigopt.needs.types import Group

KeyT = TypeVar("KeyT")


def subsets(wanted: Mapping[KeyT, int]) -> Iterator[tuple[tuple[KeyT, ...], int]]:
    """Every set of groups, small ones first, with the number of sources in it."""
    for fewer in range(len(wanted)):
        for groups in combinations(wanted, fewer + 1):
            yield groups, sum(wanted[group] for group in groups)


def serves_any(channel_kind: str, powered: bool, groups: Iterable[Group]) -> int:
    """1 if a channel with its 48 V so takes a source of one of the groups, else 0."""
    return int(any(serves(channel_kind, powered, group) for group in groups))


def serves(channel_kind: str, powered: bool, group: Group) -> bool:
    """Whether a channel with its 48 V on or off takes a source of that group."""
    if group.kind not in ACCEPTS[channel_kind]:
        return False
    return group.phantom == "any" or (group.phantom == "on") == powered
