"""Units, each with its column, its clock state and the ends of its links."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Container, Mapping, Sequence
from dataclasses import dataclass, field

from rigopt.catalogue.types import SocketRef
from rigopt.facts import Format
from rigopt.optimiser.decode.deal import deal
from rigopt.optimiser.model.variables import RACK, Counted, Site
from rigopt.optimiser.problem.analogue import Face
from rigopt.optimiser.problem.columns import Column, HostColumn, SatelliteColumn
from rigopt.optimiser.problem.problem import Problem
from rigopt.optimiser.problem.signatures import ClockState, Lock, OwnSockets
from rigopt.rig.sockets import Socket
from rigopt.rig.types import ClockSetting, Unit, UnitRole


@dataclass(eq=False)
class End:
    """One end of a link at a unit: what it wants of a socket, and the one it gets.

    `arrives`: channels that must reach the computer from there; `locks`: the unit takes its
    clock there; `alone`: from a link that is there for nothing else. `wish`: the number of
    the socket that it had before.
    """

    row: Format
    arrives: int = 0
    locks: bool = False
    alone: bool = False
    wish: int | None = None
    socket: SocketRef | None = None

    @property
    def number(self) -> int:
        """The number of its socket."""
        assert self.socket is not None
        return self.socket.number

    @property
    def moved(self) -> bool:
        """Whether it has another socket than before."""
        return self.wish not in (None, self.number)


Sockets = Mapping[tuple[str, str], tuple[int, ...]]
"""Numbers of the sockets that the links of a unit have at a host, by host and format."""

Serves = Callable[[End, Socket], bool]


@dataclass(eq=False)
class Box:
    """A unit while its sockets are being dealt out; it is named later.

    `wishes`: where its links to a host were before.
    """

    role: UnitRole
    column: Column
    site: Site
    state: ClockState | None
    name: str = ""
    ins: list[End] = field(default_factory=list)
    outs: list[End] = field(default_factory=list)
    clock: tuple[End, Box] | None = None
    wishes: Sockets = field(default_factory=dict)

    @property
    def place(self) -> int:
        """The slot of a host, or RACK."""
        return self.column.slot if isinstance(self.column, HostColumn) else RACK

    def hears(
        self, row: Format, arrives: int = 0, locks: bool = False, alone: bool = False
    ) -> End:
        """A new end of a link that comes in."""
        end = End(row, arrives, locks, alone)
        self.ins.append(end)
        return end

    def sends(self, row: Format) -> End:
        """A new end of a link that goes out."""
        end = End(row)
        self.outs.append(end)
        return end

    def spare(self) -> list[Socket]:
        """Sockets that are left to hand the clock on by."""
        column = self.column
        if isinstance(column, HostColumn):
            return [s for s in column.sockets.mode if s.ref.way == "out" or s.duplex]
        own = OwnSockets(column.wiring, column.mode)
        assert self.state is not None
        lock = self.state.lock
        takes = [s for s in own.left_out if s.duplex and _speak_of(s, lock)]
        left = [s for s in own.left_out if not takes or s is not takes[-1]]
        return sorted(left, key=_number)

    def can_deal(self) -> bool:
        """Whether there is a socket for every end."""
        try:
            self.deal()
        except LookupError:
            return False
        return True

    def deal(self) -> None:
        """Give every end a socket: inputs, those for clock alone from the last; outputs.

        Outputs in the order of the sockets, since by that channels are counted.
        """
        if isinstance(self.column, HostColumn):
            self._deal_host(self.column)
        else:
            self._deal_satellite(self.column)

    def _deal_host(self, column: HostColumn) -> None:
        mode, spoken = column.sockets
        visible = column.at_rate.showing(spoken or {})

        def serves(end: End, socket: Socket) -> bool:
            formats = socket.formats
            if spoken is not None:
                formats = (spoken.get(socket.ref, formats[0]),)
            enough = len(visible.sockets.get(socket.ref, range(0))) >= end.arrives
            return end.row in formats and enough and socket.locks >= end.locks

        ins = [s for s in mode if s.ref.way == "in"]
        ends = [*self.ins, *[e for e in self.outs if e.row.duplex]]

        def dealt(serves: Serves) -> None:
            if spoken:
                _deal_all(ends, ins, serves, spoken)
            else:
                _deal(ends, ins, serves)

        dealt(_as_before(ends, dealt, serves))
        outs = [e for e in self.outs if not e.row.duplex]
        _deal(outs, [s for s in mode if s.ref.way == "out"], _speaks)

    def _deal_satellite(self, column: SatelliteColumn) -> None:
        own = OwnSockets(column.wiring, column.mode)
        sending = self.outs[: column.wiring.links]
        for end, socket in zip(sending, sorted(own.sending, key=_number), strict=True):
            end.socket = socket.ref
        both = [e for e in self.outs[column.wiring.links :] if e.row.duplex]
        _deal([*self.ins, *both], sorted(own.places, key=_number), _hears)
        outs = [e for e in self.outs[column.wiring.links :] if not e.row.duplex]
        _deal(outs, sorted(own.left_out, key=_number), _speaks)


def _as_before(ends: Sequence[End], dealt: Callable[[Serves], None], serves: Serves) -> Serves:
    """What serves where each end in turn keeps the socket that it had, if all fit in so."""
    kept: dict[End, int] = {}

    def keeping(end: End, socket: Socket) -> bool:
        return serves(end, socket) and socket.ref.number == kept.get(end, socket.ref.number)

    for end in ends:
        if end.wish is not None:
            kept[end] = end.wish
            try:
                dealt(keeping)
            except LookupError:
                del kept[end]
    return keeping


def _speak_of(socket: Socket, lock: Lock) -> bool:
    return lock.by == "alone" and any(row.id == lock.format for row in socket.formats)


def _number(socket: Socket) -> SocketRef:
    return socket.ref


def _speaks(end: End, socket: Socket) -> bool:
    return end.row in socket.formats


def _hears(end: End, socket: Socket) -> bool:
    return end.row in socket.formats and socket.locks >= end.locks


def _deal(ends: Sequence[End], sockets: Sequence[Socket], serves: Serves) -> None:
    """The first sockets to links that are there for more than the clock."""
    first = [end for end in ends if not end.alone]
    last = [end for end in ends if end.alone]
    order = list(sockets)
    if last:
        # Dealt together, so that what comes first leaves enough; then from the last socket.
        dealt = deal([*first, *last], order, serves)
        order = [s for s in order if s not in dealt[: len(first)]][::-1]
        for end, socket in zip(first, dealt, strict=False):
            end.socket = socket.ref
        first = last
    for end, socket in zip(first, deal(first, order, serves), strict=True):
        end.socket = socket.ref


def _deal_all(
    ends: Sequence[End], sockets: Sequence[Socket], serves: Serves, held: Container[SocketRef]
) -> None:
    """The same where the host's numbers hang on it that each of `held` has a link.

    Every socket takes an end in turn, or stays empty if it may.

    Raises:
        LookupError: When there is no way to.
    """
    first = [end for end in ends if not end.alone]
    last = [end for end in ends if end.alone]
    if len(ends) > len(sockets):
        raise LookupError("there are more links than sockets")
    places = [*first, *[None] * (len(sockets) - len(ends)), *reversed(last)]

    def takes(socket: Socket, end: End | None) -> bool:
        return socket.ref not in held if end is None else serves(end, socket)

    for socket, end in zip(sockets, deal(sockets, places, takes), strict=True):
        if end is not None:
            end.socket = socket.ref


def boxes(counted: Counted) -> list[Box]:
    """Hosts by slot, then what is joined to them, then the rest."""
    states = {
        signature: [state for state, number in given.items() for _ in range(number)]
        for signature, given in counted.clocked.items()
    }
    senders = {bunch.stub.site for bunch, _ in counted.joined.lines}
    places: Counter[Face] = Counter()

    def box(column: Column) -> Box:
        site = Site(column.face, places[column.face])
        places[site.face] += 1
        signature = column.signature
        state = None if signature is None else states[signature].pop(0)
        return Box(_role(column, site in senders), column, site, state)

    satellites = sorted(counted.satellites.items(), key=lambda item: _order(item[0]))
    wired = [column for column, number in satellites for _ in range(number)]
    return [*map(box, counted.hosts), *map(box, wired)]


def _role(column: Column, sends: bool) -> UnitRole:
    """Its role in the rig; one of which only direct outs are used is a preamp."""
    if isinstance(column, HostColumn):
        return "host"
    role = column.device.role
    if role in ("clock", "preamp", "di", "headphones"):
        return role
    return "preamp" if sends and column.wiring.idle else "expander"


def _order(column: SatelliteColumn) -> tuple[object, ...]:
    wiring = column.wiring
    joined = wiring.slot if wiring.slot is not None else 10**6
    row = wiring.format
    sends = (row is None, column.device.id, row.id if row else "", -wiring.links)
    returns = sorted(wiring.returns.items())
    return joined, *sends, wiring.cut_link, wiring.cut, returns, wiring.mute, wiring.idle


def units(problem: Problem, found: Sequence[Box]) -> tuple[Unit, ...]:
    """The finished units, without 48 V; what is owned is used first."""
    left = {box.column.device.id: problem.owned(box.column.device.id) for box in found}
    made = []
    for box in found:
        device = box.column.device
        there = left[device.id] > 0
        left[device.id] -= there
        made.append(Unit(box.name, device, box.role, _setting(box), there))
    return tuple(made)


def _setting(box: Box) -> ClockSetting | None:
    """None where no clock is needed: it is no host and nothing is joined to it."""
    if not (box.ins or box.outs or box.role == "host"):
        return None
    if box.clock is None:
        return ClockSetting("internal")
    end, sender = box.clock
    return ClockSetting(end.row.socket, end.number, sender.name)
