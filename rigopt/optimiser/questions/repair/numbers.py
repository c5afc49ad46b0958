"""What a host shows the computer, where that hangs on what its sockets hold.

A socket that can speak several formats counts the numbers of the one in it. That moves what
comes after it in the row, and matters only where the row is cut.
"""

from __future__ import annotations

from functools import cached_property

from rigopt.catalogue.types import Device, SocketRef
from rigopt.facts import Format
from rigopt.rig.numbering import visible_inputs
from rigopt.rig.sockets import sockets


class Numbers:
    """The numbers of one host at a rate."""

    def __init__(self, device: Device, rate_hz: int) -> None:
        self.device, self.rate_hz = device, rate_hz
        self.base = visible_inputs(device, rate_hz)

    @cached_property
    def changing(self) -> tuple[SocketRef, ...]:
        """Input sockets that may hold another format than their first, in the row's order;
        none where the row is not cut.
        """
        if self.base.row <= self.base.total:
            return ()
        several = {s.ref for s in sockets(self.device, self.rate_hz) if len(s.formats) > 1}
        return tuple(socket for socket in self.base.sockets if socket in several)

    def before(self, socket: SocketRef | None) -> int:
        """How many of `changing` come before a socket, or before its own channels."""
        if socket is not None:
            row = list(self.base.sockets)
            return sum(row.index(other) < row.index(socket) for other in self.changing)
        order = self.device.input_order
        own = order.index("analogue")
        return sum(order.index(other.kind) < own for other in self.changing)

    def own(self, others: int) -> int:
        """Its own channels that are seen, if `others` before them hold another format."""
        return len(visible_inputs(self.device, self.rate_hz, self._holding(others)).own)

    def seen(self, socket: SocketRef, row: Format, others: int) -> int:
        """Numbers of a socket that holds `row`, if `others` before it hold another format."""
        spoken = {**self._holding(others), socket: row}
        return len(visible_inputs(self.device, self.rate_hz, spoken).sockets[socket])

    def _holding(self, others: int) -> dict[SocketRef, Format]:
        speaks = {s.ref: s.formats for s in sockets(self.device, self.rate_hz)}
        return {socket: speaks[socket][-1] for socket in self.changing[:others]}
