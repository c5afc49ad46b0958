"""What each cable of a rig carries: from bare wires to finished links.

Towards a host, audio goes from one expander to one host in one format. Where the wires
would allow several, it is the first host in the order of the units, and the first format
in the order of the table; a caller that wants another sets `audio=False` on the wires that
carry clock alone. From a host, every wire with audio to its expander feeds line outputs as
long as there are any left, whatever `audio` says: it costs nothing. So does one of a duplex
format, unless the two ends run on different clocks and no converter stands between.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from rigopt.catalogue.types import Cable, SocketRef
from rigopt.facts import FORMATS, RATE_MULTIPLIER, Format
from rigopt.rig.numbering import Span, converted, host_spans, split
from rigopt.rig.sockets import Socket, sockets
from rigopt.rig.types import Link, Load, Unit, ref, roots


@dataclass(frozen=True, slots=True)
class Wire:
    """A cable between two sockets; `audio` False: towards a host it is for clock alone."""

    format: Format
    from_unit: str
    from_socket: int
    to_unit: str
    to_socket: int
    cable: Cable | None = None
    audio: bool = True
    after: str | None = None
    tee: Cable | None = None
    terminator: Cable | None = None
    piece: int | None = None

    @property
    def end(self) -> SocketRef:
        """The socket where it ends."""
        return ref(self.format, "in", self.to_socket)


def rank(row: Format) -> tuple[int, str]:
    """The place of a format in the order of the table: the program's own, then trunks."""
    names = list(FORMATS)
    return (names.index(row.id) if row.id in names else len(names)), row.id


def derive_links(
    units: Sequence[Unit], wires: Sequence[Wire], rate_hz: int
) -> tuple[Link, ...]:
    """`wires` in their order, each with the channels in use on it and what it carries.

    A wire on a socket that is absent, or dead at `rate_hz`, or does not speak its format, has
    no channels. Clock is on a wire exactly if a unit at its end is locked to its socket.

    Raises:
        KeyError: When a wire names a unit that is not among `units`.
    """
    by_name = {unit.name: unit for unit in units}
    room = _Room(units, rate_hz)
    live = [wire for wire in wires if room.live(wire)]
    spans = host_spans(units, wires, rate_hz)
    channels: dict[Wire, int] = {}
    back: dict[Wire, int] = {}
    for unit in units:
        if unit.role == "expander":
            sending = _sending(unit, live, spans) if room.converts(unit) else []
            for wire, taken in split(sending, unit.device, rate_hz):
                channels[wire] = min(len(taken), len(spans[wire.to_unit].socket(wire.end)))
            host = sending[0].to_unit if sending else None
            for wire, number in room.fed(unit, host, live, spans).items():
                (back if wire.from_unit == unit.name else channels)[wire] = number
    channels.update((wire, 1) for wire in wires if _direct(wire, by_name))
    return tuple(
        _link(wire, channels.get(wire, 0), back.get(wire, 0), by_name) for wire in wires
    )


def _direct(wire: Wire, units: Mapping[str, Unit]) -> bool:
    """Whether a wire joins a direct out to an input for line, both there."""
    if wire.format.socket != "analogue":
        return False
    outs = len(units[wire.from_unit].device.direct_channels)
    lines = units[wire.to_unit].device.taking("line")
    return wire.from_socket <= outs and wire.to_socket in lines


class _Room:
    """The units with their sockets at the rate, and their clock trees."""

    def __init__(self, units: Sequence[Unit], rate_hz: int) -> None:
        self.multiplier = RATE_MULTIPLIER[rate_hz]
        self.trees = roots(units)
        self.sockets: dict[str, Mapping[SocketRef, Socket]] = {
            unit.name: {socket.ref: socket for socket in sockets(unit.device, rate_hz)}
            for unit in units
        }

    def converts(self, unit: Unit) -> bool:
        """Whether a unit has an analogue input to send at the rate."""
        return converted(unit.device, self.multiplier) > 0

    def live(self, wire: Wire) -> bool:
        """Whether both sockets of a wire are there and speak its format."""
        start = self.sockets[wire.from_unit].get(ref(wire.format, "out", wire.from_socket))
        end = self.sockets[wire.to_unit].get(wire.end)
        return (
            start is not None
            and end is not None
            and wire.format in start.formats
            and wire.format in end.formats
        )

    def fed(
        self, unit: Unit, home: str | None, live: Iterable[Wire], spans: Mapping[str, Span]
    ) -> dict[Wire, int]:
        """Line outputs of the expander that each wire from its host feeds.

        Its host is the one its audio goes to; if it sends none, the one that feeds most of
        them, of equal ones the first in the order of the units. By format in the order of
        the table, then by socket.
        """
        wires = {
            wire: (other, socket)
            for wire in live
            for other, socket in _feeds(wire, unit.name)
            if other in spans
        }
        in_order = sorted(wires, key=lambda wire: (rank(wire.format), wires[wire][1]))
        fed: dict[str, dict[Wire, int]] = {name: {} for name in spans}
        for wire in in_order:
            host, _ = wires[wire]
            if not wire.format.duplex or self._in_time(unit, host, wire):
                left = unit.device.line_out - sum(fed[host].values())
                fed[host][wire] = min(left, wire.format.carries(self.multiplier))
        return fed[home or max(fed, key=lambda name: sum(fed[name].values()))] if fed else {}

    def _in_time(self, unit: Unit, host: str, wire: Wire) -> bool:
        """Whether what comes back over a duplex wire is in time with the unit's clock."""
        tree = self.trees.get(unit.name)
        converts = wire.format.socket in unit.device.rate_converter
        return converts or (tree is not None and tree == self.trees.get(host))


def _feeds(wire: Wire, unit: str) -> Iterator[tuple[str, int]]:
    """From whom a wire could feed a unit, and into which socket; nothing if it could not."""
    if wire.to_unit == unit:
        yield wire.from_unit, wire.to_socket
    elif wire.format.duplex and wire.from_unit == unit:
        yield wire.to_unit, wire.from_socket


def _sending(unit: Unit, live: Iterable[Wire], spans: Mapping[str, Span]) -> list[Wire]:
    """The wires that carry the expander's audio: one host, one format.

    A socket all of whose numbers lie beyond what the computer sees cannot bring audio:
    it is left out before channels are dealt, so that none is wasted on it.
    """
    order = list(spans)
    able = [
        wire
        for wire in live
        if wire.from_unit == unit.name
        and wire.audio
        and wire.to_unit in spans
        and spans[wire.to_unit].socket(wire.end)
    ]
    if not able:
        return []
    host, (_, name) = min((order.index(wire.to_unit), rank(wire.format)) for wire in able)
    return [wire for wire in able if wire.to_unit == order[host] and wire.format.id == name]


def _link(wire: Wire, channels: int, back: int, units: Mapping[str, Unit]) -> Link:
    carries: list[Load] = ["audio"] if channels or back else []
    carries += ["clock"] if _clocked(wire, units) else []
    return Link(
        wire.format,
        wire.from_unit,
        wire.from_socket,
        wire.to_unit,
        wire.to_socket,
        channels,
        tuple(carries),
        wire.cable,
        back,
        wire.after,
        wire.tee,
        wire.terminator,
        wire.piece,
    )


def _clocked(wire: Wire, units: Mapping[str, Unit]) -> bool:
    """Whether a unit is locked to the wire: the one it goes to, or either if it is duplex."""
    ends = [(wire.to_unit, wire.to_socket, wire.from_unit)]
    if wire.format.duplex:
        ends.append((wire.from_unit, wire.from_socket, wire.to_unit))
    return any(
        clock is not None
        and (clock.source, clock.socket) == (wire.format.socket, socket)
        and (not wire.format.duplex or clock.from_unit == other)
        for name, socket, other in ends
        for clock in [units[name].clock]
    )
