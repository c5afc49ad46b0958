"""Whether every source finds a channel of its own, by augmenting paths."""

from __future__ import annotations

from functools import cache

from rigopt.catalogue.types import ACCEPTS

Source = tuple[str, str]
"""Kind, and what it asks of 48 V: on, off or any."""

Seat = tuple[str, bool]
"""Kind of the channel, and whether it has 48 V."""


def suits(source: Source, seat: Seat) -> bool:
    """Whether a source may sit on a channel."""
    kind, asks = source
    if kind not in ACCEPTS[seat[0]]:
        return False
    return asks == "any" or (asks == "on") == seat[1]


@cache
def all_seated(sources: tuple[Source, ...], seats: tuple[Seat, ...]) -> bool:
    """Whether there is a seat for every source."""
    sitter: dict[int, int] = {}

    def seat(source: int, tried: set[int]) -> bool:
        for number, one in enumerate(seats):
            if number in tried or not suits(sources[source], one):
                continue
            tried.add(number)
            if number not in sitter or seat(sitter[number], tried):
                sitter[number] = source
                return True
        return False

    return all(seat(source, set()) for source in range(len(sources)))
