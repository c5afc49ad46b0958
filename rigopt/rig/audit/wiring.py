"""What most rules look at: units, links and the rate, with the questions they share."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from rigopt.facts import FORMATS, Format
from rigopt.rig.audit.forest import Place, forest
from rigopt.rig.types import Link, Unit


class Arrival(NamedTuple):
    """A link as it comes in at a unit: from whom, and into which socket."""

    link: Link
    sender: str
    socket: int


@dataclass(frozen=True, eq=False)
class Wiring:
    """A wired rig without needs or purchases. Names are unique once `names` has passed.

    `own_clocks`: hosts may run on clocks of their own, as the needs say; no one else does.
    """

    units: tuple[Unit, ...]
    links: tuple[Link, ...]
    rate_hz: int
    own_clocks: bool = False

    @cached_property
    def by_name(self) -> dict[str, Unit]:
        """The units by their names."""
        return {unit.name: unit for unit in self.units}

    def unit(self, name: str) -> Unit:
        """The unit of that name.

        Raises:
            KeyError: When there is none.
        """
        return self.by_name[name]

    def of_role(self, role: str) -> Iterator[Unit]:
        """The units that play `role` here, in order."""
        return (unit for unit in self.units if unit.role == role)

    @cached_property
    def linked(self) -> frozenset[str]:
        """Names of the units that have a digital link."""
        return frozenset(name for x in self.links for name in (x.from_unit, x.to_unit))

    def needs_clock(self, unit: Unit) -> bool:
        """Whether it needs a clock: it is a host, or has a digital link."""
        return unit.role == "host" or unit.name in self.linked

    @cached_property
    def clocked(self) -> tuple[Unit, ...]:
        """The units that need a clock."""
        return tuple(unit for unit in self.units if self.needs_clock(unit))

    @cached_property
    def arrivals(self) -> Mapping[str, list[Arrival]]:
        """What comes in at each unit, in the order of the links."""
        found: dict[str, list[Arrival]] = defaultdict(list)
        for link in self.links:
            for sender, receiver, socket in directions(link):
                found[receiver].append(Arrival(link, sender, socket))
        return found

    @cached_property
    def places(self) -> dict[str, Place]:
        """Where in its clock tree each unit hangs whose chain ends in a master."""
        return forest(self.units)


def directions(link: Link) -> Iterator[tuple[str, str, int]]:
    """The ways that something goes over a link: from whom, to whom, into which socket."""
    yield link.from_unit, link.to_unit, link.to_socket
    if link.format.duplex:
        yield link.to_unit, link.from_unit, link.from_socket


def link_name(link: Link) -> str:
    """A link in words, for findings."""
    out, into = ("", "") if link.format.duplex else ("out ", "in ")
    via = f" via {link.after}" if link.after else ""
    return (
        f"{format_name(link.format)} {link.from_unit} {out}{link.from_socket}{via}"
        f" -> {link.to_unit} {into}{link.to_socket}"
    )


def format_name(row: Format) -> str:
    """The kind of its sockets, and the format where that does not say it all."""
    usual = next((r for r in FORMATS.values() if r.socket == row.socket), None)
    return row.socket if row == usual else f"{row.socket} {row.id}"


def step_of(rate_hz: int) -> int:
    """The place of the class of a rate in figures for 1x, 2x and 4x: 0, 1 or 2."""
    return (rate_hz > 48000) + (rate_hz > 96000)


def khz(rate_hz: int) -> str:
    """A rate in the unit people use: 44100 is '44.1 kHz'."""
    return f"{rate_hz / 1000:g} kHz"
