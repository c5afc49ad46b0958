"""Direct outs into inputs for line, and the pieces of cable that join them.

used[v,b,c] = 1 if channel c of v, which is build b, leaves by its direct out; taken[u,b,c] = 1
if input c of u takes one. A *side* is where channels leave or enter a place by one sort of
plug, or by one D-sub connector; lines[s,t]: channels from side s to side t. A *bundle* is
lines that may share pieces; pieces[bundle,i]: pieces of cable i in it.
"""

from __future__ import annotations

from collections import defaultdict
from typing import NamedTuple

from rigopt.catalogue.types import Cable
from tests.oracle.mip.audio import Audio
from tests.oracle.mip.builds import Build
from tests.oracle.mip.linear import Linear, Terms, ones, times, total
from tests.oracle.mip.units import Units

CONNECTOR = 8
"""Channels of a D-sub connector."""

MOST_MM = 30_000

Channel = tuple[int, str, int]
"""Place, name of the build, channel from 1."""


class Side(NamedTuple):
    """Where channels leave or enter; `connector` from 0 is that of a D-sub, -1 else."""

    place: int
    plug: str
    connector: int


class Bundle(NamedTuple):
    """Lines from one side by one far plug; into one connector if that is a D-sub."""

    out: Side
    plug: str
    into: Side | None

    @property
    def single(self) -> bool:
        """One piece must do."""
        return "dsub" in (self.out.plug, self.plug)


class Lines:
    """Channels that come by direct outs, and the cables for them."""

    def __init__(self, lin: Linear, units: Units, audio: Audio) -> None:
        self.lin, self.units, self.audio = lin, units, audio
        cables = units.catalogue.cables.values()
        self.leads = [c for c in cables if c.kind == "analogue" and c.length_mm <= MOST_MM]
        self.used: dict[Channel, int] = {}
        self.taken: dict[Channel, int] = {}
        self.places: dict[tuple[bool, Side, int], list[int]] = defaultdict(list)
        """Of each place of a side, out or in: the variables of its channels."""
        if self.leads:
            for v in units.others:
                self.outs(v)
            for u in units.places:
                self.inlets(u)
        self.lines: dict[tuple[Side, Side], int] = {}
        self.pieces: dict[tuple[Bundle, str], int] = {}
        self.joined()

    def outs(self, v: int) -> None:
        """The direct outs of place v: only of channels that do not arrive otherwise."""
        for b in self.units.builds(v):
            for number, c in enumerate(b.outs):
                used = self.used[v, b.name, c] = self.lin.variable()
                self.lin.within({used: 1}, {self.units.x[v, b.name]: 1})
                self.lin.row(total({used: 1}, self.audio.reaches(v, b, c)), most=1)
                self.stand(True, v, b.device.direct_plug, number, used)

    def inlets(self, u: int) -> None:
        """The inputs of place u that take line and arrive."""
        for b in self.units.builds(u):
            for number, c in enumerate(b.taking("line")):
                reaches = self.audio.reaches(u, b, c)
                if reaches:
                    taken = self.taken[u, b.name, c] = self.lin.variable()
                    self.lin.within({taken: 1}, {self.units.x[u, b.name]: 1})
                    self.lin.within({taken: 1}, reaches)
                    self.stand(False, u, b.device.line_plug, number, taken)

    def stand(self, out: bool, place: int, plug: str, number: int, channel: int) -> None:
        """A channel in its place of a side."""
        connector, pin = divmod(number, CONNECTOR) if plug == "dsub" else (-1, number)
        self.places[out, Side(place, plug, connector), pin].append(channel)

    def channels(self, out: bool, side: Side) -> Terms:
        """How many channels of a side are used or taken."""
        return ones(
            column
            for (way, one, _), columns in self.places.items()
            if (way, one) == (out, side)
            for column in columns
        )

    def joined(self) -> None:
        """Every direct out that is used goes to one input that is taken, by a piece."""
        ends = {cable.ends for cable in self.leads}
        outs = sorted({side for out, side, _ in self.places if out})
        ins = sorted({side for out, side, _ in self.places if not out})
        bundles: dict[Bundle, dict[Side, int]] = defaultdict(dict)
        for out in outs:
            for into in ins:
                if out.place != into.place and (out.plug, into.plug) in ends:
                    line = self.lines[out, into] = self.lin.variable(most=100)
                    one = into if into.plug == "dsub" else None
                    bundles[Bundle(out, into.plug, one)][into] = line
        for side in outs:
            ways = ones(line for (out, _), line in self.lines.items() if out == side)
            self.lin.equal(self.channels(True, side), ways)
        for side in ins:
            ways = ones(line for (_, into), line in self.lines.items() if into == side)
            self.lin.equal(self.channels(False, side), ways)
        for bundle, lines in bundles.items():
            self.bundle(bundle, lines)
        for side in (*outs, *ins):
            self.connector(side)

    def bundle(self, bundle: Bundle, lines: dict[Side, int]) -> None:
        """Ways enough among the pieces, for each run among those that are long enough."""
        fit = [c for c in self.leads if c.ends == (bundle.out.plug, bundle.plug)]
        for cable in fit:
            most = 1 if bundle.single else 100
            self.pieces[bundle, cable.id] = self.lin.variable(most=most)
        runs = {into: self.run(into.place) for into in lines}
        for run in set(runs.values()):
            served = ones(line for into, line in lines.items() if runs[into] >= run)
            ways = {self.pieces[bundle, c.id]: c.ways for c in fit if c.length_mm >= run}
            self.lin.within(served, {column: float(n) for column, n in ways.items()})
        if bundle.out.plug == "dsub" and bundle.into is not None:
            self.pin_by_pin(bundle.out, bundle.into, self.laid(bundle))

    def run(self, u: int) -> int:
        """The length that a cable to u has to have from where there is no host."""
        needs = self.units.needs
        return needs.host_to_rack_mm if u in self.units.hosts else needs.within_rack_mm

    def laid(self, bundle: Bundle) -> Terms:
        """Pieces in a bundle."""
        return ones(piece for (one, _), piece in self.pieces.items() if one == bundle)

    def pin_by_pin(self, out: Side, into: Side, piece: Terms) -> None:
        """A piece between two D-sub connectors joins equal places."""
        for pin in range(CONNECTOR):
            leaves = ones(self.places.get((True, out, pin), ()))
            enters = ones(self.places.get((False, into, pin), ()))
            for one, other in ((leaves, enters), (enters, leaves)):
                self.lin.row(total(one, times(-1, other), piece), most=1)

    def connector(self, side: Side) -> None:
        """A D-sub connector takes one piece."""
        if side.plug == "dsub":
            for end in ("out", "into"):
                mine = [p for (b, _), p in self.pieces.items() if getattr(b, end) == side]
                self.lin.row(ones(mine), most=1)

    def at(self, u: int, b: Build, c: int) -> tuple[Terms, Terms]:
        """1 if channel c of u leaves by its direct out; 1 if it takes one."""
        used, taken = self.used.get((u, b.name, c)), self.taken.get((u, b.name, c))
        return {} if used is None else {used: 1.0}, {} if taken is None else {taken: 1.0}

    def of(self, cable: Cable) -> list[int]:
        """All pieces of a cable."""
        return [piece for (_, item), piece in self.pieces.items() if item == cable.id]

    def count(self) -> Terms:
        """All pieces."""
        return ones(self.pieces.values())
