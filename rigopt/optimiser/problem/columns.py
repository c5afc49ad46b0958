"""What is counted: each way in which a type can stand in a rig.

Units of one type are interchangeable, so the model does not number them. It counts how
many stand in each *column*: device type and wiring (which host, how many links of which
format). Hosts are few and are told apart by a slot. The clock is counted apart from that
(see `signatures`).
"""

from __future__ import annotations

from collections.abc import Callable, Container, Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import ClassVar

from rigopt.catalogue.types import ACCEPTS, Device, Plug
from rigopt.optimiser.problem.analogue import Face
from rigopt.optimiser.problem.at_rate import DeviceAtRate
from rigopt.optimiser.problem.ports import Hosting, Sockets, Use, hostings
from rigopt.optimiser.problem.problem import Problem
from rigopt.optimiser.problem.signatures import Clocks, ClockSignature, OwnSockets
from rigopt.optimiser.problem.wirings import Wiring, cuts, fed, wirings
from rigopt.rig.sockets import Socket


@dataclass(frozen=True, eq=False)
class HostColumn:
    """A type in a host slot, in one way of using its sockets."""

    at_rate: DeviceAtRate
    slot: int
    hosting: Hosting
    sockets: Sockets
    signature: ClockSignature
    plugs: frozenset[tuple[Plug, Plug]] = frozenset()
    """Plugs that analogue cables join."""

    direct: ClassVar[tuple[int, ...]] = ()
    """A host's own channels are at the computer already."""

    @cached_property
    def device(self) -> Device:
        """The type."""
        return self.at_rate.device

    @cached_property
    def arriving(self) -> range:
        """Channel numbers that reach the computer."""
        return range(1, self.hosting.own + 1)

    @cached_property
    def inlets(self) -> tuple[int, ...]:
        """Channels that arrive and that a direct out may be plugged into."""
        return inlets(self)

    @cached_property
    def face(self) -> Face:
        """What analogue cables find in it."""
        device, arriving = self.device, tuple(self.arriving)
        return Face(device.id, device, True, False, arriving, self.direct, self.inlets)

    @cached_property
    def line_outs(self) -> int:
        """Line outputs of use."""
        return self.device.line_out

    @cached_property
    def microphones(self) -> int:
        """Channels that take a microphone and reach the computer."""
        return microphones(self)


@dataclass(frozen=True, eq=False)
class SatelliteColumn:
    """A type that is no host, wired in one way. Without a link it needs no clock."""

    at_rate: DeviceAtRate
    wiring: Wiring
    mode: tuple[Socket, ...]
    """Sockets that are in use together."""
    signature: ClockSignature | None
    plugs: frozenset[tuple[Plug, Plug]] = frozenset()
    """Plugs that analogue cables join."""

    @cached_property
    def device(self) -> Device:
        """The type."""
        return self.at_rate.device

    @cached_property
    def arriving(self) -> tuple[int, ...]:
        """Channel numbers that reach the computer."""
        wiring = self.wiring
        if wiring.format is None:
            return ()
        width = self.at_rate.carries(wiring.format)
        numbers: list[int] = []
        for link in range(1, wiring.audio + 1):
            seen = wiring.cut if link == wiring.cut_link else width
            first = (link - 1) * width + 1
            numbers += range(first, min(first + seen - 1, self.at_rate.analogue) + 1)
        return tuple(numbers)

    @cached_property
    def direct(self) -> tuple[int, ...]:
        """Channels that do not arrive, and that a direct out carries."""
        device = self.device
        if not any(device.direct_plug == plug for plug, _ in self.plugs):
            return ()
        return tuple(n for n in device.direct_channels if n not in self.arriving)

    @cached_property
    def inlets(self) -> tuple[int, ...]:
        """Channels that arrive and that a direct out may be plugged into."""
        return inlets(self)

    @cached_property
    def face(self) -> Face:
        """What analogue cables find in it."""
        device, idle = self.device, self.wiring.idle
        return Face(device.id, device, False, idle, self.arriving, self.direct, self.inlets)

    @cached_property
    def line_outs(self) -> int:
        """Line outputs that links from its host feed."""
        return 0 if self.wiring.mute else fed(self.wiring.feeding, self.at_rate)

    @cached_property
    def microphones(self) -> int:
        """Channels that take a microphone and reach the computer."""
        return microphones(self)

    def locks_sending(self, link: int) -> bool:
        """Whether it can take its clock from its link of that number to the host."""
        own = OwnSockets(self.wiring, self.mode)
        return sorted(own.sending, key=lambda s: s.ref)[link - 1].locks

    @cached_property
    def uses(self) -> tuple[tuple[Use, int], ...]:
        """What its links want of the host's sockets."""
        row = self.wiring.format
        return tuple(self.wiring.uses(self.at_rate.carries(row) if row else 0))


Column = HostColumn | SatelliteColumn


def inlets(column: Column) -> tuple[int, ...]:
    """Channels that arrive, take line, and have a plug that some cable suits."""
    device = column.device
    if not any(device.line_plug == plug for _, plug in column.plugs):
        return ()
    lines = device.taking("line")
    return tuple(n for n in column.arriving if n in lines)


def microphones(column: Column) -> int:
    """Channels that take a microphone and reach the computer."""
    kinds = column.device.channel_kinds
    return sum("mic" in ACCEPTS[kinds[number - 1]] for number in column.arriving)


def host_columns(problem: Problem) -> Iterator[HostColumn]:
    """Every way in which a type can be a host."""
    clocks = Clocks(problem, problem.hosts)
    for host in problem.hosts:
        for hosting, sockets in hostings(host).items():
            for slot in problem.slots:
                signature = clocks.of_host(host, slot, hosting)
                if signature.internal or signature.shared or signature.alone:
                    yield HostColumn(host, slot, hosting, sockets, signature, problem.plugs)


def satellite_columns(
    problem: Problem,
    hosts: Sequence[HostColumn],
    wanted: Mapping[str, Container[Wiring]] | None = None,
) -> Iterator[SatelliteColumn]:
    """Every way in which a type can stand in the rig without being a host, beside these.

    `wanted`: only of these types, and only if it sends one of these.
    """
    clocks = Clocks(problem, tuple(dict.fromkeys(host.at_rate for host in hosts)))
    cut = cuts((host.hosting, host.at_rate) for host in hosts)
    for satellite in problem.satellites:
        if wanted is not None and satellite.id not in wanted:
            continue
        sending = None if wanted is None else wanted[satellite.id]
        seen: set[tuple[Wiring, ClockSignature | None]] = set()
        for mode in satellite.modes:
            known: dict[Hashable, OwnSockets] = {}
            for wiring in wirings(problem, satellite, mode, cut, sending):
                own = known.get(wiring.own)
                if own is None:
                    own = known[wiring.own] = OwnSockets(wiring, mode)
                signature = clocks.of_satellite(satellite, wiring, own)
                if (wiring, signature) in seen or not _stands(wiring, signature):
                    continue
                seen.add((wiring, signature))
                yield SatelliteColumn(satellite, wiring, mode, signature, problem.plugs)


def _stands(wiring: Wiring, signature: ClockSignature | None) -> bool:
    """Whether its sockets suffice, and there is something to take the clock from."""
    if signature is None:
        return wiring.idle
    return bool(signature.own_clock or signature.shared or signature.alone)


@dataclass(frozen=True, slots=True)
class Columns:
    """The columns that a model counts."""

    hosts: Sequence[HostColumn]
    satellites: Sequence[SatelliteColumn]

    def __len__(self) -> int:
        return len(self.hosts) + len(self.satellites)

    def only(self, wanted: Callable[[Column], bool]) -> Columns:
        """Those that are wanted."""
        return Columns(
            [column for column in self.hosts if wanted(column)],
            [column for column in self.satellites if wanted(column)],
        )
