"""What is counted: each way in which a type can stand in a rig.

Units of one type are interchangeable, so the model does not number them. It counts how
many stand in each *column*: device type and wiring (which host, how many links of which
kind). Hosts are few and are told apart by a slot. The clock is counted apart from that
(see `signatures`).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from rigopt.catalogue.types import Device
from rigopt.optimiser.problem import signatures
from rigopt.optimiser.problem.at_rate import DeviceAtRate
from rigopt.optimiser.problem.problem import Problem
from rigopt.optimiser.problem.signatures import ClockSignature, lockable
from rigopt.optimiser.problem.wirings import Wiring, cuts, fed, wirings


@dataclass(frozen=True, eq=False)
class HostColumn:
    """A type in a host slot."""

    at_rate: DeviceAtRate
    slot: int
    signature: ClockSignature

    @property
    def device(self) -> Device:
        """The type."""
        return self.at_rate.device

    @property
    def arriving(self) -> range:
        """Channel numbers that reach the computer."""
        return self.at_rate.visible.own

    @property
    def line_outs(self) -> int:
        """Line outputs of use."""
        return self.device.line_out


@dataclass(frozen=True, eq=False)
class SatelliteColumn:
    """A type that is no host, wired in one way."""

    at_rate: DeviceAtRate
    wiring: Wiring
    signature: ClockSignature

    @property
    def device(self) -> Device:
        """The type."""
        return self.at_rate.device

    @cached_property
    def arriving(self) -> tuple[int, ...]:
        """Channel numbers that reach the computer."""
        wiring = self.wiring
        if wiring.kind is None:
            return ()
        width = self.at_rate.width[wiring.kind]
        numbers: list[int] = []
        for link in range(1, wiring.links + 1):
            seen = wiring.cut if link == wiring.cut_link else width
            first = (link - 1) * width + 1
            numbers += range(first, min(first + seen - 1, self.device.analogue) + 1)
        return tuple(numbers)

    @cached_property
    def line_outs(self) -> int:
        """Line outputs that its return links feed."""
        return fed(self.wiring.returns, self.at_rate)


def host_columns(problem: Problem) -> Iterator[HostColumn]:
    """Every way in which a type can be a host."""
    taken = lockable(problem)
    for host in problem.hosts:
        for slot in problem.slots:
            yield HostColumn(host, slot, signatures.of_host(problem, host, slot, taken))


def satellite_columns(problem: Problem) -> Iterator[SatelliteColumn]:
    """Every way in which a type can stand in the rig without being a host."""
    taken, cut = lockable(problem), cuts(problem)
    for satellite in problem.satellites:
        for wiring in wirings(problem, satellite, cut):
            signature = signatures.of_satellite(problem, satellite, wiring, taken)
            if signature.internal or signature.shared or signature.alone:
                yield SatelliteColumn(satellite, wiring, signature)


@dataclass(frozen=True, slots=True)
class Columns:
    """The columns that a model counts."""

    hosts: Sequence[HostColumn]
    satellites: Sequence[SatelliteColumn]

    def __len__(self) -> int:
        return len(self.hosts) + len(self.satellites)

    def only(self, wanted: Callable[[HostColumn | SatelliteColumn], bool]) -> Columns:
        """Those that are wanted."""
        return Columns(
            [column for column in self.hosts if wanted(column)],
            [column for column in self.satellites if wanted(column)],
        )
