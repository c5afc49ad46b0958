"""Sockets dealt to the ends of links: each end the first that leaves the rest enough."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar

from rigopt.optimiser.problem.matching import matched

WantT = TypeVar("WantT")
PlaceT = TypeVar("PlaceT")


def deal(
    wants: Sequence[WantT], places: Sequence[PlaceT], serves: Callable[[WantT, PlaceT], bool]
) -> list[PlaceT]:
    """A place of its own for each of `wants`, in turn the first that leaves the rest enough.

    Raises:
        LookupError: When there are not enough places.
    """
    able = [[n for n, place in enumerate(places) if serves(want, place)] for want in wants]
    chosen: list[int] = []
    for ways in able:
        free = next((n for n in ways if n not in chosen), None)
        if free is None:
            return [places[n] for n in _with_care(able)]
        chosen.append(free)
    return [places[n] for n in chosen]


def _with_care(able: Sequence[Sequence[int]]) -> list[int]:
    """The same where taking the first that is free leaves too little for another."""
    chosen: list[int] = []
    for ways in able:
        rest = able[len(chosen) + 1 :]
        free = (n for n in ways if n not in chosen and matched(rest, [*chosen, n]))
        found = next(free, None)
        if found is None:
            raise LookupError("there is no place for one of them")
        chosen.append(found)
    return chosen
