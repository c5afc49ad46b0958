"""What the sources ask of a channel: five groups, and which channel serves which.

By Hall's theorem (P. Hall, 1935, from memory) every source finds a channel of its own
exactly if, for every set of groups, as many channels serve at least one of them as there
are sources in it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from itertools import combinations
from typing import Literal

from rigopt.catalogue.types import ACCEPTS, Source
from rigopt.needs.types import Needs

Group = Literal["phantom", "no_phantom", "mic", "line", "instrument"]
Power = Literal["on", "off", "none"]
GROUPS: tuple[Group, ...] = ("phantom", "no_phantom", "mic", "line", "instrument")


def demands(needs: Needs) -> dict[Group, int]:
    """How many sources are in each group that is not empty."""
    counts: dict[Group, int] = {
        "phantom": needs.phantom,
        "no_phantom": needs.no_phantom,
        "mic": needs.mic - needs.phantom - needs.no_phantom,
        "line": needs.line,
        "instrument": needs.instrument,
    }
    return {group: counts[group] for group in GROUPS if counts[group]}


def subsets(wanted: Mapping[Group, int]) -> Iterator[tuple[tuple[Group, ...], int]]:
    """Every set of groups, small ones first, with the number of sources in it."""
    for size in range(1, len(wanted) + 1):
        for groups in combinations(wanted, size):
            yield groups, sum(wanted[group] for group in groups)


def serves_any(channel_kind: str, power: Power, groups: Iterable[Group]) -> int:
    """1 if a channel in a bank of that state takes a source of one of the groups, else 0."""
    return int(any(serves(channel_kind, power, group) for group in groups))


def serves(channel_kind: str, power: Power, group: Group) -> bool:
    """Whether a channel in a bank of that state takes a source of that group."""
    accepts = ACCEPTS[channel_kind]
    if group in ("line", "instrument"):
        return group in accepts
    wanted: Source = "mic"
    if wanted not in accepts:
        return False
    return group == "mic" or (power == "on") == (group == "phantom")
