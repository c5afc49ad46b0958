"""The case, finished: the wired rig, what it must do, what is at hand, what costs money.

After this module nothing is looked up, defaulted or converted any more.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property

from rigopt.catalogue.types import Cable
from rigopt.facts import AUDIO_KINDS, CABLE_LIMIT_MM, KINDS, Kind, link_channels
from rigopt.needs.types import Needs
from rigopt.optimiser.problem.problem import Problem
from rigopt.rig.numbering import Span, host_spans
from rigopt.rig.types import Link, Unit

FAR: int = 10**9
"""Longer than any run, in millimetres: the length of a piece that nobody measured."""


@dataclass(frozen=True)
class Case:
    """A rig to repair. `judged`: whether the needs were given, or stand for none.

    `relaxed` names what is left out of that, to find out what stands in the way.
    """

    units: tuple[Unit, ...]
    links: tuple[Link, ...]
    problem: Problem
    judged: bool
    relaxed: frozenset[str] = field(default=frozenset())

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
    def spans(self) -> dict[str, Span]:
        """The computer's numbers of every host."""
        return host_spans(self.units, self.rate_hz)

    @cached_property
    def by_name(self) -> dict[str, Unit]:
        """The units by name."""
        return {unit.name: unit for unit in self.units}

    @property
    def max_hops(self) -> int:
        """Most links from the clock master to any unit."""
        chain = len(self.units) - 1
        return min(chain, self.needs.max_hops) if self.asks("hops") else chain

    def run_mm(self, one: str, other: str) -> int:
        """The run of a cable between two units."""
        return self.needs.run_mm(self.by_name[one].role, self.by_name[other].role)

    def live(self, unit: Unit, kind: Kind, way: str) -> int:
        """Sockets of a unit that work at the rate."""
        live = unit.device.live_in if way == "in" else unit.device.live_out
        return live(kind, self.rate_hz)

    def whole(self, link: Link) -> bool:
        """Whether both sockets of a cable are there and work."""
        sender, receiver = self.by_name[link.from_unit], self.by_name[link.to_unit]
        return (
            sender is not receiver
            and 1 <= link.from_socket <= self.live(sender, link.kind, "out")
            and 1 <= link.to_socket <= self.live(receiver, link.kind, "in")
        )

    def brings(self, unit: Unit, kind: Kind, number: int, host: str, socket: int) -> range:
        """Channels of `unit` that arrive if its `number`-th link (from 1) ends there."""
        cap = link_channels(kind, self.rate_hz)
        first = (number - 1) * cap + 1
        seen = len(self.spans[host].socket(kind, socket))
        count = min(cap, seen, unit.device.analogue - first + 1)
        return range(first, first + max(0, count))

    def meant(self, unit: Unit) -> int:
        """Channels that its cables were to bring to a host, whatever is wrong with them."""
        ways: dict[tuple[str, Kind], int] = {}
        for link in self.links:
            if link.from_unit == unit.name and self.carries_audio(link):
                way = (link.to_unit, link.kind)
                ways[way] = ways.get(way, 0) + link_channels(link.kind, self.rate_hz)
        return min(unit.device.analogue, max(ways.values(), default=0))

    def carries_audio(self, link: Link) -> bool:
        """Whether a cable is meant to bring audio to a host.

        One that the file gives nothing but clock to carry is not, where it does its work.
        """
        roles = (self.by_name[link.from_unit].role, self.by_name[link.to_unit].role)
        alone = link.carries == ("clock",) and self.whole(link)
        return roles == ("expander", "host") and link.kind in AUDIO_KINDS and not alone

    # --- pieces of cable -------------------------------------------------------------

    def length(self, link: Link) -> int:
        """Length of the piece on a cable; without needs, or a name, it is as it is."""
        return link.cable.length_mm if link.cable and self.judged else FAR

    def piece_kind(self, link: Link) -> Kind:
        """The kind that its piece is, which may be another than that of its sockets."""
        return link.cable.kind if link.cable else link.kind

    def usable(self, link: Link) -> bool:
        """Whether its piece is any good: not longer than its kind works."""
        cable = link.cable
        return cable is None or cable.length_mm <= CABLE_LIMIT_MM[cable.kind]

    def fits(self, link: Link) -> bool:
        """Whether its piece may stay where it is."""
        run = self.run_mm(link.from_unit, link.to_unit)
        right = self.piece_kind(link) == link.kind and self.length(link) >= run
        return self.usable(link) and right

    def shelf(self, kind: Kind) -> tuple[Cable, ...]:
        """Cables of a kind that can be bought or are owned."""
        return self.problem.cables_of(kind)

    def unplugged(self, cable: Cable) -> int:
        """Pieces that are owned and not in the rig."""
        used = sum(link.cable == cable for link in self.links)
        return max(0, self.problem.owned(cable.id) - used)

    # --- size ------------------------------------------------------------------------

    @property
    def size(self) -> int:
        """About how many variables the model has."""
        pairs = sum(1 for _ in self.pairs())
        ends = sum(self.live(h, k, "in") for h in self.hosts for k in AUDIO_KINDS)
        outs = sum(self.live(x, k, "out") for x in self.expanders for k in AUDIO_KINDS)
        return 2 * pairs + ends * outs

    def pairs(self) -> Iterator[tuple[Unit, Unit, Kind]]:
        """Who could send what to whom."""
        for kind in KINDS:
            senders = [u for u in self.units if self.live(u, kind, "out")]
            receivers = [u for u in self.units if self.live(u, kind, "in")]
            yield from ((x, y, kind) for x in senders for y in receivers if x is not y)
