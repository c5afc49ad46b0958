"""A type of box as it is at the rate of the rig, so that nothing after it asks for the rate."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property, lru_cache

from rigopt.catalogue.types import Device, SocketRef
from rigopt.facts import RATE_MULTIPLIER, Format
from rigopt.rig.numbering import VisibleInputs, converted, visible_inputs
from rigopt.rig.sockets import Socket, modes, sockets


class DeviceAtRate:
    """A device at a rate: its live sockets, and what works together of them.

    At a rate that it does not list it has none: only its direct outs are of use.
    """

    def __init__(self, device: Device, rate_hz: int) -> None:
        self.device, self.rate_hz = device, rate_hz
        self.multiplier = RATE_MULTIPLIER[rate_hz]
        self.runs = device.digital and rate_hz in device.rates_hz
        """Whether it may have digital links, or be a host."""
        self.sockets: tuple[Socket, ...] = sockets(device, rate_hz) if self.runs else ()
        self.analogue = converted(device, self.multiplier)
        """Analogue inputs that are converted; they are channels 1 to this."""

    @cached_property
    def heard(self) -> frozenset[str]:
        """Formats that some socket can lock to, by id."""
        return _clocks(socket for socket in self.sockets if socket.locks)

    @cached_property
    def told(self) -> frozenset[str]:
        """Formats that some socket can hand the clock on by, by id."""
        return _clocks(s for s in self.sockets if s.ref.way == "out" or s.duplex)

    @property
    def id(self) -> str:
        """The id of the device."""
        return self.device.id

    @cached_property
    def modes(self) -> tuple[tuple[Socket, ...], ...]:
        """Sockets that can be in use together, in each of the ways that `either` leaves."""
        if not self.device.either:
            return (self.sockets,)
        return tuple(
            tuple(socket for socket in self.sockets if socket.ref in mode)
            for mode in modes(self.device, self.sockets)
        )

    @cached_property
    def visible(self) -> VisibleInputs:
        """What it shows the computer where no socket holds another than its first format."""
        return self.showing({})

    def showing(self, spoken: dict[SocketRef, Format]) -> VisibleInputs:
        """What it shows the computer where `spoken` says what some sockets hold."""
        return visible_inputs(self.device, self.rate_hz, spoken)

    def carries(self, row: Format) -> int:
        """Audio channels of one link of a format."""
        return row.carries(self.multiplier)

    @cached_property
    def formats(self) -> tuple[Format, ...]:
        """Everything that any of its sockets speaks."""
        return tuple(dict.fromkeys(row for socket in self.sockets for row in socket.formats))


def _clocks(sockets: Iterable[Socket]) -> frozenset[str]:
    return frozenset(row.id for s in sockets for row in s.formats if row.clock)


@lru_cache(maxsize=1 << 12)
def at_rate(device: Device, rate_hz: int) -> DeviceAtRate:
    """A device at a rate; the same one for the same question, which may be asked often."""
    return DeviceAtRate(device, rate_hz)
