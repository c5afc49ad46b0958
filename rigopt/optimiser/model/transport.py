"""Things that are wanted and places that can serve them, without saying which serves which.

By Hall's theorem (P. Hall, 1935; for numbers of each, D. Gale, 1957) there is a way to serve
all that is wanted exactly if for every set of places those that only they can serve are no
more than they are. Only unions of what single wants could use say anything new, and of
these only the ones in one piece: where what is served falls into parts that have no place in
common, the inequality is the sum of theirs. So few are left.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
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
    number = {place: index for index, place in enumerate(there)}
    own = {want: frozenset(number[place] for place in reach[want]) for want in wanted}
    for union in _unions(own.values()):
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


def _unions(sets: Iterable[frozenset[int]]) -> Iterator[frozenset[int]]:
    """All unions of sets that are in one piece."""
    several = dict.fromkeys(sets)
    unions: dict[frozenset[int], None] = {}
    for places in several:
        for union in [frozenset[int](), *unions]:
            unions.setdefault(union | places)
    for union in unions:
        if _in_one_piece([places for places in several if places and places <= union]):
            yield union


def _in_one_piece(sets: list[frozenset[int]]) -> bool:
    """Whether one can go from each of some sets to each other by sets that overlap."""
    piece = sets.pop() if sets else frozenset()
    while near := [places for places in sets if piece & places]:
        piece = piece.union(*near)
        sets = [places for places in sets if places not in near]
    return not sets
