"""Which piece of cable goes on which link of a repaired rig."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from rigopt.catalogue.types import Cable
from rigopt.facts import KINDS, Kind
from rigopt.optimiser.model import money
from rigopt.optimiser.questions.repair.case import Case
from rigopt.optimiser.questions.repair.variables import RepairVars
from rigopt.optimiser.solver.linear import Var, amount
from rigopt.rig.links import Wire

Value = Callable[[Var], int]


@dataclass
class Plug:
    """A cable of the repaired rig: its wire, and the cable of old that stays there, if any.

    `origin` is the cable of old whose piece it uses; None: one that is owned or bought.
    """

    wire: Wire
    stays: int | None = None
    origin: int | None = None


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece at hand: of an old cable that goes elsewhere, owned, or bought."""

    kind: Kind
    length_mm: int
    cable: Cable | None
    origin: int | None = None


def hand_out(repair: RepairVars, value: Value, plugs: list[Plug]) -> None:
    """Give every cable its piece; one that is moved goes where it leaves fewest sockets."""
    case = repair.case
    for plug in plugs:
        if plug.stays is not None and value(repair.own[plug.stays]):
            plug.origin = plug.stays
            plug.wire = replace(plug.wire, cable=case.links[plug.stays].cable)
    waiting = [plug for plug in plugs if plug.origin is None]
    pool = _pool(repair, value)
    while waiting:
        pairs = ((plug, piece) for plug in waiting for piece in pool)
        fond = sorted(pairs, key=lambda pair: _fondness(case, pair[1], pair[0].wire))
        plug, piece = next(pair for pair in fond if _suits(case, pair, waiting, pool))
        plug.origin = piece.origin
        plug.wire = replace(plug.wire, cable=piece.cable)
        waiting.remove(plug)
        pool.remove(piece)


def _suits(
    case: Case, pair: tuple[Plug, Piece], waiting: Sequence[Plug], pool: Sequence[Piece]
) -> bool:
    """Whether a piece fits a cable, and the others are enough for the other cables.

    They are if the longest piece reaches for the longest run, the next for the next, and
    so on, for each kind.
    """
    plug, piece = pair
    kind, run = plug.wire.kind, _run(case, plug)
    left = [p.length_mm for p in pool if p.kind == kind]
    runs = [_run(case, other) for other in waiting if other.wire.kind == kind]
    if piece.kind != kind or piece.length_mm < run:
        return False
    left.remove(piece.length_mm)
    runs.remove(run)
    longest = zip(sorted(runs, reverse=True), sorted(left, reverse=True), strict=False)
    return len(left) >= len(runs) and all(length >= wanted for wanted, length in longest)


def _run(case: Case, plug: Plug) -> int:
    return case.run_mm(plug.wire.from_unit, plug.wire.to_unit)


def _fondness(case: Case, piece: Piece, wire: Wire) -> tuple[int, ...]:
    """Sockets that it would have to leave; then its length."""
    if piece.origin is None:
        return (3, piece.length_mm)
    link = case.links[piece.origin]
    start = (link.kind, link.from_unit, link.from_socket)
    stop = (link.kind, link.to_unit, link.to_socket)
    stays = (start == (wire.kind, wire.from_unit, wire.from_socket)) + (
        stop == (wire.kind, wire.to_unit, wire.to_socket)
    )
    return (2 - stays, piece.length_mm)


def _pool(repair: RepairVars, value: Value) -> list[Piece]:
    case = repair.case
    pool = [
        Piece(case.piece_kind(link), case.length(link), link.cable, index)
        for index, link in enumerate(case.links)
        if value(repair.moved[index])
    ]
    for kind in KINDS:
        for cable in case.shelf(kind):
            bought = amount(money.bought(repair.basket, cable.id), value)
            number = value(repair.owned[cable.id]) + bought
            pool += [Piece(kind, cable.length_mm, cable)] * number
    return pool
