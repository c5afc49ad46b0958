"""Which unit stands in which column of the picture, and which cable ends at which edge.

Hosts and clock units are the core that most cables lead to; all others stand beside it. So
nearly every cable joins neighbouring columns.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from rigopt.output.facts.cables import Bundle
from rigopt.output.words.wiring import end_sockets, start_sockets
from rigopt.rig.types import Link, Rig, Unit

Form = Literal["wide", "narrow"]
Side = Literal["left", "right"]
Columns = tuple[tuple[Unit, ...], ...]

BESIDE: Final = ("expander", "preamp", "di", "headphones")
"""Roles of the units that stand beside the core."""

ONE_COLUMN: Final = 4
"""Units that stand in one column beside the core; more stand on both sides of it."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where a unit stands: its column from the left and its rank from the top, from 0."""

    column: int
    rank: int


@dataclass(frozen=True, slots=True)
class CableEnd:
    """One end of line `number` of the picture, counted from 1, at the edge of a unit."""

    number: int
    bundle: Bundle
    outgoing: bool
    side: Side
    partner: Place

    @property
    def link(self) -> Link:
        """Its link, or the first of several."""
        return self.bundle.first

    @property
    def unit(self) -> str:
        """The unit it is at; a cable of a word-clock chain begins at the T-piece before."""
        return origin(self.link) if self.outgoing else self.link.to_unit

    @property
    def socket(self) -> str:
        """The socket's name: 'optical out 1', 'trunk socket 1', 'direct out 1–8'."""
        return start_sockets(self.bundle) if self.outgoing else end_sockets(self.bundle)


def origin(link: Link) -> str:
    """The unit at which a cable begins: its sender, or the one at whose T-piece it hangs."""
    return link.after or link.from_unit


def columns(rig: Rig, form: Form) -> Columns:
    """The units of each column from the left, each from the top; no column is empty."""
    core = _with_role(rig, "host") + _with_role(rig, "clock")
    beside = tuple(unit for role in BESIDE for unit in _with_role(rig, role))
    if form == "narrow":
        return (_with_role(rig, "host") + beside + _with_role(rig, "clock"),)
    half = (len(beside) + 1) // 2 if len(beside) > ONE_COLUMN else 0
    return tuple(part for part in (beside[:half], core, beside[half:]) if part)


def places(placed: Columns) -> dict[str, Place]:
    """The place of every unit by its name."""
    return {
        unit.name: Place(column, rank)
        for column, units in enumerate(placed)
        for rank, unit in enumerate(units)
    }


def ends(
    found: Sequence[Bundle], where: Mapping[str, Place]
) -> tuple[tuple[CableEnd, CableEnd], ...]:
    """Both ends of each line, the outgoing first."""
    last = max(place.column for place in where.values())
    pairs = []
    for number, bundle in enumerate(found, start=1):
        source, target = where[origin(bundle.first)], where[bundle.first.to_unit]
        pairs.append(
            (
                CableEnd(number, bundle, True, _side(source, target, last), target),
                CableEnd(number, bundle, False, _side(target, source, last), source),
            )
        )
    return tuple(pairs)


def _with_role(rig: Rig, role: str) -> tuple[Unit, ...]:
    return tuple(unit for unit in rig.units if unit.role == role)


def _side(at: Place, partner: Place, last: int) -> Side:
    """The edge that faces the partner; within a column, the edge that faces another one.

    A column alone has its cables on the right.
    """
    if at.column != partner.column:
        return "right" if partner.column > at.column else "left"
    return "left" if at.column == last > 0 else "right"
