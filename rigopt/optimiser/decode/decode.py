"""From counts to names: units, sockets, cables, clock settings, purchases.

The column of a unit fixes which sockets it needs, and the rules made sure that there are
enough, so nothing is searched for here: sockets are dealt out in order.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass, field

from rigopt.facts import AUDIO_KINDS, KINDS, Kind
from rigopt.optimiser.decode.baskets import purchases
from rigopt.optimiser.decode.pieces import with_cables
from rigopt.optimiser.decode.seating import seated
from rigopt.optimiser.model.variables import RACK, ClockRoute, Counted
from rigopt.optimiser.problem.columns import HostColumn, SatelliteColumn
from rigopt.optimiser.problem.problem import Problem
from rigopt.optimiser.problem.signatures import ClockState, Lock
from rigopt.rig.links import Wire, derive_links
from rigopt.rig.orders import orders, paid
from rigopt.rig.types import ClockSetting, Rig, Unit, UnitRole


@dataclass(eq=False)
class Box:
    """A unit while its sockets are being dealt out."""

    name: str
    role: UnitRole
    column: HostColumn | SatelliteColumn
    state: ClockState
    used_in: dict[Kind, set[int]] = field(
        default_factory=lambda: {kind: set() for kind in KINDS}
    )
    used_out: dict[Kind, set[int]] = field(
        default_factory=lambda: {kind: set() for kind in KINDS}
    )
    clock: ClockSetting | None = None

    def take_in(self, kind: Kind, socket: int) -> int:
        """Mark an input socket as used."""
        self.used_in[kind].add(socket)
        return socket

    def first_in(self, kind: Kind) -> int:
        """Use the first free input socket of `kind`."""
        return self.take_in(kind, _free(self.used_in[kind]))

    def last_in(self, kind: Kind) -> int:
        """Use the last free live input socket of `kind`, to leave the first for audio."""
        live = range(1, self.column.at_rate.inputs[kind] + 1)
        return self.take_in(kind, max(n for n in live if n not in self.used_in[kind]))

    def first_out(self, kind: Kind) -> int:
        """Use the first free output socket of `kind`."""
        socket = _free(self.used_out[kind])
        self.used_out[kind].add(socket)
        return socket

    def left_out(self, kind: Kind) -> int:
        """Live output sockets of `kind` that are still free."""
        return self.column.at_rate.outputs[kind] - len(self.used_out[kind])


def _free(used: set[int]) -> int:
    return next(n for n in range(1, len(used) + 2) if n not in used)


def decode(problem: Problem, counted: Counted) -> Rig:
    """The finished rig of a solution."""
    boxes = _boxes(counted)
    wires = [*_audio(boxes), *_clock(boxes, counted.routes)]
    units = _units(problem, boxes)
    roles = {unit.name: unit.role for unit in units}
    wired = with_cables(problem, counted.packs, wires, roles)
    links = derive_links(units, wired, problem.rate_hz)
    seating = seated(problem.needs, units, links)
    bought = purchases(problem, counted.packs, seating.units, links)
    placed = orders(bought, problem.catalogue, problem.needs.exchange)
    return Rig(
        rate_hz=problem.rate_hz,
        units=seating.units,
        links=links,
        inputs=seating.inputs,
        purchases=bought,
        clock_hops=max(box.state.hop for box in boxes),
        total=paid(bought, placed),
        orders=placed,
        split_pairs=seating.split_pairs,
    )


def _boxes(counted: Counted) -> list[Box]:
    """Hosts by slot, then what is joined to them, then the rest."""
    states = {
        work: [state for state, number in given.items() for _ in range(number)]
        for work, given in counted.clocked.items()
    }
    boxes = [
        Box(f"host-{number}", "host", column, states[column.signature].pop(0))
        for number, column in enumerate(counted.hosts, 1)
    ]
    numbers: Counter[str] = Counter()
    for column in sorted(counted.satellites, key=_order):
        role: UnitRole = "clock" if column.device.role == "clock" else "expander"
        for _ in range(counted.satellites[column]):
            numbers[role] += 1
            state = states[column.signature].pop(0)
            boxes.append(Box(f"{role}-{numbers[role]}", role, column, state))
    return boxes


def _order(column: SatelliteColumn) -> tuple[object, ...]:
    wiring = column.wiring
    joined = wiring.slot if wiring.slot is not None else 10**6
    links = (-wiring.links, wiring.cut_link, *(wiring.returns[kind] for kind in AUDIO_KINDS))
    return joined, wiring.kind is None, column.device.id, wiring.kind or "", *links


def _audio(boxes: list[Box]) -> list[Wire]:
    """Links of audio, and the returns that feed outputs, with the clock they share."""
    hosts = {b.column.slot: b for b in boxes if isinstance(b.column, HostColumn)}
    joined = [
        (box, box.column, hosts[box.column.wiring.slot])
        for box in boxes
        if isinstance(box.column, SatelliteColumn) and box.column.wiring.slot is not None
    ]
    wires = [wire for each in joined for wire in _sent(*each)]
    return wires + [wire for each in joined for wire in _returned(*each)]


def _sent(box: Box, column: SatelliteColumn, host: Box) -> list[Wire]:
    kind = column.wiring.kind
    if kind is None or not isinstance(host.column, HostColumn):
        return []
    wires = []
    for link in range(1, column.wiring.links + 1):
        if link == column.wiring.cut_link:
            to_socket = host.take_in(kind, host.column.at_rate.visible.whole[kind] + 1)
        else:
            to_socket = host.first_in(kind)
        wires.append(Wire(kind, box.name, box.first_out(kind), host.name, to_socket))
    shares = host.state == ClockState(Lock("shared", kind), box.state.hop + 1)
    if shares and host.clock is None:
        host.clock = ClockSetting(kind, wires[0].to_socket, box.name)
    return wires


def _returned(box: Box, column: SatelliteColumn, host: Box) -> list[Wire]:
    wires = []
    for kind in AUDIO_KINDS:
        for _ in range(column.wiring.returns[kind]):
            socket = box.first_in(kind)
            wires.append(Wire(kind, host.name, host.first_out(kind), box.name, socket))
            if box.state.lock == Lock("shared", kind) and box.clock is None:
                box.clock = ClockSetting(kind, socket, host.name)
    return wires


def _clock(boxes: list[Box], routes: dict[ClockRoute, int]) -> list[Wire]:
    """Links for clock alone; every unit that needs one gets the next that is given."""
    standing: dict[int, list[Box]] = defaultdict(list)
    for box in boxes:
        column = box.column
        standing[column.slot if isinstance(column, HostColumn) else RACK].append(box)
    wires = []
    for route, number in routes.items():
        senders = [b for b in standing[route.sender] if b.state.hop == route.hop - 1]
        state = ClockState(Lock("alone", route.kind), route.hop)
        waiting = [b for b in standing[route.receiver] if b.clock is None and b.state == state]
        for receiver in waiting[:number]:
            sender = next(b for b in senders if b.left_out(route.kind) > 0)
            out, socket = sender.first_out(route.kind), receiver.last_in(route.kind)
            receiver.clock = ClockSetting(route.kind, socket, sender.name)
            # Towards a host this cable is for clock; towards an expander it may feed outputs.
            audio = receiver.role != "host"
            wires.append(Wire(route.kind, sender.name, out, receiver.name, socket, None, audio))
    return wires


def _units(problem: Problem, boxes: list[Box]) -> tuple[Unit, ...]:
    left = {box.column.device.id: problem.owned(box.column.device.id) for box in boxes}
    units = []
    for box in boxes:
        device = box.column.device
        there = left[device.id] > 0
        left[device.id] -= there
        clock = box.clock or ClockSetting("internal")
        units.append(Unit(box.name, device, box.role, clock, there))
    return tuple(units)
