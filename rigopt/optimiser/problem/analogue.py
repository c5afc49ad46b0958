"""Direct outs and the inputs that take them, grouped by what a cable has to suit."""

from __future__ import annotations

from dataclasses import dataclass

from rigopt.catalogue.types import ACCEPTS, DSUB_WAYS, Device, Plug
from rigopt.optimiser.problem.columns import Column, HostColumn


@dataclass(frozen=True, slots=True, order=True)
class Tap:
    """Direct outs of a unit that are free: their plug, and how many it has of them.

    No tuple: it must not be equal to an inlet of the same plug.
    """

    plug: Plug
    free: int


@dataclass(frozen=True, slots=True, order=True)
class Inlet:
    """An input for direct outs: its plug, and whether it is a host's."""

    plug: Plug
    host: bool


Place = Tap | Inlet | None
"""What an analogue cable may do with a channel."""

Cell = tuple[str, Place]
"""A channel as the sources see it: its kind, and its place."""


def tap(column: Column) -> Tap | None:
    """The direct outs of a unit that are free."""
    return Tap(column.device.direct_plug, len(column.direct)) if column.direct else None


def cells(column: Column) -> dict[int, Cell]:
    """Every channel that arrives or could by a direct out, by its number."""
    kinds = column.device.channel_kinds
    inlet = Inlet(column.device.line_plug, isinstance(column, HostColumn))
    into = frozenset(column.inlets)
    found: dict[int, Cell] = {
        number: (kinds[number - 1], inlet if number in into else None)
        for number in column.arriving
    }
    found |= {number: (kinds[number - 1], tap(column)) for number in column.direct}
    return found


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
