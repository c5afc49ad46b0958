"""From a solution to a repair: what stays, where new cables go, and which piece is which."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace

from rigopt.catalogue.types import Cable
from rigopt.facts import KINDS, Kind
from rigopt.optimiser.rewire.case import Case
from rigopt.optimiser.rewire.variables import Lock, Rewire
from rigopt.optimiser.variables import Var
from rigopt.rig.carriage import Wire, derive_links
from rigopt.rig.mending import Moved, Repaired
from rigopt.rig.types import ClockSetting, Link, Purchase, Unit
from rigopt.rig.wired import WiredRig

Value = Callable[[Var], int]


@dataclass
class Plug:
    """A cable of the repaired rig: its wire, and the cable of old that stays there, if any.

    `origin` is the cable of old whose piece it uses; None: one that is spare or bought.
    """

    wire: Wire
    stays: int | None = None
    origin: int | None = None


@dataclass
class Board:
    """Sockets taken so far: unit, kind, way, number."""

    case: Case
    taken: set[tuple[str, Kind, str, int]] = field(default_factory=set)

    def sit(self, wire: Wire) -> None:
        """Take both sockets of a wire."""
        self.taken.add((wire.from_unit, wire.kind, "out", wire.from_socket))
        self.taken.add((wire.to_unit, wire.kind, "in", wire.to_socket))

    def free(self, unit: str, kind: Kind, way: str) -> int:
        """The first socket that is free."""
        live = self.case.live(self.case.by_name[unit], kind, way)
        free = (n for n in range(1, live + 1) if (unit, kind, way, n) not in self.taken)
        return next(free)


def read(rewire: Rewire, value: Value, proven: bool) -> Repaired:
    """The repair that a solution tells."""
    case = rewire.case
    plugs, clocks = _plugs(rewire, value)
    _pieces(rewire, value, plugs)
    units = tuple(_unit(rewire, value, unit, clocks[unit.name]) for unit in case.units)
    links = derive_links(units, [plug.wire for plug in plugs], case.rate_hz)
    purchases = _purchases(rewire, value)
    used = {plug.origin for plug in plugs}
    pairs = list(zip(plugs, links, strict=True))
    return Repaired(
        rig=WiredRig(case.rate_hz, units, links),
        moved=tuple(
            Moved(case.links[plug.origin], link)
            for plug, link in pairs
            if plug.origin is not None and plug.origin != plug.stays
        ),
        added=tuple(link for plug, link in pairs if plug.origin is None),
        removed=tuple(link for index, link in enumerate(case.links) if index not in used),
        purchases=purchases,
        money=sum(line.total for line in purchases),
        proven=proven,
    )


# --- where cables go -----------------------------------------------------------------


def _plugs(rewire: Rewire, value: Value) -> tuple[list[Plug], dict[str, ClockSetting]]:
    """Cables that stay, in their order; then new ones, those with a fixed place first."""
    case = rewire.case
    board = Board(case)
    chosen = {
        unit: next(lock for lock, var in locks.items() if value(var))
        for unit, locks in rewire.locks.items()
    }
    plugs = [
        Plug(_wire(link, index in rewire.kept_back or _sends(rewire, value, index)), index)
        for index, link in enumerate(case.links)
        if any(value(var) for var, _ in rewire.kept(index))
    ]
    plugs += [Plug(wire) for wire in _new_audio(rewire, value, plugs)]
    for plug in plugs:
        board.sit(plug.wire)
    clocks = {unit: ClockSetting("internal") for unit in chosen}
    for unit, lock in sorted(chosen.items(), key=lambda item: item[1].socket is None):
        if lock.giver is None or lock.kind is None:
            continue
        socket = lock.socket
        if lock.how == "new":
            wire = _new(rewire, board, unit, lock)
            plugs.append(Plug(wire))
            socket = wire.to_socket
        clocks[unit] = ClockSetting(lock.kind, socket, lock.giver)
    plugs += [Plug(wire) for wire in _new_back(rewire, value, board, chosen)]
    return plugs, clocks


def _wire(link: Link, audio: bool) -> Wire:
    return Wire(
        link.kind, link.from_unit, link.from_socket, link.to_unit, link.to_socket,
        audio=audio,
    )  # fmt: skip


def _sends(rewire: Rewire, value: Value, index: int) -> bool:
    return any(value(var) for var in rewire.kept_audio.get(index, {}).values())


def _new_audio(rewire: Rewire, value: Value, staying: Iterable[Plug]) -> Iterable[Wire]:
    old = {replace(plug.wire, audio=True) for plug in staying}
    for sender, ends in rewire.goes.items():
        for (host, socket), var in ends.items():
            if value(var):
                starts = rewire.starts[sender].items()
                out = next(out for out, start in starts if value(start))
                wire = Wire(sender[1], sender[0], out, host, socket)
                if wire not in old:
                    yield wire


def _new(rewire: Rewire, board: Board, unit: str, lock: Lock) -> Wire:
    """The new cable that a unit is locked to. Towards a host it is for clock alone."""
    assert lock.giver is not None
    assert lock.kind is not None
    wire = Wire(
        lock.kind, lock.giver, board.free(lock.giver, lock.kind, "out"), unit,
        lock.socket or board.free(unit, lock.kind, "in"),
        audio=rewire.is_back(lock.giver, unit, lock.kind),
    )  # fmt: skip
    board.sit(wire)
    return wire


def _new_back(
    rewire: Rewire, value: Value, board: Board, chosen: dict[str, Lock]
) -> Iterable[Wire]:
    """New cables that feed outputs, but for those that a unit is locked to."""
    for (host, unit, kind), var in rewire.new_back.items():
        lock = chosen[unit]
        there = lock.how == "new" and (lock.giver, lock.kind) == (host, kind)
        for _ in range(value(var) - there):
            out, socket = board.free(host, kind, "out"), board.free(unit, kind, "in")
            wire = Wire(kind, host, out, unit, socket)
            board.sit(wire)
            yield wire


def _unit(rewire: Rewire, value: Value, unit: Unit, clock: ClockSetting) -> Unit:
    on = tuple(
        bank for (name, bank), var in rewire.on.items() if name == unit.name and value(var)
    )
    return replace(unit, clock=clock, phantom_banks_on=on)


# --- which piece is which ------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece at hand: of an old cable that goes elsewhere, spare, or bought."""

    kind: Kind
    length_mm: int
    cable: Cable | None
    origin: int | None = None


def _pieces(rewire: Rewire, value: Value, plugs: list[Plug]) -> None:
    """Give every cable its piece; one that is moved goes where it leaves fewest sockets."""
    case = rewire.case
    for plug in plugs:
        if plug.stays is not None and value(rewire.own[plug.stays]):
            plug.origin = plug.stays
            plug.wire = replace(plug.wire, cable=case.links[plug.stays].cable)
    waiting = [plug for plug in plugs if plug.origin is None]
    pool = _pool(rewire, value)
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


def _pool(rewire: Rewire, value: Value) -> list[Piece]:
    case = rewire.case
    pool = [
        Piece(case.piece_kind(link), case.length(link), link.cable, index)
        for index, link in enumerate(case.links)
        if value(rewire.moved[index])
    ]
    for kind in KINDS:
        for cable in case.shelf(kind):
            number = value(rewire.spares[cable.id])
            supplies = case.problem.ways(cable.id)
            for var, supply in zip(rewire.packs[cable.id], supplies, strict=True):
                number += supply.pack * value(var)
            pool += [Piece(kind, cable.length_mm, cable)] * number
    return pool


def _purchases(rewire: Rewire, value: Value) -> tuple[Purchase, ...]:
    problem = rewire.case.problem
    return tuple(
        Purchase(
            item, problem.catalogue.cables[item].label, "cable", value(var), supply.price,
            supply.pack, supply.seller,
        )
        for item, packs in sorted(rewire.packs.items())
        for var, supply in zip(packs, problem.ways(item), strict=True)
        if value(var)
    )  # fmt: skip
