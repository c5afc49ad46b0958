"""Where cables can go: every pair of sockets that a cable between them could be of use to.

A cable is of use if it brings channels to a host, feeds line outputs from one, or brings a
clock that its end can lock to. One that begins at a T-piece stands for a cable of a chain of
word inputs.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations, permutations
from typing import NamedTuple

from rigopt.catalogue.types import SocketRef
from rigopt.facts import RATE_MULTIPLIER, Format
from rigopt.rig.links import rank
from rigopt.rig.numbering import converted
from rigopt.rig.sockets import Socket
from rigopt.rig.types import Unit

Sockets = Mapping[SocketRef, Socket]


class Place(NamedTuple):
    """One socket of a unit."""

    unit: str
    socket: SocketRef


class Ends(NamedTuple):
    """Where a cable begins and ends. `tee`: it begins at the T-piece of that word input."""

    start: Place
    end: Place
    tee: bool = False


class Route(NamedTuple):
    """A cable between two sockets, and what it speaks.

    One of a duplex format goes from the expander to the host, or else from the unit that
    comes first.
    """

    format: Format
    ends: Ends

    @property
    def start(self) -> Place:
        """Where it begins."""
        return self.ends.start

    @property
    def end(self) -> Place:
        """Where it ends."""
        return self.ends.end

    @property
    def tee(self) -> bool:
        """Whether it begins at a T-piece."""
        return self.ends.tee

    @property
    def ways(self) -> tuple[tuple[str, Place], ...]:
        """Who sends into which socket."""
        there = (self.start.unit, self.end)
        return (there, (self.end.unit, self.start)) if self.format.duplex else (there,)


def routes(
    units: Sequence[Unit], sockets: Mapping[str, Sockets], rate_hz: int, tees: bool
) -> Iterator[Route]:
    """Every route, by format, units and sockets; `tees`: whether there are T-pieces."""
    formats = {f for there in sockets.values() for s in there.values() for f in s.formats}
    for row in sorted(formats, key=rank):
        choose = combinations(units, 2) if row.duplex else permutations(units, 2)
        for pair in choose:
            one, other = turned(*pair) if row.duplex else pair
            audio = row.carries(RATE_MULTIPLIER[rate_hz]) > 0 and _heard(
                row, one, other, rate_hz
            )
            for start in _speaking(sockets[one.name], row, "out"):
                for end in _speaking(sockets[other.name], row, "in"):
                    locks = end.locks or (row.duplex and start.locks)
                    if audio or (row.clock and locks):
                        ends = Ends(Place(one.name, start.ref), Place(other.name, end.ref))
                        yield Route(row, ends)
    if tees:
        yield from _chained(units, sockets)


def turned(one: Unit, other: Unit) -> tuple[Unit, Unit]:
    """The two ends of a duplex cable: from the expander to the host."""
    return (other, one) if (one.role, other.role) == ("host", "expander") else (one, other)


def _heard(row: Format, one: Unit, other: Unit, rate_hz: int) -> bool:
    """Whether audio of one unit could be of use at the other, or back."""
    sends = converted(one.device, RATE_MULTIPLIER[rate_hz]) > 0
    if (one.role, other.role) == ("expander", "host"):
        return sends or (row.duplex and one.device.line_out > 0)
    return (one.role, other.role) == ("host", "expander") and other.device.line_out > 0


def _speaking(sockets: Sockets, row: Format, way: str) -> list[Socket]:
    """Live sockets of a way that speak a format; one that is both ways is of each."""
    return [
        socket
        for socket in sockets.values()
        if row in socket.formats and (socket.duplex or socket.ref.way == way)
    ]


def _chained(units: Sequence[Unit], sockets: Mapping[str, Sockets]) -> Iterator[Route]:
    """Cables from a T-piece; a fixed end of 75 ohm can only be last."""
    hanging = [
        (unit, socket)
        for unit in units
        for socket in sockets[unit.name].values()
        if socket.locks and chains(socket.formats[0])
    ]
    for (one, start), (other, end) in permutations(hanging, 2):
        if one is not other and one.device.word_end != "fixed":
            ends = Ends(Place(one.name, start.ref), Place(other.name, end.ref), tee=True)
            yield Route(end.formats[0], ends)


def chains(row: Format) -> bool:
    """Whether several inputs can hang on one output: of a format that is clock alone."""
    return not any(row.channels)
