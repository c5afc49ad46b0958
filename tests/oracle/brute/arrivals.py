"""What reaches the computer, for each way to plug audio into the hosts.

`Arrivals.channels` is where another way for a channel to arrive would be added.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from functools import cache

from rigopt.facts import OPTICAL_STEREO
from tests.oracle.brute.audio import Audio, Plan, Sending
from tests.oracle.brute.demands import Demands
from tests.oracle.brute.panel import End, Panel

Room = tuple[int, tuple[tuple[int, ...], ...]]
"""A host's own channels that reach the computer, and the room of each link of each sender."""

Ends = tuple[End, ...]


class Arrivals:
    """Channels that arrive from one multiset of boxes, and whether they serve the sources."""

    def __init__(self, audio: Audio, demands: Demands) -> None:
        self.audio, self.hosts, self.panels = audio, audio.hosts, audio.panels
        self.demands = demands
        self.rooms = cache(self._rooms)

    def possible(self) -> bool:
        """Whether the sources could be served if every channel arrived."""
        return self.served([tuple(range(1, back.analogue + 1)) for back in self.panels])

    def served(self, channels: list[tuple[int, ...]]) -> bool:
        """Whether these channels of each box serve all sources."""
        devices = [back.device for back in self.panels]
        return self.demands.served(list(zip(devices, channels, strict=True)))

    def most(self, plan: Plan, ends: dict[int, Ends]) -> int | None:
        """The most microphone-capable channels that can arrive; None if they do not do.

        `ends`: all cable ends at each host.
        """
        return self.best_of(plan, [self.rooms(host, plan, ends[host]) for host in self.hosts])

    def hoped_for(self, plan: Plan) -> int | None:
        """The same before clocks: stereo clock cables may be in free sockets, or none."""
        return self.best_of(plan, [self.rooms(host, plan) for host in self.hosts])

    def best_of(self, plan: Plan, per_host: list[frozenset[Room]]) -> int | None:
        """The most microphone-capable channels that serve all sources, of these rooms."""
        counts = [
            self.microphones(channels)
            for choice in itertools.product(*per_host)
            if self.served(channels := self.channels(plan, choice))
        ]
        return max(counts, default=None)

    def microphones(self, channels: list[tuple[int, ...]]) -> int:
        """How many of these channels of each box take a microphone."""
        return sum(
            sum(back.takes_microphone[channel - 1] for channel in own)
            for back, own in zip(self.panels, channels, strict=True)
        )

    def channels(self, plan: Plan, rooms: tuple[Room, ...]) -> list[tuple[int, ...]]:
        """The channels of each box that reach the computer."""
        found: list[tuple[int, ...]] = [()] * len(self.panels)
        for host, (own, senders) in zip(self.hosts, rooms, strict=True):
            found[host] = tuple(range(1, own + 1))
            for (i, sending), links in zip(self.senders(host, plan), senders, strict=True):
                found[i] = self.audio.sent(i, sending, links)
        return found

    def senders(self, host: int, plan: Plan) -> list[tuple[int, Sending]]:
        """Who sends to a host."""
        return [(i, s) for i, s in enumerate(plan) if s and s.host == host]

    def _rooms(self, host: int, plan: Plan, ends: Ends | None = None) -> frozenset[Room]:
        """Each way to plug audio into a host, by what of it reaches the computer.

        `ends`: all cable ends at the host; without them, whatever they may come to be.
        """
        senders, back = self.senders(host, plan), self.panels[host]
        if back.max_in is None:
            full = tuple((self.audio.width[s.format],) * s.links for _, s in senders)
            return frozenset([(back.analogue, full)])
        if ends is not None:
            return frozenset(plugged(back, senders, ends, frozenset()))
        audio = tuple(
            End("both" if self.audio.formats[s.format].duplex else "in", s.format, (i, number))
            for i, s in senders
            for number in range(s.links)
        )
        return frozenset(plugged(back, senders, audio, back.stereo_inputs))


def plugged(
    back: Panel, senders: list[tuple[int, Sending]], ends: Ends, free: frozenset[int]
) -> Iterator[Room]:
    """What arrives, each way to plug in; each audio cable has to have some room.

    `free`: optical inputs in which there may be stereo cables besides.
    """
    for places in back.placings(ends):
        sockets = [back.sockets[at] for at in places]
        into = {
            s.number: e
            for e, s in zip(ends, sockets, strict=True)
            if e.way == "in" and s.kind == "optical"
        }
        stereo = {number for number, end in into.items() if end.format == OPTICAL_STEREO}
        for more in subsets(free - set(into)):
            visible = back.visible(frozenset(stereo | more))
            room = {
                end.mark: visible[socket.kind, socket.number]
                for end, socket in zip(ends, sockets, strict=True)
                if end.mark
            }
            if all(room.values()):
                links = tuple(tuple(room[i, n] for n in range(s.links)) for i, s in senders)
                yield visible["analogue", 0], links


def subsets(things: frozenset[int]) -> Iterator[set[int]]:
    """All subsets."""
    for size in range(len(things) + 1):
        yield from map(set, itertools.combinations(sorted(things), size))
