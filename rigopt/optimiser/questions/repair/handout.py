"""Which piece of cable goes on which link of a repaired rig."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from heapq import heapify, heappop, heappush

from rigopt.catalogue.types import Cable
from rigopt.facts import TEE, TERMINATOR
from rigopt.optimiser.model import money
from rigopt.optimiser.questions.repair.case import Case
from rigopt.optimiser.questions.repair.routes import Ends, Place, Route
from rigopt.optimiser.questions.repair.variables import RepairVars
from rigopt.optimiser.solver.linear import Var, amount

Value = Callable[[Var], int]


@dataclass
class Plug:
    """A cable of the repaired rig: its route, and the cable of old that stays there, if any.

    `origin` is the cable of old whose piece it uses; None: one that is owned or bought.
    """

    route: Route
    stays: int | None = None
    origin: int | None = None
    cable: Cable | None = None


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece at hand: of an old cable that goes elsewhere, owned, or bought."""

    kind: str
    length_mm: int
    cable: Cable | None
    origin: int | None = None


def hand_out(repair: RepairVars, value: Value, plugs: list[Plug]) -> None:
    """Give every cable its piece; one that is moved goes where it leaves fewest sockets."""
    case = repair.case
    for plug in plugs:
        if plug.stays is not None and value(repair.own[plug.stays]):
            plug.origin = plug.stays
            plug.cable = case.links[plug.stays].cable
    waiting = {at: plug for at, plug in enumerate(plugs) if plug.origin is None}
    pool = Counter(_pool(repair, value))
    pieces = list(pool)
    fond = [
        (_fondness(case, piece, plug.route.ends), at, number)
        for at, plug in waiting.items()
        for number, piece in enumerate(pieces)
        if _fits(case, plug, piece)
    ]
    heapify(fond)
    while waiting:
        at, piece = _fondest(case, fond, waiting, pieces, pool)
        plug = waiting.pop(at)
        plug.origin, plug.cable = piece.origin, piece.cable
        pool[piece] -= 1


def _fondest(
    case: Case,
    fond: list[tuple[tuple[int, ...], int, int]],
    waiting: Mapping[int, Plug],
    pieces: Sequence[Piece],
    pool: Counter[Piece],
) -> tuple[int, Piece]:
    """The cable and the piece that come first in the heap `fond`, of those that are left and
    that leave enough for the others; what does not, may later."""
    later = []
    while True:
        pair = heappop(fond)
        _, at, number = pair
        if at not in waiting or not pool[pieces[number]]:
            continue
        if _leaves_enough(case, waiting[at], pieces[number], waiting.values(), pool):
            break
        later.append(pair)
    for other in later:
        heappush(fond, other)
    return at, pieces[number]


def small(
    repair: RepairVars, value: Value, kind: str, wanted: Sequence[Place]
) -> dict[Place, Cable | None]:
    """The T-piece, or the terminator, of each place; what is there stays where it can."""
    case, which = repair.case, (TEE, TERMINATOR).index(kind)
    there = {
        ends.end: (link.tee, link.terminator)[which]
        for link, ends, fitted in zip(case.links, case.ends, case.fitted, strict=True)
        if fitted[which]
    }
    pool = [piece for place, piece in there.items() if place not in wanted]
    for cable in case.shelf(kind):
        pool += [cable] * _new(repair, value, cable)
    return {place: there[place] if place in there else pool.pop(0) for place in wanted}


def _fits(case: Case, plug: Plug, piece: Piece) -> bool:
    """Whether a piece is of the kind of a cable, and long enough."""
    kind, run = plug.route.format.cable, case.run_mm(plug.route.ends)
    return piece.kind == kind and piece.length_mm >= run


def _leaves_enough(
    case: Case, plug: Plug, piece: Piece, waiting: Iterable[Plug], pool: Counter[Piece]
) -> bool:
    """Whether the other pieces are enough for the other cables, with this one where it fits.

    They are if the longest piece reaches for the longest run, the next for the next, and
    so on, for each kind.
    """
    left = [p.length_mm for p in pool.elements() if p.kind == piece.kind]
    runs = [case.run_mm(x.route.ends) for x in waiting if x.route.format.cable == piece.kind]
    left.remove(piece.length_mm)
    runs.remove(case.run_mm(plug.route.ends))
    longest = zip(sorted(runs, reverse=True), sorted(left, reverse=True), strict=False)
    return len(left) >= len(runs) and all(length >= wanted for wanted, length in longest)


def _fondness(case: Case, piece: Piece, ends: Ends) -> tuple[int, ...]:
    """Sockets that it would have to leave; then its length."""
    if piece.origin is None:
        return (3, piece.length_mm)
    old = case.ends[piece.origin]
    stays = ((old.start, old.tee) == (ends.start, ends.tee)) + (old.end == ends.end)
    return (2 - stays, piece.length_mm)


def _pool(repair: RepairVars, value: Value) -> list[Piece]:
    case = repair.case
    pool = [
        Piece(case.piece_kind(link), case.length(link), link.cable, index)
        for index, link in enumerate(case.links)
        if value(repair.moved[index])
    ]
    for kind in case.kinds:
        for cable in case.shelf(kind):
            pool += [Piece(kind, cable.length_mm, cable)] * _new(repair, value, cable)
    return pool


def _new(repair: RepairVars, value: Value, cable: Cable) -> int:
    """Pieces that are owned and come into use, or bought."""
    bought = amount(money.bought(repair.basket, cable.id), value)
    return value(repair.owned[cable.id]) + bought
