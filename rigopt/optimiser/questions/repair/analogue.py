"""The analogue half of a case: where lines can go, and the pieces that are there.

A line is one way of a piece, from a direct out to an input. A *bundle* is what one piece can
be used for: the direct outs of one unit, or of one D-sub connector of it, and inputs with one
plug, or one D-sub connector of them.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from rigopt.catalogue.types import DSUB_WAYS, Cable, Plug
from rigopt.facts import ANALOGUE, FORMATS
from rigopt.rig.types import Link, Unit

FAR: int = 10**9
"""Longer than any run, in millimetres: the length of a piece that nobody measured."""


class Line(NamedTuple):
    """A direct out of a unit, and an input channel of another."""

    sender: str
    out: int
    taker: str
    into: int


class Bundle(NamedTuple):
    """What one piece can be used for; `taker` and the numbers of connectors count where the
    plug is a D-sub.
    """

    sender: str
    start: Plug
    connector: int | None
    plug: Plug
    taker: str | None
    socket: int | None


@dataclass(frozen=True, slots=True)
class Lead:
    """A piece that is there: the lines on it, by place in the case, and where it is at home.

    `home` is None where nothing can go from where it begins to where it ends.
    """

    links: tuple[int, ...]
    cable: Cable | None
    plugs: tuple[Plug, Plug]
    ways: int
    length_mm: int
    home: Bundle | None

    @property
    def usable(self) -> bool:
        """Whether it is any good: an analogue one, not longer than such a cable works."""
        row, cable = FORMATS[ANALOGUE], self.cable
        return cable is None or (cable.kind == row.cable and row.reaches(cable.length_mm))


@dataclass(frozen=True)
class Analogue:
    """The units and lines of a case; `shelf`: cables that can be had, None: any would do.

    `measured`: whether lengths count. `taken`: inputs where something is plugged in already.
    """

    units: Sequence[Unit]
    links: Sequence[Link]
    shelf: Sequence[Cable] | None
    measured: bool
    taken: frozenset[tuple[str, int]]

    @cached_property
    def by_name(self) -> Mapping[str, Unit]:
        """The units by name."""
        return {unit.name: unit for unit in self.units}

    @cached_property
    def outs(self) -> dict[str, tuple[int, ...]]:
        """The channels that the direct outs of each unit carry, direct out 1 first."""
        return {
            unit.name: unit.device.direct_channels
            for unit in self.units
            if unit.role in ("expander", "preamp") and unit.device.has_direct_outs
        }

    @cached_property
    def inlets(self) -> dict[str, tuple[int, ...]]:
        """The input channels of each unit that take line."""
        return {
            unit.name: unit.device.taking("line")
            for unit in self.units
            if unit.role in ("host", "expander")
        }

    @cached_property
    def given(self) -> tuple[Line, ...]:
        """The lines that are there, whether they can be or not."""
        return tuple(Line(*_ends(link)) for link in self.links)

    @cached_property
    def bundles(self) -> dict[Line, Bundle]:
        """Every line that some piece could make, and the bundle that it is in.

        Where something is plugged in already, only a line that is there may be.
        """
        there = set(self.given)
        found = {}
        for line in self._lines():
            bundle = self._bundle(line)
            free = line in there or (line.taker, line.into) not in self.taken
            if bundle is not None and free and self._sold((bundle.start, bundle.plug)):
                found[line] = bundle
        return found

    @cached_property
    def lines(self) -> dict[Bundle, list[Line]]:
        """The lines of each bundle."""
        found: dict[Bundle, list[Line]] = defaultdict(list)
        for line, bundle in self.bundles.items():
            found[bundle].append(line)
        return found

    def _lines(self) -> Iterator[Line]:
        for sender, outs in self.outs.items():
            for taker, inputs in self.inlets.items():
                if sender != taker:
                    for out in range(1, len(outs) + 1):
                        yield from (Line(sender, out, taker, into) for into in inputs)

    def _bundle(self, line: Line) -> Bundle | None:
        """The bundle of a line; None where two D-sub connectors would join unequal places."""
        start = self.by_name[line.sender].device.direct_plug
        plug = self.by_name[line.taker].device.line_plug
        out = divmod(line.out - 1, DSUB_WAYS)
        into = divmod(self.inlets[line.taker].index(line.into), DSUB_WAYS)
        if start == plug == "dsub" and out[1] != into[1]:
            return None
        taker, socket = (line.taker, into[0]) if plug == "dsub" else (None, None)
        return Bundle(
            line.sender, start, out[0] if start == "dsub" else None, plug, taker, socket
        )

    def _sold(self, plugs: tuple[Plug, Plug]) -> bool:
        """Whether there is a piece with such plugs, or could be."""
        if self.shelf is None:
            return True
        return any(cable.ends == plugs for cable in self.shelf) or plugs in self._plugs

    @cached_property
    def _plugs(self) -> frozenset[tuple[Plug, Plug]]:
        return frozenset(self._plugs_of(links) for links in self._pieces)

    @cached_property
    def _pieces(self) -> list[tuple[int, ...]]:
        """The lines of each piece that is there, by place; one piece serves one unit."""
        found: dict[object, list[int]] = defaultdict(list)
        for index, link in enumerate(self.links):
            key = index if link.piece is None else (link.piece, link.from_unit)
            found[key].append(index)
        return [tuple(links) for links in found.values()]

    def _plugs_of(self, links: Sequence[int]) -> tuple[Plug, Plug]:
        """The plugs of a piece; of one that nobody names, those that fit where it is."""
        first = self.links[links[0]]
        if first.cable is not None and first.cable.ends is not None:
            return first.cable.ends
        sender, taker = self.by_name[first.from_unit], self.by_name[first.to_unit]
        return sender.device.direct_plug, taker.device.line_plug

    @cached_property
    def leads(self) -> tuple[Lead, ...]:
        """The pieces that are there."""
        found = []
        for links in self._pieces:
            cable, plugs = self.links[links[0]].cable, self._plugs_of(links)
            unnamed = DSUB_WAYS if "dsub" in plugs else len(links)
            homes = (self.bundles.get(self.given[index]) for index in links)
            fits = (home for home in homes if home and (home.start, home.plug) == plugs)
            found.append(
                Lead(
                    links,
                    cable,
                    plugs,
                    unnamed if cable is None else cable.ways,
                    cable.length_mm if cable and self.measured else FAR,
                    next(fits, None),
                )
            )
        return tuple(found)


def _ends(link: Link) -> tuple[str, int, str, int]:
    return link.from_unit, link.from_socket, link.to_unit, link.to_socket
