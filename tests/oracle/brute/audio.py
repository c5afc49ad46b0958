"""Ways to send audio to the hosts, to feed outputs, and what then arrives.

A channel reaches the computer because it is a host's own or because its expander sends it;
`Squad.arriving` is where another way would be added.
"""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from tests.oracle.brute.boxes import Boxes
from tests.oracle.brute.panel import Panel

Wire = tuple[int, int, str]
"""From box, to box, format. Of a duplex cable the box with the lower number comes first."""

Wires = Counter[Wire]


@dataclass(frozen=True)
class Sending:
    """Where an expander's audio goes: `links` cables of one format to one host."""

    host: int
    format: str
    links: int


Plan = tuple[Sending | None, ...]
"""One entry for each box; None for hosts, clocks and expanders that send nothing."""

Feeds = dict[Wire, int]
"""Cables from a host to an expander, in that order whatever the format, that feed outputs."""


class Audio:
    """Sendings and feedings of one multiset of boxes."""

    def __init__(self, boxes: Boxes, panels: list[Panel], out_line: int) -> None:
        self.boxes, self.panels, self.out_line = boxes, panels, out_line
        self.all = range(len(boxes))
        self.hosts = [i for i in self.all if boxes[i].role == "host"]
        self.expanders = [i for i in self.all if boxes[i].role == "expander"]
        self.formats = panels[0].formats
        self.width = {
            form.id: form.carries(panels[0].m)
            for form in self.formats.values()
            if form.carries(panels[0].m)
        }

    def wire(self, u: int, v: int, form: str) -> Wire:
        """A cable that carries something from u to v."""
        if self.formats[form].duplex and u > v:
            return v, u, form
        return u, v, form

    def wires(self, plan: Plan, feeds: Feeds) -> Wires:
        """All cables of a plan and its feeds: a duplex cable does for both ways."""
        found: Wires = Counter()
        for i, sending in enumerate(plan):
            if sending:
                found[self.wire(i, sending.host, sending.format)] += sending.links
        for wire, links in feeds.items():
            at = self.wire(*wire)
            found[at] = max(found[at], links) if self.formats[wire[2]].duplex else links
        return found

    # Sending.

    def plans(self) -> list[Plan]:
        """Every way to send audio, fewest links first."""
        options = [self.sendings(i) for i in self.all]
        plans = [plan for plan in itertools.product(*options) if self.in_order(plan)]
        return sorted(plans, key=lambda plan: sum(s.links for s in plan if s))

    def sendings(self, i: int) -> list[Sending | None]:
        """Every way in which one box can send."""
        options: list[Sending | None] = [None]
        if i not in self.expanders:
            return options
        for host, (form, width) in itertools.product(self.hosts, self.width.items()):
            useful = -(-self.panels[i].analogue // width)
            most = min(
                useful, self.panels[i].count("out", form), self.panels[host].count("in", form)
            )
            options += [Sending(host, form, links) for links in range(1, most + 1)]
        return options

    def in_order(self, plan: Plan) -> bool:
        """Equal boxes stand next to each other; only one order of their sendings counts."""
        marks = [(s.host, s.format, s.links) if s else (-1, "", 0) for s in plan]
        return all(
            self.boxes[i] != self.boxes[i + 1] or marks[i] <= marks[i + 1]
            for i in self.expanders
            if i + 1 in self.expanders
        )

    def sent(self, i: int, sending: Sending, rooms: tuple[int, ...]) -> tuple[int, ...]:
        """Channels of box i that arrive where each link in turn has so much room."""
        width = self.width[sending.format]
        channels = [
            link * width + place
            for link, room in enumerate(rooms)
            for place in range(1, room + 1)
        ]
        return tuple(channel for channel in channels if channel <= self.panels[i].analogue)

    # Outputs.

    def feedings(self, plan: Plan) -> Iterator[Feeds]:
        """Cables from hosts to expanders that make up the line outputs."""
        own = sum(self.boxes[h].device.line_out for h in self.hosts)
        if own >= self.out_line:
            yield {}
            return
        for choice in itertools.product(*(self.feeds(i, plan) for i in self.expanders)):
            if own + sum(outputs for outputs, _ in choice) >= self.out_line:
                yield {wire: links for _, feeds in choice for wire, links in feeds.items()}

    def feeds(self, i: int, plan: Plan) -> list[tuple[int, Feeds]]:
        """Ways to feed one expander: its outputs that count, and the cables it takes.

        It is fed by one host, the one that it sends to if it sends.
        """
        sending, outputs = plan[i], self.boxes[i].device.line_out
        ways: list[tuple[int, Feeds]] = [(0, {})]
        for host in [sending.host] if sending else self.hosts:
            counts = [
                range(min(self.panels[host].count("out", f), self.panels[i].count("in", f)) + 1)
                for f in self.width
            ]
            for links in itertools.product(*counts):
                parts = [n * w for n, w in zip(links, self.width.values(), strict=True)]
                if any(links) and self.all_needed(links, sum(parts), outputs):
                    feeds = {
                        (host, i, form): n
                        for form, n in zip(self.width, links, strict=True)
                        if n
                    }
                    ways.append((min(sum(parts), outputs), feeds))
        return ways

    def all_needed(self, links: tuple[int, ...], fed: int, outputs: int) -> bool:
        """Whether each cable feeds an output that the others do not."""
        widths = [w for n, w in zip(links, self.width.values(), strict=True) if n]
        return all(fed - width < outputs for width in widths)
