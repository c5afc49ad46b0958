"""From a solution to a repair: what stays, and where new cables go."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from rigopt.answers.repair import Moved, Repaired
from rigopt.facts import Kind
from rigopt.optimiser.decode.baskets import lines
from rigopt.optimiser.questions.repair.case import Case
from rigopt.optimiser.questions.repair.handout import Plug, Value, hand_out
from rigopt.optimiser.questions.repair.variables import Lock, RepairVars
from rigopt.optimiser.solver.run import Result
from rigopt.rig.links import Wire, derive_links
from rigopt.rig.orders import orders, paid
from rigopt.rig.types import ClockSetting, Link, Unit
from rigopt.rig.wired import WiredRig, wire_of


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


def read(repair: RepairVars, result: Result, proven: bool) -> Repaired:
    """The repair that a solution tells."""
    case, value = repair.case, result.value
    plugs, clocks = _plugs(repair, value)
    hand_out(repair, value, plugs)
    units = tuple(_unit(repair, value, unit, clocks[unit.name]) for unit in case.units)
    links = derive_links(units, [plug.wire for plug in plugs], case.rate_hz)
    purchases = lines(case.problem, repair.basket.read(value).packs)
    placed = orders(purchases, case.problem.catalogue, case.needs.exchange)
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
        orders=placed,
        money=paid(purchases, placed),
        proven=proven,
    )


def _plugs(repair: RepairVars, value: Value) -> tuple[list[Plug], dict[str, ClockSetting]]:
    """Cables that stay, in their order; then new ones, those with a fixed place first."""
    case = repair.case
    board = Board(case)
    chosen = {
        unit: next(lock for lock, var in locks.items() if value(var))
        for unit, locks in repair.locks.items()
    }
    plugs = [
        Plug(_wire(link, index in repair.kept_back or _sends(repair, value, index)), index)
        for index, link in enumerate(case.links)
        if any(value(var) for var, _ in repair.kept(index))
    ]
    plugs += [Plug(wire) for wire in _new_audio(repair, value, plugs)]
    for plug in plugs:
        board.sit(plug.wire)
    clocks = {unit: ClockSetting("internal") for unit in chosen}
    for unit, lock in sorted(chosen.items(), key=lambda item: item[1].socket is None):
        if lock.sender is None:
            continue
        sender, _, kind = lock.way(unit)
        socket = lock.socket
        if lock.how == "new":
            wire = _new(repair, board, unit, lock)
            plugs.append(Plug(wire))
            socket = wire.to_socket
        clocks[unit] = ClockSetting(kind, socket, sender)
    plugs += [Plug(wire) for wire in _new_back(repair, value, board, chosen)]
    return plugs, clocks


def _wire(link: Link, audio: bool) -> Wire:
    return replace(wire_of(link), cable=None, audio=audio)


def _sends(repair: RepairVars, value: Value, index: int) -> bool:
    return any(value(var) for var in repair.kept_audio.get(index, {}).values())


def _new_audio(repair: RepairVars, value: Value, staying: Iterable[Plug]) -> Iterable[Wire]:
    old = {replace(plug.wire, audio=True) for plug in staying}
    for rank, ends in repair.goes.items():
        for (host, socket), var in ends.items():
            if value(var):
                starts = repair.starts[rank].items()
                out = next(out for out, start in starts if value(start))
                wire = Wire(rank.kind, rank.unit, out, host, socket)
                if wire not in old:
                    yield wire


def _new(repair: RepairVars, board: Board, unit: str, lock: Lock) -> Wire:
    """The new cable that a unit is locked to. Towards a host it is for clock alone."""
    sender, _, kind = way = lock.way(unit)
    out, socket = board.free(sender, kind, "out"), lock.socket or board.free(unit, kind, "in")
    wire = Wire(kind, sender, out, unit, socket, audio=repair.is_back(way))
    board.sit(wire)
    return wire


def _new_back(
    repair: RepairVars, value: Value, board: Board, chosen: dict[str, Lock]
) -> Iterable[Wire]:
    """New cables that feed outputs, but for those that a unit is locked to."""
    for (host, unit, kind), var in repair.new_back.items():
        lock = chosen[unit]
        there = lock.how == "new" and (lock.sender, lock.kind) == (host, kind)
        for _ in range(value(var) - there):
            out, socket = board.free(host, kind, "out"), board.free(unit, kind, "in")
            wire = Wire(kind, host, out, unit, socket)
            board.sit(wire)
            yield wire


def _unit(repair: RepairVars, value: Value, unit: Unit, clock: ClockSetting) -> Unit:
    on = tuple(
        bank for (name, bank), var in repair.on.items() if name == unit.name and value(var)
    )
    return replace(unit, clock=clock, phantom_banks_on=on)
