"""The case, finished: the wired rig, what it must do, what is at hand, what costs money.

After this module nothing is looked up, defaulted or converted any more.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from rigopt.catalogue.types import Cable, SocketRef
from rigopt.facts import ANALOGUE, RATE_MULTIPLIER, TEE, Format
from rigopt.needs.types import Needs
from rigopt.optimiser.problem.problem import Problem
from rigopt.optimiser.questions.repair.analogue import FAR, Analogue, Line
from rigopt.optimiser.questions.repair.numbers import Numbers
from rigopt.optimiser.questions.repair.routes import Ends, Place, Route, chains, routes, turned
from rigopt.rig.chains import fitted
from rigopt.rig.numbering import converted
from rigopt.rig.sockets import Socket, sockets
from rigopt.rig.types import Link, Unit, ref


@dataclass(frozen=True)
class Case:
    """A rig to repair. `judged`: whether the needs were given, or stand for none.

    `links` are the digital cables, `lines` the analogue ones, way by way. `relaxed` names what
    is left out of the needs, to find out what stands in the way. `occupied`: channels where
    something is plugged in that the needs do not know of.
    """

    units: tuple[Unit, ...]
    links: tuple[Link, ...]
    problem: Problem
    judged: bool
    relaxed: frozenset[str] = field(default=frozenset())
    lines: tuple[Link, ...] = ()
    occupied: frozenset[tuple[str, int]] = frozenset()

    @property
    def needs(self) -> Needs:
        """What is asked of the rig."""
        return self.problem.needs

    @property
    def rate_hz(self) -> int:
        """The rate of the repaired rig."""
        return self.problem.rate_hz

    def asks(self, need: str) -> bool:
        """Whether a need of that name is to be met."""
        return self.judged and need not in self.relaxed

    @cached_property
    def hosts(self) -> tuple[Unit, ...]:
        """The hosts, in the order of the units."""
        return tuple(unit for unit in self.units if unit.role == "host")

    @cached_property
    def expanders(self) -> tuple[Unit, ...]:
        """The expanders, in the order of the units."""
        return tuple(unit for unit in self.units if unit.role == "expander")

    @cached_property
    def analogue(self) -> Analogue:
        """Where lines can go, and the pieces that are there."""
        shelf = None if "cables" in self.relaxed else self.leads_sold
        return Analogue(self.units, self.lines, shelf, self.judged, self.occupied)

    @property
    def leads_sold(self) -> tuple[Cable, ...]:
        """Analogue cables that can be bought or are owned."""
        return self.shelf(ANALOGUE)

    def line_mm(self, line: Line) -> int:
        """The run of an analogue line."""
        return self.needs.run_mm(self.by_name[line.sender].role, self.by_name[line.taker].role)

    @cached_property
    def numbers(self) -> dict[str, Numbers]:
        """What each host shows the computer."""
        return {host.name: Numbers(host.device, self.rate_hz) for host in self.hosts}

    @cached_property
    def by_name(self) -> dict[str, Unit]:
        """The units by name."""
        return {unit.name: unit for unit in self.units}

    @cached_property
    def place(self) -> dict[str, int]:
        """The place of each unit in their order."""
        return {unit.name: place for place, unit in enumerate(self.units)}

    def tree(self, host: str) -> str:
        """The host that names the clock tree of a host: all are in one, or each in its own."""
        return host if self.needs.own_clocks else self.hosts[0].name

    @property
    def max_hops(self) -> int:
        """Most links from a clock master to any unit."""
        chain = len(self.units) - 1
        return min(chain, self.needs.max_hops) if self.asks("hops") else chain

    @cached_property
    def word_inputs(self) -> int:
        """Most word inputs on one output; without needs, no fewer than hang on one now."""
        if self.judged:
            return self.needs.word_inputs
        hanging = [link.start for link in self.links if chains(link.format)]
        return max([self.needs.word_inputs, *map(hanging.count, hanging)])

    def run_mm(self, ends: Ends) -> int:
        """The run of a cable between two units."""
        one, other = self.by_name[ends.start.unit], self.by_name[ends.end.unit]
        return self.needs.run_mm(one.role, other.role)

    def carries(self, row: Format) -> int:
        """Audio channels of one link of a format."""
        return row.carries(RATE_MULTIPLIER[self.rate_hz])

    def sent(self, unit: Unit) -> int:
        """Channels that an expander can send: 1 to this."""
        return converted(unit.device, RATE_MULTIPLIER[self.rate_hz])

    # --- sockets and cables --------------------------------------------------------------

    @cached_property
    def sockets(self) -> dict[str, Mapping[SocketRef, Socket]]:
        """The live sockets of each unit."""
        return {
            unit.name: {socket.ref: socket for socket in self._sockets(unit)}
            for unit in self.units
        }

    def _sockets(self, unit: Unit) -> tuple[Socket, ...]:
        """None of a unit that is analogue alone here."""
        digital = unit.role in ("host", "expander", "clock")
        return tuple(sockets(unit.device, self.rate_hz)) if digital else ()

    def socket(self, place: Place) -> Socket:
        """The live socket at a place."""
        return self.sockets[place.unit][place.socket]

    @cached_property
    def routes(self) -> tuple[Route, ...]:
        """Every way for a cable that could be of use."""
        tees = "cables" in self.relaxed or self.shelf(TEE) or any(t for t, _ in self.fitted)
        return tuple(routes(self.units, self.sockets, self.rate_hz, bool(tees)))

    @cached_property
    def at(self) -> dict[Place, list[Route]]:
        """The routes that take each socket; one that begins at a T-piece takes none there."""
        found: dict[Place, list[Route]] = defaultdict(list)
        for route in self.routes:
            found[route.end].append(route)
            if not route.tee:
                found[route.start].append(route)
        return found

    def taken(self, place: Place) -> list[Route]:
        """The routes that take a socket."""
        return self.at.get(place, [])

    @cached_property
    def ends(self) -> tuple[Ends, ...]:
        """Where each given cable begins and ends."""
        return tuple(self._ends(link) for link in self.links)

    def _ends(self, link: Link) -> Ends:
        start, end = Place(*link.start), Place(*link.end)
        if link.format.duplex:
            one, _ = turned(self.by_name[start.unit], self.by_name[end.unit])
            return Ends(start, end) if one.name == start.unit else Ends(end, start)
        if link.after is None:
            return Ends(start, end)
        before = (x for x in self.links if (x.start, x.to_unit) == (link.start, link.after))
        leading = next(before, None)
        # Where no cable comes in any more, it hangs at the first word input.
        number = leading.to_socket if leading else 1
        return Ends(Place(link.after, ref(link.format, "in", number)), end, tee=True)

    @cached_property
    def staying(self) -> tuple[tuple[Route, ...], ...]:
        """The routes on which each given cable would stay where it is."""
        found: dict[Ends, list[Route]] = defaultdict(list)
        for route in self.routes:
            found[route.ends].append(route)
        return tuple(tuple(found.get(ends, ())) for ends in self.ends)

    @cached_property
    def fitted(self) -> list[tuple[bool, bool]]:
        """Whether a T-piece, and a terminator, is there where each given cable ends."""
        return fitted(self.units, self.links)

    def meant(self, unit: Unit) -> int:
        """Channels that its cables were to bring to a host, whatever is wrong with them."""
        ways: dict[tuple[str, str], int] = {}
        for link, ends in zip(self.links, self.ends, strict=True):
            if ends.start.unit == unit.name and self._carries_audio(link, ends):
                way = (ends.end.unit, link.format.id)
                ways[way] = ways.get(way, 0) + self.carries(link.format)
        return min(self.sent(unit), max(ways.values(), default=0))

    def _carries_audio(self, link: Link, ends: Ends) -> bool:
        """Whether a cable is meant to bring audio to a host.

        One that the file gives nothing but clock to carry, or audio back, is not, where it
        does its work.
        """
        roles = (self.by_name[ends.start.unit].role, self.by_name[ends.end.unit].role)
        other = link.carries == ("clock",) or (link.back > 0 and not link.channels)
        return roles == ("expander", "host") and not (other and self.whole(link))

    def whole(self, link: Link) -> bool:
        """Whether both sockets of a cable are there and speak its format."""
        places = (Place(*link.start), Place(*link.end))
        there = [self.sockets[place.unit].get(place.socket) for place in places]
        apart = link.from_unit != link.to_unit
        return apart and all(s is not None and link.format in s.formats for s in there)

    # --- pieces of cable -------------------------------------------------------------

    @cached_property
    def kinds(self) -> tuple[str, ...]:
        """The kinds of cable that are of use, in the order of the formats."""
        return tuple(dict.fromkeys(route.format.cable for route in self.routes))

    def length(self, link: Link) -> int:
        """Length of the piece on a cable; without needs, or a name, it is as it is."""
        return link.cable.length_mm if link.cable and self.judged else FAR

    def piece_kind(self, link: Link) -> str:
        """The kind that its piece is, which may be another than that of its sockets."""
        return link.cable.kind if link.cable else link.format.cable

    def usable(self, link: Link) -> bool:
        """Whether its piece is any good: not longer than its kind works."""
        cable = link.cable
        rows = self.problem.catalogue.formats.values()
        return cable is None or any(
            row.cable == cable.kind and row.reaches(cable.length_mm) for row in rows
        )

    def fits(self, index: int) -> bool:
        """Whether the piece of a given cable may stay where it is."""
        link, ends = self.links[index], self.ends[index]
        right = self.piece_kind(link) == link.format.cable
        return right and self.usable(link) and self.length(link) >= self.run_mm(ends)

    def shelf(self, kind: str) -> tuple[Cable, ...]:
        """Cables of a kind that can be bought or are owned."""
        return self.problem.cables_of(kind)

    def unplugged(self, cable: Cable) -> int:
        """Pieces that are owned and not in the rig."""
        used = sum(link.pieces.count(cable) for link in self.links)
        used += sum(lead.cable == cable for lead in self.analogue.leads)
        return max(0, self.problem.owned(cable.id) - used)

    # --- size ------------------------------------------------------------------------

    @property
    def size(self) -> int:
        """About how many variables the model has, counted without making them."""
        ways = [
            (row.id, unit.name, socket.duplex or socket.ref.way == "out")
            for unit in self.units
            for socket in self.sockets[unit.name].values()
            for row in socket.formats
        ]
        outs: dict[str, int] = defaultdict(int)
        ins: dict[str, int] = defaultdict(int)
        for row, _, out in ways:
            (outs if out else ins)[row] += 1
        digital = sum(max(outs[row], 1) * max(ins[row], outs[row]) for row in {*outs, *ins})
        ends = (self.analogue.outs, self.analogue.inlets)
        leaving, entering = (sum(map(len, there.values())) for there in ends)
        return digital + leaving * entering
