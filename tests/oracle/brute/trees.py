"""All ways to clock one wiring: who is on its internal clock, who is locked to what."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from rigopt.facts import WORD
from tests.oracle.brute.audio import Feeds, Plan
from tests.oracle.brute.key import NO_MONEY, Key

if TYPE_CHECKING:
    from tests.oracle.brute.squad import Squad

Lock = tuple[int, str]
"""The box whose clock comes in, and the format of the cable."""


class Trees:
    """Every clock setting of a plan and its feeds, over their cables and additional ones."""

    def __init__(self, squad: Squad, plan: Plan, feeds: Feeds, most_mics: int) -> None:
        self.squad, self.plan, self.feeds = squad, plan, feeds
        self.wires = squad.audio.wires(plan, feeds)
        self.carriers = {box for u, v, _ in self.wires for box in (u, v)} | set(squad.hosts)
        self.together = squad.together(feeds, plan)
        self.most_mics = most_mics
        self.locks: dict[int, Lock] = {}
        self.roots: set[int] = set()

    def keys(self, best: Key | None) -> Iterator[Key]:
        """Keys of clock settings, each less than `best` and than the one before."""
        self.best = best
        if self.squad.can_be_clocked(self.together):
            yield from self.choose(0)

    def choose(self, unit: int) -> Iterator[Key]:
        """Choose the clock of `unit` and all after it, in every way."""
        if not self.hopeful():
            return
        if unit == len(self.squad.all):
            yield from self.finished()
            return
        options: list[Lock | None] = [*self.squad.lockable[unit], None]
        for lock in sorted(options, key=lambda lock: self.price(unit, lock)):
            if lock is None:
                yield from self.internal(unit)
            else:
                yield from self.locked(unit, lock)

    def price(self, unit: int, lock: Lock | None) -> int:
        """Cables that are there anyway first, then the internal clock, then more cables."""
        if lock is None:
            return 1
        return 0 if self.wires[self.squad.audio.wire(lock[0], unit, lock[1])] else 2

    def internal(self, unit: int) -> Iterator[Key]:
        """Go on with `unit` on its internal clock, or without a clock if it has no cable."""
        if unit in self.carriers and not self.squad.boxes[unit].device.internal_clock:
            return
        self.roots.add(unit)
        if self.clocks_may_do():
            yield from self.choose(unit + 1)
        self.roots.remove(unit)

    def locked(self, unit: int, lock: Lock) -> Iterator[Key]:
        """Go on with `unit` locked to a cable, added if need be."""
        wire = self.squad.audio.wire(lock[0], unit, lock[1])
        added = not self.wires[wire]
        self.locks[unit] = lock
        self.wires[wire] += added
        if self.clocks_may_do() and all(self.squad.fits(box, self) for box in (unit, lock[0])):
            yield from self.choose(unit + 1)
        self.wires[wire] -= added
        del self.locks[unit]

    def hops(self, unit: int) -> int:
        """Links back to the root as far as they are known; endless in a ring."""
        hops = 0
        while unit in self.locks:
            unit = self.locks[unit][0]
            hops += 1
            if hops > len(self.squad.all):
                return NO_MONEY
        return hops

    def root(self, unit: int) -> int | None:
        """The root of the tree that a unit is in; None while it is not known."""
        while unit in self.locks:
            unit = self.locks[unit][0]
        return unit if unit in self.roots else None

    def farthest(self) -> int:
        """Links from a root to the farthest unit, as far as they are known."""
        return max(map(self.hops, self.locks), default=0)

    def hopeful(self) -> bool:
        """Whether a better key may still come of what is chosen so far."""
        money = self.squad.least_money(self.wires)
        key = (money, len(self.squad.all), self.wires.total(), self.farthest(), -self.most_mics)
        return money < NO_MONEY and self.better(key)

    def finished(self) -> Iterator[Key]:
        """Better keys of a whole clock setting that works, if there are any."""
        if not self.all_have_clocks():
            return
        links, hops = self.wires.total(), self.farthest()
        for outs in self.squad.word_outs(self):
            money = self.squad.money(self, outs)
            key = (money, len(self.squad.all), links, hops, -self.most_mics)
            if money < NO_MONEY and self.better(key):
                ends = {
                    host: self.squad.ends(host, self, outs[host]) for host in self.squad.hosts
                }
                mics = self.squad.arrivals.most(self.plan, ends)
                if mics is not None and self.better((*key[:4], -mics)):
                    self.best = (*key[:4], -mics)
                    yield self.best

    def better(self, key: Key) -> bool:
        """Whether a key beats the best so far."""
        return self.best is None or key < self.best

    def clocks_may_do(self) -> bool:
        """Whether the trees, as far as they are known, are such as the rules allow."""
        if self.farthest() > self.squad.needs.max_hops:
            return False
        known = {unit: self.root(unit) for unit in self.squad.all}
        leaders = {root for host in self.squad.hosts if (root := known[host]) is not None}
        return all(self.squad.may_lead(leader) for leader in leaders) and all(
            len({known[unit] for unit in group} - {None}) <= 1 for group in self.together
        )

    def all_have_clocks(self) -> bool:
        """Whether every box with a cable has a clock, and no other has a cable for it."""
        sources = {source for source, _ in self.locks.values()}
        users = self.carriers | sources
        return set(self.locks) <= users and all(
            self.squad.boxes[root].device.internal_clock for root in self.roots & users
        )

    def listeners(self, source: int) -> list[int]:
        """Units that are locked to word clock from a unit."""
        return [unit for unit, lock in self.locks.items() if lock == (source, WORD)]
