"""Clock: trees of units, each locked to a cable from another one or on its internal clock.

root[u] = 1 if u is on its internal clock and has a cable or is a host; lock[u,v,f] = 1 if v
is locked to a cable of format f from u; tree[u,r] = 1 if u is in the tree with root r;
depth[u] in cables from the root. A unit without cables that is no host needs no clock.

Where nothing lets clocks differ, all that is of use is in the tree of the hosts: then there is
one root, and tree[u,r] = 1 for r = ANY alone.
"""

from __future__ import annotations

from functools import partial
from itertools import pairwise

from tests.oracle.mip.audio import Audio
from tests.oracle.mip.builds import Build
from tests.oracle.mip.linear import Linear, Terms, ones, total
from tests.oracle.mip.units import Units

ANY = -1


class Clock:
    """Roots, locks and trees."""

    def __init__(self, lin: Linear, units: Units, audio: Audio) -> None:
        self.lin, self.units, self.audio = lin, units, audio
        places, hops = units.places, units.needs.max_hops
        self.root = {u: lin.variable() for u in places}
        differ = any(d.rate_converter for d in units.catalogue.devices.values())
        self.labels = list(places) if differ or units.needs.own_clocks else [ANY]
        self.tree = {(u, r): lin.variable() for u in places for r in self.labels}
        self.depth = {u: lin.variable(most=hops) for u in places}
        self.lock = {
            (u, v, form): lin.variable()
            for u in places
            for v in places
            for form in units.formats
            if u != v and self.may_give(u, form) and self.may_take(v, form)
        }
        if self.labels == [ANY]:
            lin.row(ones(self.root.values()), most=1)
        for v in places:
            self.one_clock(v)
            for u in places:
                if u != v:
                    self.below(u, v)
        self.hosts()
        self.audio_ends()

    def may_give(self, u: int, form: str) -> bool:
        """Whether anything in place u has an output of a format with a clock."""
        some = any(b.plugs(form, "out") for b in self.units.builds(u))
        return self.units.formats[form].clock and some

    def may_take(self, v: int, form: str) -> bool:
        """Whether anything in place v can lock to a format."""
        return any(j.locks for b in self.units.builds(v) for j in b.plugs(form, "in"))

    def locked(self, v: int, form: str | None = None) -> Terms:
        """1 if v is locked, to a cable of a format if one is given."""
        return ones(y for (_, w, f), y in self.lock.items() if w == v and form in (None, f))

    def in_a_tree(self, u: int) -> Terms:
        """1 if u has a clock."""
        return ones(self.tree[u, r] for r in self.labels)

    def one_clock(self, v: int) -> None:
        """A unit in a tree is its root or locked; the root has an internal clock."""
        lin, units = self.lin, self.units
        hops = units.needs.max_hops
        lin.within(self.in_a_tree(v), units.filled(v))
        lin.equal(self.in_a_tree(v), total(self.locked(v), {self.root[v]: 1}))
        if v in self.labels:
            lin.equal({self.tree[v, v]: 1}, {self.root[v]: 1})
        lin.within({self.root[v]: 1}, units.of(v, lambda b: b.device.internal_clock))
        lin.row({self.depth[v]: 1, self.root[v]: hops}, most=hops)

    def below(self, u: int, v: int) -> None:
        """If v is locked to u it is in u's tree, one cable deeper; trees have roots."""
        lin, hops = self.lin, self.units.needs.max_hops
        locks = ones(y for (a, b, _), y in self.lock.items() if (a, b) == (u, v))
        # depth[v] >= depth[u] + 1 if locked.
        lin.row(
            total({self.depth[u]: 1, self.depth[v]: -1}, dict.fromkeys(locks, hops + 1)),
            most=hops,
        )
        if v in self.labels:
            lin.within({self.tree[u, v]: 1}, {self.root[v]: 1})
        for r in self.labels:
            lin.row(total(locks, {self.tree[u, r]: 1, self.tree[v, r]: -1}), most=1)
        lin.within(locks, self.in_a_tree(u))

    def hosts(self) -> None:
        """Every host has a clock, of a master that is as wished; one for all unless asked."""
        lin, units = self.lin, self.units
        for u in units.hosts:
            lin.equal(self.in_a_tree(u), units.filled(u))
            for r in units.places:
                fit = units.of(r, partial(self.may_lead, r))
                below = self.tree[u, r] if r in self.labels else self.root[r]
                lin.within({below: 1}, fit)
        if not units.needs.own_clocks:
            for u, following in pairwise(units.hosts):
                for r in self.labels:
                    lin.within({self.tree[following, r]: 1}, {self.tree[u, r]: 1})

    def may_lead(self, u: int, build: Build) -> bool:
        """Whether a build in place u may be the master of a tree with a host."""
        role = self.units.role(u, build.device)
        return self.units.needs.master in ("any", role, build.device.id)

    def audio_ends(self) -> None:
        """The ends of an audio cable are in one tree, or the receiving end converts."""
        units, audio = self.units, self.audio
        for (v, u, form), send in audio.send.items():
            self.same(v, u, {send: 1}, units.converts(u, form))
        for (u, v, form), feeds in audio.feeds.items():
            self.same(u, v, {feeds: 1}, units.converts(v, form))
            if units.formats[form].duplex:
                # Unless v sends in another format, its channels come over this cable too.
                other = [y for (w, _, f), y in audio.send.items() if w == v and f != form]
                silent = units.of(v, lambda b: b.analogue == 0)
                apart = total(units.converts(u, form), ones(other), silent)
                self.same(u, v, {feeds: 1}, apart)

    def same(self, u: int, v: int, joined: Terms, apart: Terms) -> None:
        """u and v are in one tree if `joined` is 1, unless `apart`."""
        lin = self.lin
        lin.within(joined, self.in_a_tree(u))
        lin.within(joined, self.in_a_tree(v))
        for r in self.labels:
            ends = {self.tree[u, r]: 1.0, self.tree[v, r]: -1.0}
            lin.within(total(ends, joined), apart, extra=1)
