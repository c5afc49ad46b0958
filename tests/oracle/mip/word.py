"""Word clock: chains of units from one output, with tees and terminators.

start[u,v] = 1 if v is the first in a chain from an output of u; then[a,b] = 1 if b follows a
in a chain; after[v]: place in the chain, from 1; loose[v] = 1 if v is last and has no end.
"""

from __future__ import annotations

from rigopt.catalogue.types import Catalogue
from tests.oracle.mip.clock import Clock
from tests.oracle.mip.linear import Linear, Terms, ones, times, total
from tests.oracle.mip.units import Units


class Word:
    """Chains of those who are locked to word clock."""

    def __init__(self, lin: Linear, units: Units, clock: Clock, catalogue: Catalogue) -> None:
        self.lin, self.units = lin, units
        self.lock = {(u, v): y for (u, v, f), y in clock.lock.items() if f == "word"}
        self.start = {pair: lin.variable() for pair in self.lock}
        listeners = sorted({v for _, v in self.lock})
        tees = any(cable.kind == "tee" for cable in catalogue.cables.values())
        long = units.needs.word_inputs if tees else 1
        self.then = {
            (a, b): lin.variable() for a in listeners for b in listeners if a != b and long > 1
        }
        self.after = {v: lin.variable(most=long) for v in listeners}
        self.loose = {v: lin.variable() for v in listeners}
        for pair in self.lock:
            lin.within({self.start[pair]: 1}, {self.lock[pair]: 1})
        for v in listeners:
            self.listener(v)
        for a, b in self.then:
            self.follow(a, b, long)

    def listens(self, v: int) -> Terms:
        """1 if v is locked to word clock."""
        return ones(y for (_, w), y in self.lock.items() if w == v)

    def arriving(self, v: int) -> Terms:
        """Word cables that end at v."""
        begun = [y for (_, w), y in self.start.items() if w == v]
        return ones([*begun, *(y for (_, w), y in self.then.items() if w == v)])

    def following(self, v: int) -> Terms:
        """1 if another unit hangs on v's tee."""
        return ones(y for (w, _), y in self.then.items() if w == v)

    def listener(self, v: int) -> None:
        """One cable comes in; one goes on at most, and none from a fixed end."""
        lin, units = self.lin, self.units
        lin.equal(self.arriving(v), self.listens(v))
        lin.within(self.following(v), self.listens(v))
        fixed = units.of(v, lambda b: b.device.word_end == "fixed")
        lin.row(total(self.following(v), fixed), most=1)
        lin.within(self.listens(v), {self.after[v]: 1})
        endless = units.of(v, lambda b: b.device.word_end == "none")
        last = total(self.listens(v), times(-1, self.following(v)))
        lin.within(total(last, endless), {self.loose[v]: 1}, extra=1)

    def follow(self, a: int, b: int, long: int) -> None:
        """b after a: from the same output, one place farther down."""
        lin, then = self.lin, self.then[a, b]
        lin.row({self.after[a]: 1, self.after[b]: -1, then: long}, most=long - 1)
        for (u, v), lock in self.lock.items():
            if v == a:
                same = self.lock.get((u, b))
                lin.row(total({lock: 1, then: 1}, {} if same is None else {same: -1}), most=1)

    def cables(self, u: int, v: int) -> Terms:
        """Word cables from u, or from the tee at u, to v."""
        found = (self.start.get((u, v)), self.then.get((u, v)))
        return ones(y for y in found if y is not None)

    def leaving(self, u: int) -> Terms:
        """Word outputs of u in use."""
        return ones(y for (w, _), y in self.start.items() if w == u)

    def tees(self) -> Terms:
        """T-pieces in the rig."""
        return ones([*self.then.values(), *self.loose.values()])

    def terminators(self) -> Terms:
        """Terminators in the rig."""
        return ones(self.loose.values())
