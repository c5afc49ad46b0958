"""The sockets of a host, grouped by what a link on them can do.

Sockets that are alike in that are interchangeable, so the model counts how many of each
sort there are and what is wanted of them.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from functools import lru_cache
from typing import Any, Literal, NamedTuple, Protocol

from rigopt.catalogue.types import SocketRef
from rigopt.facts import Format, SocketKind
from rigopt.optimiser.problem.at_rate import DeviceAtRate
from rigopt.rig.numbering import VisibleInputs
from rigopt.rig.sockets import Socket

Side = Literal["in", "out", "both"]


class Port(NamedTuple):
    """Sockets that are alike: for each format they speak, the channels that arrive."""

    kind: SocketKind
    side: Side
    arrives: tuple[tuple[str, int], ...]
    locks: bool = False

    def serves(self, use: Use) -> bool:
        """Whether a link of that use may be on such a socket."""
        if use.side not in (self.side, "both") and self.side != "both":
            return False
        arriving = dict(self.arrives).get(use.format)
        return arriving is not None and arriving >= use.arrives and self.locks >= use.locks

    def covers(self, other: Port) -> bool:
        """Whether it does whatever a socket of another sort does."""
        mine = dict(self.arrives)
        return (
            self.kind == other.kind
            and self.side in (other.side, "both")
            and self.locks >= other.locks
            and all(mine.get(row, -1) >= number for row, number in other.arrives)
        )


class Use(NamedTuple):
    """What a link wants of a host's socket: its format, channels that arrive, the clock."""

    side: Literal["in", "out"]
    format: str
    arrives: int = 0
    locks: bool = False


Ports = tuple[tuple[Port, int], ...]
"""Sorts of socket with how many there are of each."""


class Hosting(NamedTuple):
    """One way for a type to be a host.

    `own`: how many of its own channels arrive; `held`: which of the sockets hold a link of
    another format than their first. It is told only where that moves the computer's numbers
    past the last one that is seen: then it is just these, and else as many as there are.
    """

    own: int
    ports: Ports
    held: Ports = ()

    def serving(self, use: Use) -> int:
        """How many sockets a link of that use may be on."""
        return sum(number for port, number in self.ports if port.serves(use))


class Sockets(NamedTuple):
    """Sockets of a host that can be in use together, and what they hold if that is fixed."""

    mode: tuple[Socket, ...]
    spoken: dict[SocketRef, Format] | None


@lru_cache(maxsize=1 << 12)
def hostings(box: DeviceAtRate) -> dict[Hosting, Sockets]:
    """Every way for a type to be a host that differs from the others."""
    found: dict[Hosting, Sockets] = {}
    for mode in box.modes:
        for spoken in _spoken(box, mode):
            found.setdefault(_hosting(box, mode, spoken), Sockets(mode, spoken))
    return found


def _spoken(
    box: DeviceAtRate, mode: tuple[Socket, ...]
) -> Iterator[dict[SocketRef, Format] | None]:
    """Which sockets hold a second format; None: any, for it makes no difference."""
    several = [s for s in mode if s.ref.way == "in" and len(s.formats) > 1]
    limit = box.device.max_in(box.rate_hz)
    if not several or limit is None or box.visible.row <= limit:
        yield None
        return
    for chosen in _sets(len(several)):
        yield {several[index].ref: several[index].formats[1] for index in chosen}


def _sets(number: int) -> Iterator[tuple[int, ...]]:
    """Sets of sockets of which one of every effect is among them.

    Where the numbers end, in the midst of some socket, it only matters how many before it
    hold the second format, whether it does itself, and how many after it do.
    """
    seen: dict[tuple[int, ...], None] = {}
    for before in range(number):
        for at in range(before, number):
            for itself in (True, False):
                for after in range(number - at):
                    chosen = {*range(before), *range(number - after, number)}
                    chosen |= {at} if itself else set()
                    seen.setdefault(tuple(sorted(chosen)))
    yield from seen


def _hosting(
    box: DeviceAtRate, mode: tuple[Socket, ...], spoken: dict[SocketRef, Format] | None
) -> Hosting:
    visible = box.visible if spoken is None else box.showing(spoken)
    sorts = {socket.ref: _port(box, visible, socket, spoken) for socket in mode}
    ports, held = Counter(sorts.values()), Counter(sorts[ref] for ref in spoken or ())
    return Hosting(len(visible.own), tuple(sorted(ports.items())), tuple(sorted(held.items())))


def _port(
    box: DeviceAtRate,
    visible: VisibleInputs,
    socket: Socket,
    spoken: dict[SocketRef, Format] | None,
) -> Port:
    formats: Iterable[Format] = socket.formats
    if spoken is not None and socket.ref.way == "in":
        formats = [spoken.get(socket.ref, socket.formats[0])]
    numbers = visible.sockets.get(socket.ref, range(0))
    arrives = tuple((row.id, min(box.carries(row), len(numbers))) for row in formats)
    side: Side = "both" if socket.duplex else socket.ref.way
    return Port(socket.ref.kind, side, arrives, socket.locks)


class Coverer(Protocol):
    """A sort of thing that may do whatever another sort does."""

    def __hash__(self) -> int: ...
    def covers(self, other: Any, /) -> bool: ...  # noqa: D102


Sorts = tuple[tuple[Coverer, int], ...]
"""Sorts of thing with how many there are of each."""


@lru_cache(maxsize=1 << 16)
def covers(mine: Sorts, others: Sorts) -> bool:
    """Whether things of some sorts can stand in for those of others, one for one.

    For every set of sorts that others could stand in for: there must be as many of these.
    """
    if mine == others:
        return True
    reach = [
        (frozenset(one for one, _ in mine if one.covers(other)), number)
        for other, number in others
    ]
    there = dict(mine)
    unions: set[frozenset[Coverer]] = set()
    for places, _ in reach:
        unions |= {union | places for union in unions} | {places}
    return all(
        sum(number for places, number in reach if places <= union)
        <= sum(there[one] for one in union)
        for union in unions
    )
