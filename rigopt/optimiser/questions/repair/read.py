"""From a solution to a repair: what stays, and where new cables go."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from rigopt.answers.repair import Moved, Repaired
from rigopt.facts import Kind
from rigopt.optimiser.questions.repair.case import Case
from rigopt.optimiser.questions.repair.handout import Plug, Value, hand_out
from rigopt.optimiser.questions.repair.variables import Lock, Rewire
from rigopt.rig.links import Wire, derive_links
from rigopt.rig.orders import orders, paid
from rigopt.rig.types import ClockSetting, Link, Purchase, Unit
from rigopt.rig.wired import WiredRig


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
    hand_out(rewire, value, plugs)
    units = tuple(_unit(rewire, value, unit, clocks[unit.name]) for unit in case.units)
    links = derive_links(units, [plug.wire for plug in plugs], case.rate_hz)
    purchases = _purchases(rewire, value)
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


def _purchases(rewire: Rewire, value: Value) -> tuple[Purchase, ...]:
    problem = rewire.case.problem
    return tuple(
        Purchase(
            item, problem.catalogue.cables[item].label, "cable", value(var), supply.price,
            supply.pack, supply.seller, supply.condition, supply.as_of,
        )
        for item, packs in sorted(rewire.packs.items())
        for var, supply in zip(packs, problem.ways(item), strict=True)
        if value(var)
    )  # fmt: skip
