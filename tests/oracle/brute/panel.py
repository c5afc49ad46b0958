"""The sockets of a box at a rate class, and its row of numbers at the computer."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

from rigopt.catalogue.types import ACCEPTS, MANY, Blank, Device, InOut, SocketRef
from rigopt.facts import COAX, LIGHT_PIPE, OPTICAL_STEREO, WORD, Format, SocketKind


@dataclass(frozen=True)
class Socket:
    """One socket that is live at the class.

    `way` is 'in', 'out' or 'both' (duplex). `clock`: the box can lock to it. `groups`: the
    numbers of the `either` groups that it stands in.
    """

    kind: SocketKind
    way: str
    number: int
    formats: frozenset[str]
    clock: bool
    groups: frozenset[int]


class End(NamedTuple):
    """One end of a cable at a box; `mark` tells audio cables apart where it matters."""

    way: str
    format: str
    mark: tuple[int, ...] = ()
    gives_clock: bool = False
    """The box is locked to this cable or to another one that gives clock."""


Part = tuple[str, int]
"""A part of the row of numbers: a block's name, and the socket or 0."""


class Panel:
    """The back of a device at a rate class."""

    def __init__(self, device: Device, formats: Mapping[str, Format], multiplier: int) -> None:
        self.device, self.formats, self.m = device, formats, multiplier
        self.place = ("1x", "2x", "4x")[(1, 2, 4).index(multiplier)]
        self.sockets = [socket for socket in self.all_sockets() if socket.formats]
        self.analogue = min(
            device.analogue,
            {1: MANY, 2: device.analogue_2x, 4: device.analogue_4x}[multiplier],
        )
        self.takes_microphone = ["mic" in ACCEPTS[kind] for kind in device.channel_kinds]
        self.placings = cache(lambda ends: frozenset(self._placings(ends)))
        self.visible = cache(self._visible)

    # Sockets.

    def all_sockets(self) -> Iterator[Socket]:
        """Every socket, dead ones with no format."""
        device = self.device
        ways = "both" if device.trunk and device.trunk.duplex else "in"
        yield from self.some("optical", "in", device.optical_in)
        yield from self.some("optical", "out", device.optical_out)
        yield from self.some("coax", "in", device.coax_in)
        yield from self.some("coax", "out", device.coax_out)
        yield from self.some("word", "in", device.word_in)
        yield from self.some("word", "out", device.word_out)
        yield from self.some("trunk", ways, device.trunk_in)
        yield from self.some("trunk", "out", device.trunk_out)

    def some(self, kind: SocketKind, way: str, count: int) -> Iterator[Socket]:
        """Sockets 1 to `count` of a kind."""
        for number in range(1, count + 1):
            ref = SocketRef(kind, "out" if way == "out" else "in", number)
            groups = {i for i, group in enumerate(self.device.either) if ref in group}
            clock = way != "out" and bool({kind, ref} & set(self.device.clock_in))
            speaks = self.speaks(kind, way, number)
            live = frozenset(f for f in speaks if self.formats[f].live(self.m))
            yield Socket(kind, way, number, live, clock, frozenset(groups))

    def speaks(self, kind: SocketKind, way: str, number: int) -> list[str]:
        """Formats of a socket, as far as the device is concerned."""
        if kind == "word":
            return [WORD]
        if kind == "trunk":
            return [self.device.trunk.id] if self.device.trunk else []
        if kind == "coax":
            limits = {1: MANY, 2: self.device.coax_2x, 4: self.device.coax_4x}
            return [COAX] if number <= limits[self.m] else []
        piped = getattr(self.device, f"optical_{self.place}")
        if isinstance(piped, InOut):
            piped = piped.outputs if way == "out" else piped.inputs
        found = [LIGHT_PIPE] if number <= piped else []
        return [*found, OPTICAL_STEREO] if number <= self.device.optical_stereo else found

    def count(self, way: str, form: str) -> int:
        """Sockets that can be one end of a format; duplex ones are both."""
        return sum(form in s.formats and s.way in (way, "both") for s in self.sockets)

    @property
    def stereo_inputs(self) -> frozenset[int]:
        """Optical inputs that a stereo cable can be in."""
        live = [s for s in self.sockets if s.way == "in" and OPTICAL_STEREO in s.formats]
        return frozenset(socket.number for socket in live)

    def can_lock(self, form: str) -> bool:
        """Whether the device can lock to a cable of a format."""
        return self.formats[form].clock and any(
            socket.clock and form in socket.formats for socket in self.sockets
        )

    def converts(self, form: str) -> bool:
        """Whether the input sockets of a format have rate converters."""
        return self.formats[form].socket in self.device.rate_converter

    # Cables in sockets.

    def fits(self, ends: tuple[End, ...]) -> bool:
        """Whether all these cable ends find sockets."""
        needed = Counter((end.way, end.format) for end in ends)
        enough = all(
            sum(way == s.way and form in s.formats for s in self.sockets) >= count
            for (way, form), count in needed.items()
        )
        return enough and bool(self.placings(ends))

    def _placings(self, ends: tuple[End, ...]) -> Iterator[tuple[int, ...]]:
        """Every way to plug the ends in: positions in `sockets`.

        Ends that are equal are plugged in from left to right.
        """
        yield from self.plug(ends, ())

    def plug(self, ends: tuple[End, ...], taken: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
        """Go on plugging in where `taken` sockets are used."""
        if len(taken) == len(ends):
            if self.locks(ends, taken):
                yield taken
            return
        end = ends[len(taken)]
        again = bool(taken) and ends[len(taken) - 1] == end
        used = [self.sockets[at] for at in taken]
        for at in range(taken[-1] + 1 if again else 0, len(self.sockets)):
            socket = self.sockets[at]
            if at in taken or socket.way != end.way or end.format not in socket.formats:
                continue
            if not any(socket.groups & other.groups for other in used):
                yield from self.plug(ends, (*taken, at))

    def locks(self, ends: tuple[End, ...], taken: tuple[int, ...]) -> bool:
        """Whether the clock comes in on a socket that takes it, if it comes in at all."""
        clocks = [self.sockets[at] for e, at in zip(ends, taken, strict=True) if e.gives_clock]
        return not clocks or any(socket.clock for socket in clocks)

    # Numbers at the computer.

    @property
    def max_in(self) -> int | None:
        """Inputs that the computer can see; None for all."""
        return getattr(self.device, f"max_in_{self.place}")

    def _visible(self, stereo: frozenset[int]) -> dict[Part, int]:
        """Numbers of each part of the row that reach the computer.

        `stereo`: the optical inputs that a stereo cable is in.
        """
        seen: dict[Part, int] = {}
        left = MANY if self.max_in is None else self.max_in
        for part, width in self.row(stereo):
            seen[part] = min(left, width)
            left -= seen[part]
        return seen

    def row(self, stereo: frozenset[int]) -> Iterator[tuple[Part, int]]:
        """The parts of the row in order, with how many numbers each has."""
        for block in self.device.input_order:
            if isinstance(block, Blank):
                yield ("blank", 0), block[(1, 2, 4).index(self.m)]
            elif block == "analogue":
                yield (block, 0), self.analogue
            else:
                for socket in self.sockets:
                    if socket.kind == block and socket.way != "out":
                        yield (block, socket.number), self.width(socket, stereo)

    def width(self, socket: Socket, stereo: frozenset[int]) -> int:
        """Numbers of a live socket: those of the stereo cable in it, else the most it can."""
        if socket.kind == "optical" and socket.number in stereo:
            return self.formats[OPTICAL_STEREO].carries(self.m)
        return max(self.formats[form].carries(self.m) for form in socket.formats)
