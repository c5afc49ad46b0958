"""What each cable of a rig carries: from bare wires to finished links.

Towards a host, audio goes from one expander to one host in one format. Where the wires
would allow several, it is the first host in the order of the units, light-pipe before
stereo; a caller that wants another sets `audio=False` on the wires that carry clock
alone. From a host, every light-pipe or stereo wire to its expander feeds line outputs
as long as there are any left, whatever `audio` says: it costs nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from rigopt.catalogue.types import Cable
from rigopt.facts import AUDIO_KINDS, Kind, link_channels
from rigopt.rig.numbering import Span, host_spans, split
from rigopt.rig.types import Link, Load, Unit


@dataclass(frozen=True, slots=True)
class Wire:
    """A cable between two sockets; `audio` False: towards a host it is for clock alone."""

    kind: Kind
    from_unit: str
    from_socket: int
    to_unit: str
    to_socket: int
    cable: Cable | None = None
    audio: bool = True


def derive_links(
    units: Sequence[Unit], wires: Sequence[Wire], rate_hz: int
) -> tuple[Link, ...]:
    """`wires` in their order, each with the channels in use on it and what it carries.

    A wire on a socket that is absent, or dead at `rate_hz`, has no channels. Clock is on
    a wire exactly if the receiving unit is locked to its socket.

    Raises:
        KeyError: When a wire names a unit that is not among `units`.
    """
    by_name = {unit.name: unit for unit in units}
    live = [wire for wire in wires if _is_live(wire, by_name, rate_hz)]
    spans = host_spans(units, rate_hz)
    channels: dict[Wire, int] = {}
    for unit in units:
        if unit.role == "expander":
            sending = _sending(unit, live, spans)
            for wire, taken in split(sending, unit.device, rate_hz):
                numbers = spans[wire.to_unit].socket(wire.kind, wire.to_socket)
                channels[wire] = min(len(taken), len(numbers))
            host = sending[0].to_unit if sending else None
            channels |= _fed(unit, host, live, spans, rate_hz)
    return tuple(_link(wire, channels.get(wire, 0), by_name[wire.to_unit]) for wire in wires)


def _is_live(wire: Wire, by_name: dict[str, Unit], rate_hz: int) -> bool:
    """Whether both sockets of an audio-capable wire are there and carry anything."""
    sends = by_name[wire.from_unit].device.live_out(wire.kind, rate_hz)
    takes = by_name[wire.to_unit].device.live_in(wire.kind, rate_hz)
    return (
        wire.kind in AUDIO_KINDS
        and 1 <= wire.from_socket <= sends
        and 1 <= wire.to_socket <= takes
    )


def _sending(unit: Unit, live: Iterable[Wire], spans: dict[str, Span]) -> list[Wire]:
    """The wires that carry the expander's audio: one host, one format.

    A socket all of whose numbers lie beyond what the computer sees cannot bring audio:
    it is left out before channels are dealt, so that none is wasted on it.
    """
    order = list(spans)
    able = [
        wire
        for wire in live
        if unit.device.analogue
        and wire.from_unit == unit.name
        and wire.audio
        and wire.to_unit in spans
        and spans[wire.to_unit].socket(wire.kind, wire.to_socket)
    ]
    choices = {(order.index(wire.to_unit), AUDIO_KINDS.index(wire.kind)) for wire in able}
    if not choices:
        return []
    host, kind = min(choices)
    return [
        wire for wire in able if wire.to_unit == order[host] and wire.kind == AUDIO_KINDS[kind]
    ]


def _fed(
    unit: Unit, host: str | None, live: Iterable[Wire], spans: dict[str, Span], rate_hz: int
) -> dict[Wire, int]:
    """Line outputs of the expander that each wire from its host feeds.

    Its host is the one its audio goes to; if it sends none, the first host, in the order
    of the units, with a wire to it. Light-pipe before stereo, then by input socket.
    """
    wires = [wire for wire in live if wire.to_unit == unit.name and wire.from_unit in spans]
    joined = {wire.from_unit for wire in wires}
    host = host or next((name for name in spans if name in joined), None)
    fed: dict[Wire, int] = {}
    left = unit.device.line_out
    for wire in sorted(wires, key=lambda w: (AUDIO_KINDS.index(w.kind), w.to_socket)):
        if wire.from_unit == host:
            fed[wire] = min(left, link_channels(wire.kind, rate_hz))
            left -= fed[wire]
    return fed


def _link(wire: Wire, channels: int, to_unit: Unit) -> Link:
    clock = to_unit.clock
    locked = clock.source == wire.kind and clock.socket == wire.to_socket
    carries: list[Load] = ["audio"] if channels else []
    carries += ["clock"] if locked else []
    start, stop = (wire.from_unit, wire.from_socket), (wire.to_unit, wire.to_socket)
    return Link(wire.kind, *start, *stop, channels, tuple(carries), wire.cable)
