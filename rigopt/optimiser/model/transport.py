"""Things that are wanted and places that can serve them, without saying which serves which.

By Hall's theorem (P. Hall, 1935; for numbers of each, D. Gale, 1957) there is a way to serve
all that is wanted exactly if for every set of places those that only they can serve are no
more than they are. Only unions of what single
wants could use say anything new; mostly they are nested, and few.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TypeVar

from ortools.sat.python import cp_model

from rigopt.optimiser.solver.linear import Terms, total

WantT = TypeVar("WantT")
PlaceT = TypeVar("PlaceT")


def transport(
    model: cp_model.CpModel,
    wanted: Mapping[WantT, Terms],
    there: Mapping[PlaceT, Terms],
    serves: Callable[[PlaceT, WantT], bool],
    more: Mapping[PlaceT, int] | None = None,
) -> None:
    """Each of `wanted` finds a place of its own among those `there`; `more`: constants."""
    reach = {want: [place for place in there if serves(place, want)] for want in wanted}
    unions: dict[frozenset[int], None] = {}
    number = {place: index for index, place in enumerate(there)}
    own = {want: frozenset(number[place] for place in reach[want]) for want in wanted}
    for places in own.values():
        for union in [frozenset(), *unions]:
            unions.setdefault(union | places)
    for union in unions:
        inside = [
            term for want, places in own.items() if places <= union for term in wanted[want]
        ]
        if not inside:
            continue
        room = [
            term for place, index in number.items() if index in union for term in there[place]
        ]
        constant = sum((more or {}).get(p, 0) for p, index in number.items() if index in union)
        model.add(total(inside) <= total(room) + constant)
