"""Direct outs and the inputs that take them, grouped by what a cable has to suit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal, NamedTuple

from rigopt.catalogue.types import ACCEPTS, DSUB_WAYS, Device, Plug


class Tap(NamedTuple):
    """Direct outs of a unit that are free: their plug, and how many it has of them."""

    plug: Plug
    free: int
    way: Literal["out"] = "out"
    """So that none is equal to an inlet."""


class Inlet(NamedTuple):
    """An input for direct outs: its plug, and whether it is a host's."""

    plug: Plug
    host: bool
    way: Literal["in"] = "in"


Place = Tap | Inlet | None
"""What an analogue cable may do with a channel."""

Cell = tuple[str, Place]
"""A channel as the sources see it: its kind, and its place."""

Cells = tuple[Cell, ...]
"""The channels of a bank."""


@dataclass(frozen=True)
class Face:
    """What analogue cables find in a unit: units with the same face are interchangeable to
    them, whatever their columns."""

    id: str
    device: Device = field(compare=False)
    host: bool
    idle: bool
    """Whether it has no digital link."""
    arriving: tuple[int, ...]
    direct: tuple[int, ...]
    inlets: tuple[int, ...]

    @property
    def inlet(self) -> Inlet:
        """What a direct out finds in it."""
        return Inlet(self.device.line_plug, self.host)

    @property
    def tap(self) -> Tap | None:
        """Its direct outs that are free."""
        return Tap(self.device.direct_plug, len(self.direct)) if self.direct else None

    @cached_property
    def cells(self) -> dict[int, Cell]:
        """Every channel that arrives or could by a direct out, by its number."""
        kinds, into = self.device.channel_kinds, frozenset(self.inlets)
        inlet, tap = self.inlet, self.tap
        found: dict[int, Cell] = {
            number: (kinds[number - 1], inlet if number in into else None)
            for number in self.arriving
        }
        return found | {number: (kinds[number - 1], tap) for number in self.direct}

    @cached_property
    def split(self) -> tuple[Mapping[Cells, int], Mapping[Cell, int]]:
        """These channels: banks by composition, and those outside any bank."""
        left = dict(self.cells)
        banks: dict[Cells, int] = {}
        for bank in self.device.bank_channels:
            if found := tuple([left.pop(number) for number in bank if number in left]):
                banks[found] = banks.get(found, 0) + 1
        outside: dict[Cell, int] = {}
        for cell in left.values():
            outside[cell] = outside.get(cell, 0) + 1
        return banks, outside


def needs_off(cell: Cell) -> bool:
    """Whether a direct out in it must find its bank off: an XLR for microphones as well."""
    kind, place = cell
    return isinstance(place, Inlet) and place.plug == "xlr" and "mic" in ACCEPTS[kind]


def connectors(device: Device, source: str) -> tuple[tuple[int, ...], ...]:
    """Channels of each D-sub connector: of the direct outs, or of the inputs for line."""
    numbers = device.direct_channels if source == "mic" else device.taking("line")
    return tuple(
        numbers[first : first + DSUB_WAYS] for first in range(0, len(numbers), DSUB_WAYS)
    )
