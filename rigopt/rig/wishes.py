"""Which wishes of an input list gave way on a rig: pairs, odd channels, the order."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Literal, NamedTuple

from rigopt.needs.types import SourceLine
from rigopt.rig.types import Input, Rig

Wish = Literal["pair", "odd", "order"]


class GaveWay(NamedTuple):
    """A wish that gave way, and for which sources (or pairs, by name).

    pair: the two of a pair are not on neighbouring channels of one unit; odd: a pair begins
    on an even channel; order: a source sits on a lower input than one listed before it.
    """

    wish: Wish
    names: tuple[str, ...]


def gave_way(rig: Rig, sources: Sequence[SourceLine]) -> tuple[GaveWay, ...]:
    """What gave way, without wishes that did not; nothing without a list."""
    seats = {item.source: item for item in rig.inputs if item.source is not None}
    sources = [source for source in sources if source.name in seats]
    found = (
        GaveWay("pair", rig.split_pairs),
        GaveWay("odd", tuple(_odd(seats, sources, rig.split_pairs))),
        GaveWay("order", tuple(_early(seats, sources))),
    )
    return tuple(wish for wish in found if wish.names)


def _odd(
    seats: Mapping[str, Input], sources: Sequence[SourceLine], split: Sequence[str]
) -> Iterator[str]:
    pairs: dict[str, list[int]] = {}
    for source in sources:
        if source.pair is not None and source.pair not in split:
            pairs.setdefault(source.pair, []).append(seats[source.name].channel)
    yield from (pair for pair, channels in pairs.items() if min(channels) % 2 == 0)


def _early(seats: Mapping[str, Input], sources: Sequence[SourceLine]) -> Iterator[str]:
    highest = 0
    for source in sources:
        number = seats[source.name].computer_input
        if number < highest:
            yield source.name
        highest = max(highest, number)
