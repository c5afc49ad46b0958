"""Cables, and the sockets that they end in.

only[u,v,f] = 1 if a cable from u to v is there for the clock alone; both[u,v,f], u < v: the
duplex cables of a format between u and v. held[u,b,g,f]: ends of format f in the alike
sockets g of u, which is build b, but for those that are plugged in one by one (audio into a
host). via[u,v,f] = 1 if host v takes its clock from a cable of u that is among the held.
"""

from __future__ import annotations

from collections import defaultdict
from typing import NamedTuple

from tests.oracle.mip.audio import Audio
from tests.oracle.mip.builds import Build, Jack
from tests.oracle.mip.clock import Clock
from tests.oracle.mip.linear import Linear, Terms, ones, times, total
from tests.oracle.mip.units import Units
from tests.oracle.mip.word import Word


class Alike(NamedTuple):
    """Sockets of one build that differ in nothing; one alone if it is in an either group."""

    formats: tuple[str, ...]
    way: str
    locks: bool
    forced: bool
    """They must hold a cable: the build says so."""
    rival: int
    """Which of those in either groups it is; 0 for all others."""


MOST_BOTH = 8
"""More duplex cables than there are between any two units."""


class Cables:
    """Every cable between two places, and a socket for each end."""

    def __init__(
        self, lin: Linear, units: Units, audio: Audio, clock: Clock, word: Word
    ) -> None:
        self.lin, self.units, self.audio, self.clock, self.word = lin, units, audio, clock, word
        self.only: dict[tuple[int, int, str], int] = {}
        self.both: dict[tuple[int, int, str], int] = {}
        self.between()
        for (u, v, form), lock in clock.lock.items():
            if form != "word":
                self.over(u, v, form, lock)
        for u in units.places:
            self.sockets(u)

    # Cables.

    def between(self) -> None:
        """Duplex cables: as many as either way takes."""
        lin, audio, places = self.lin, self.audio, self.units.places
        for form in (f.id for f in self.units.formats.values() if f.duplex):
            for u in places:
                for v in places[u + 1 :]:
                    cables = self.both[u, v, form] = lin.variable(most=MOST_BOTH)
                    for ways in (audio.sent(v, u, form), self.fed(u, v, form)):
                        lin.within(ways, {cables: 1})

    def fed(self, u: int, v: int, form: str) -> Terms:
        """Cables from host u for the outputs of v."""
        feed = self.audio.feed.get((u, v, form))
        return {} if feed is None else {feed: 1.0}

    def over(self, u: int, v: int, form: str, lock: int) -> None:
        """v locked to u: over a cable that is there, or one for the clock alone."""
        if self.units.formats[form].duplex:
            self.lin.within({lock: 1}, self.cables(u, v, form))
            return
        only = self.only[u, v, form] = self.lin.variable()
        self.lin.within({only: 1}, {lock: 1})
        self.lin.within({lock: 1}, self.cables(u, v, form))

    def cables(self, u: int, v: int, form: str) -> Terms:
        """Cables from u to v; duplex ones both ways."""
        if form == "word":
            return self.word.cables(u, v)
        if self.units.formats[form].duplex:
            return {self.both[min(u, v), max(u, v), form]: 1.0}
        only = self.only.get((u, v, form))
        alone = {} if only is None else {only: 1.0}
        return total(self.audio.sent(u, v, form), self.fed(u, v, form), alone)

    def pairs(self, form: str) -> list[tuple[int, int]]:
        """Pairs of places between which cables of a format are counted."""
        duplex = self.units.formats[form].duplex
        places = self.units.places
        return [(u, v) for u in places for v in places if (u < v if duplex else u != v)]

    def wired(self, form: str, far: bool) -> Terms:
        """Cables between a host and another unit, or between any others."""
        hosts = self.units.hosts
        return total(
            *(
                self.cables(u, v, form)
                for u, v in self.pairs(form)
                if ((u in hosts) != (v in hosts)) == far
            )
        )

    # Sockets.

    def sockets(self, u: int) -> None:
        """Each cable end of place u in a socket that it can be in."""
        held: dict[tuple[str, str], list[int]] = defaultdict(list)
        locking: dict[str, list[int]] = defaultdict(list)
        for b in self.units.builds(u):
            rivals: dict[int, list[int]] = defaultdict(list)
            groups: dict[Alike, list[Jack]] = defaultdict(list)
            for i, jack in enumerate(b.jacks):
                groups[alike(b, jack, i)].append(jack)
            for group, jacks in groups.items():
                ends = self.group(u, b, group, jacks, rivals)
                for form, end in ends.items():
                    held[form, group.way].append(end)
                    if group.locks:
                        locking[form].append(end)
            for group_of_either in rivals.values():
                self.lin.within(ones(group_of_either), {self.units.x[u, b.name]: 1})
        for form in self.units.formats:
            self.ends(u, form, held)
            self.locks(u, form, locking[form])

    def group(
        self, u: int, b: Build, group: Alike, jacks: list[Jack], rivals: dict[int, list[int]]
    ) -> dict[str, int]:
        """Ends in alike sockets, one at most in each; the variables by format."""
        lin, x = self.lin, self.units.x[u, b.name]
        ends = {
            form: lin.variable(most=len(jacks), whole=bool(group.rival))
            for form in group.formats
        }
        single = {
            jack: self.audio.by_socket.get((u, b.name, jack.kind, jack.number), [])
            for jack in jacks
            if jack.way != "out"
        }
        for plugs in single.values():
            lin.within(ones(plugs), {x: 1})
        inside = ones([*ends.values(), *(plug for plugs in single.values() for plug in plugs)])
        lin.within(inside, {x: len(jacks)})
        if group.forced:
            lin.within({x: len(jacks)}, inside)
        for rival in jacks[0].rivals:
            rivals[rival] += inside
        return ends

    def ends(self, u: int, form: str, held: dict[tuple[str, str], list[int]]) -> None:
        """All cable ends of a format at u are held or plugged in one by one."""
        lin, places = self.lin, self.units.places
        others = [v for v in places if v != u]
        if self.units.formats[form].duplex:
            cables = total(*(self.cables(u, v, form) for v in others))
            lin.equal(total(ones(held[form, "both"]), self.plugged(u, form)), cables)
            return
        coming = total(*(self.cables(v, u, form) for v in others))
        leaving = total(*(self.cables(u, v, form) for v in others))
        if form == "word":
            leaving = self.word.leaving(u)
        lin.equal(total(ones(held[form, "in"]), self.plugged(u, form)), coming)
        lin.equal(ones(held[form, "out"]), leaving)

    def plugged(self, u: int, form: str) -> Terms:
        """Audio cables into host u."""
        return total(*(self.audio.sent(v, u, form) for v in self.units.others))

    def locks(self, u: int, form: str, locking: list[int]) -> None:
        """The clock comes in on a socket that takes it."""
        lin = self.lin
        if u not in self.units.hosts:
            lin.within(self.clock.locked(u, form), ones(locking))
            return
        all_via = []
        for v in (v for v in self.units.places if (v, u, form) in self.clock.lock):
            via = lin.variable()
            all_via.append(via)
            direct = ones(self.audio.locked_at[v, u, form])
            lin.within({self.clock.lock[v, u, form]: 1}, total(direct, {via: 1}))
            among = total(self.cables(v, u, form), times(-1, self.audio.sent(v, u, form)))
            lin.within({via: 1}, self.word.listens(u) if form == "word" else among)
        lin.within(ones(all_via), ones(locking))


def alike(b: Build, jack: Jack, index: int) -> Alike:
    """The sockets that one is counted with."""
    forced = jack.kind == "optical" and jack.way == "in" and jack.number in (b.stereo or ())
    rival = index + 1 if jack.rivals else 0
    return Alike(jack.formats, jack.way, jack.locks, forced, rival)
