"""What a file says of a rig, whichever its form: values parsed, nothing derived yet.

Every part knows its `place` in the file, for messages.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from rigopt.catalogue.types import Cable, Device
from rigopt.facts import SocketKind
from rigopt.rig.types import Load, UnitRole
from rigopt.rig.wired import StatedInput

ClockSource = Literal["internal", "optical", "coax", "word", "trunk"]

MOST_UNITS: Final = 1_000
MOST_LINKS: Final = 5_000
MOST_SOCKET: Final = 1_000
MOST_CHANNEL: Final = 1_000_000


@dataclass(frozen=True, slots=True)
class ClockDraft:
    """A clock setting; where `socket` or `from_unit` is None it follows from the cables."""

    source: ClockSource
    socket: int | None = None
    from_unit: str | None = None


@dataclass(frozen=True, slots=True)
class UnitDraft:
    """A unit; a `role` of None follows from the device and the name."""

    place: str
    name: str
    device: Device
    role: UnitRole | None
    clock: ClockDraft | None
    owned: bool = True
    banks: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class LinkDraft:
    """A cable; what is None follows from everything else.

    `format` by its id. Where it begins at the T-piece `after`, `from_unit` is that unit.
    """

    place: str
    kind: SocketKind
    from_unit: str
    from_socket: int
    to_unit: str
    to_socket: int
    cable: Cable | None = None
    channels: int | None = None
    carries: tuple[Load, ...] | None = None
    back: int | None = None
    format: str | None = None
    after: str | None = None
    tee: Cable | None = None
    terminator: Cable | None = None


@dataclass(frozen=True, slots=True)
class SeatDraft:
    """What is said of one input."""

    place: str
    seat: StatedInput


@dataclass(frozen=True, slots=True)
class Draft:
    """A whole file."""

    title: str = ""
    rate_hz: int | None = None
    units: tuple[UnitDraft, ...] = ()
    links: tuple[LinkDraft, ...] = ()
    seats: tuple[SeatDraft, ...] = ()
