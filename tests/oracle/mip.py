"""The cheapest rig as a mixed-integer linear model for HiGHS (scipy.optimize.milp).

Places for units are numbered: the first `max_hosts` places hold hosts or nothing, the
rest hold other units or nothing. Variables, with u, v places, t a device type, k a kind
of socket, s an input socket, n the number of an expander's audio link, c a channel:

    x[u,t]            1 if place u holds type t
    p[v,n,u,t,k,s]    1 if the n-th audio link of v ends in socket s, kind k, of host u,
                      which is of type t; only where the socket reaches the computer
    send[v,u,k]       1 if v sends to u in format k; feed[u,v,k] links from host u for v's
                      outputs; only[u,v,k] 1 if a link is there for the clock alone
    lock[u,v,k]       1 if v is locked to a link from u; master[u]; depth[u] in links
    on[u,b]           1 if phantom bank b of u is on
    seen[u,t,c]       at most 1 if channel c of u reaches the computer
    use[d,u,t,c]      share of channel c given to demand d (whole in some optimum, since
                      with the other variables fixed it is a transport problem)
    packs[i], bought[i], far[i], near[i]   packs of a cable or extra, boxes bought, pieces
                      of a cable on each of the two runs

Ties are settled by solving again with each earlier part of the key held.
"""

from __future__ import annotations

import math
from collections import defaultdict
from itertools import pairwise
from typing import Any

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array

from rigopt.catalogue.types import ACCEPTS, Catalogue, Device
from rigopt.facts import CABLE_LIMIT_MM, KINDS, link_channels
from rigopt.needs.types import Needs

Key = tuple[int, int, int, int]
Terms = dict[int, float]
"""A linear expression: variable number to coefficient."""

MOST_UNITS = 12
"""Places when the needs set no limit; the answer then holds for rigs up to this size."""

TOLERANCE = 1e-5


def milp_best(catalogue: Catalogue, needs: Needs) -> int | None:
    """The least money in minor units of any rig; None when there is none."""
    money = Model(catalogue, needs).least()
    return None if money is None else money[0]


def milp_key(catalogue: Catalogue, needs: Needs) -> Key | None:
    """The least (money, units, links, hops) of any rig; None when there is none."""
    return Model(catalogue, needs).least(parts=4)  # type: ignore[return-value]


class Linear:
    """A growing list of variables and rows, and the call of the solver."""

    def __init__(self) -> None:
        self.most: list[float] = []
        self.whole: list[int] = []
        self.rows: list[tuple[Terms, float, float]] = []

    def variable(self, most: float = 1, whole: bool = True) -> int:
        """A new variable from 0 to `most`."""
        self.most.append(most)
        self.whole.append(int(whole))
        return len(self.most) - 1

    def row(self, terms: Terms, least: float = -math.inf, most: float = math.inf) -> None:
        """A constraint least <= terms <= most."""
        self.rows.append((terms, least, most))

    def solve(self, goal: Terms) -> np.ndarray[Any, Any] | None:
        """The values that minimise `goal`; None when there are none.

        Raises:
            RuntimeError: When HiGHS neither solves the model nor proves that it cannot be.
        """
        cost = np.zeros(len(self.most))
        for column, factor in goal.items():
            cost[column] = factor
        cells = [(r, c, f) for r, row in enumerate(self.rows) for c, f in row[0].items()]
        where = ([r for r, _, _ in cells], [c for _, c, _ in cells])
        shape = (len(self.rows), len(self.most))
        matrix = csr_array(([f for _, _, f in cells], where), shape=shape)
        limits = [row[1] for row in self.rows], [row[2] for row in self.rows]
        answer = milp(
            cost,
            integrality=np.array(self.whole),
            bounds=Bounds(0, np.array(self.most)),
            constraints=LinearConstraint(matrix, *limits),
            # Presolve called a model impossible that is not (scipy 1.17.1, see
            # regressions/held-money.json). The default gap takes dearer rigs.
            options={"mip_rel_gap": 0.0, "presolve": False},
        )
        if answer.status not in (0, 2):
            raise RuntimeError(f"HiGHS: {answer.message}")
        return None if answer.status == 2 else answer.x


def total(*parts: Terms) -> Terms:
    """The sum of linear expressions."""
    summed: Terms = defaultdict(float)
    for part in parts:
        for column, factor in part.items():
            summed[column] += factor
    return dict(summed)


def times(factor: float, terms: Terms) -> Terms:
    """A multiple of a linear expression."""
    return {column: factor * one for column, one in terms.items()}


def ones(columns: list[int]) -> Terms:
    """The sum of variables."""
    return total(*({column: 1.0} for column in columns))


class Model:
    """The whole model of one question."""

    def __init__(self, catalogue: Catalogue, needs: Needs) -> None:
        self.catalogue, self.needs, self.lin = catalogue, needs, Linear()
        self.rate = needs.rate_hz
        size = needs.units if needs.units is not None else MOST_UNITS
        self.size = size
        self.hosts = range(min(needs.max_hosts, size))
        self.others = range(len(self.hosts), len(self.hosts) + size - 1)
        self.places = range(len(self.hosts) + len(self.others))
        self.units()
        self.audio()
        self.outputs()
        self.clock()
        self.sockets()
        self.demands()
        self.money = self.prices()

    # Which unit stands where.

    def types(self, u: int) -> list[Device]:
        """Device types that place u may hold."""
        rated = [d for d in self.catalogue.devices.values() if self.rate in d.rates_hz]
        if u in self.hosts:
            return [d for d in rated if d.may_host and d.computer in self.needs.ports]
        return [d for d in rated if d.may_expand]

    def expanding(self, v: int) -> list[Device]:
        """Types that carry audio at a place that is no host's."""
        return [d for d in self.types(v) if d.role != "clock"]

    def units(self) -> None:
        """One type a place, filled from the front in the order of the catalogue."""
        lin, needs = self.lin, self.needs
        self.x = {(u, d.id): lin.variable() for u in self.places for d in self.types(u)}
        for u in self.places:
            lin.row(self.filled(u), most=1)
        for group in (self.hosts, self.others):
            for u, following in pairwise(group):
                lin.row(total(self.rank(u), times(-1, self.rank(following))), least=0)
        lin.row(total(*(self.filled(u) for u in self.hosts)), least=1)
        lin.row(total(*(self.filled(u) for u in self.places)), most=self.size)
        for limit, count in ((needs.rack_units, "rack_units"), (needs.mains, "mains")):
            if limit is not None:
                lin.row(self.summed(count), most=limit)
        for device_id in needs.require:
            lin.row(ones([x for (_, d), x in self.x.items() if d == device_id]), least=1)

    def filled(self, u: int) -> Terms:
        """1 if place u holds a unit."""
        return ones([self.x[u, d.id] for d in self.types(u)])

    def rank(self, u: int) -> Terms:
        """0 for an empty place, else larger for types earlier in the catalogue."""
        kinds = self.types(u)
        return {self.x[u, d.id]: float(len(kinds) - i) for i, d in enumerate(kinds)}

    def summed(self, name: str) -> Terms:
        """The sum of a number of the devices over the rig."""
        devices = self.catalogue.devices
        return {x: float(getattr(devices[d], name)) for (_, d), x in self.x.items()}

    def of_type(self, u: int, figure: Any) -> Terms:
        """A figure of the type that place u holds, 0 when empty."""
        return {self.x[u, d.id]: float(figure(d)) for d in self.types(u)}

    # Audio towards the computer.

    def cap(self, kind: str) -> int:
        """Channels on one link."""
        return link_channels(kind, self.rate)  # type: ignore[arg-type]

    def reach(self, d: Device, kind: str, s: int) -> int:
        """Channels of input socket s (from 1) of host type d that the computer sees."""
        before = d.analogue + (s - 1) * self.cap(kind)
        if kind == "optical":
            before += 2 * d.coax_in
        seen = d.max_in(self.rate)
        return self.cap(kind) if seen is None else max(0, min(self.cap(kind), seen - before))

    def audio(self) -> None:
        """Audio links, each in a socket of its own; one host and one format a sender."""
        lin = self.lin
        self.send: dict[tuple[int, int, str], int] = {}
        self.plug: dict[tuple[int, int, int, str, str, int], int] = {}
        for v in self.others:
            for u in self.hosts:
                for kind in ("optical", "coax"):
                    self.send[v, u, kind] = lin.variable()
                    self.plug_in(v, u, kind)
            lin.row(
                total(
                    ones([y for (w, _, _), y in self.send.items() if w == v]),
                    times(-1, ones([self.x[v, d.id] for d in self.expanding(v)])),
                ),
                most=0,
            )
        by_socket = defaultdict(list)
        for (_, _, u, d, kind, s), p in self.plug.items():
            by_socket[u, d, kind, s].append(p)
        for (u, d, _, _), inside in by_socket.items():
            lin.row(total(ones(inside), {self.x[u, d]: -1}), most=0)

    def plug_in(self, v: int, u: int, kind: str) -> None:
        """The audio links of v to u of a kind: the n-th only with the one before it."""
        most = max((d.live_out(kind, self.rate) for d in self.expanding(v)), default=0)  # type: ignore[arg-type]
        before = {self.send[v, u, kind]: 1.0}
        for n in range(1, most + 1):
            nth = []
            for d in self.types(u):
                for s in range(1, d.live_in(kind, self.rate) + 1):  # type: ignore[arg-type]
                    if self.reach(d, kind, s) > 0:
                        self.plug[v, n, u, d.id, kind, s] = self.lin.variable()
                        nth.append(self.plug[v, n, u, d.id, kind, s])
            # The n-th link needs a channel of its own, and the (n-1)-th.
            long_enough = [
                self.x[v, d.id]
                for d in self.expanding(v)
                if d.analogue > (n - 1) * self.cap(kind)
            ]
            self.lin.row(total(ones(nth), times(-1, before)), most=0)
            self.lin.row(total(ones(nth), times(-1, ones(long_enough))), most=0)
            before = ones(nth)

    # Outputs.

    def outputs(self) -> None:
        """Line outputs of hosts, and of expanders as far as their host feeds them."""
        lin, needs = self.lin, self.needs
        self.feed: dict[tuple[int, int, str], int] = {}
        counted = [self.of_type(u, lambda d: d.line_out) for u in self.hosts]
        for v in self.others:
            fed = lin.variable(most=1000, whole=False)
            most = {self.x[v, d.id]: float(d.line_out) for d in self.expanding(v)}
            lin.row(total({fed: 1}, times(-1, most)), most=0)
            lin.row(total({fed: 1}, times(-1, self.feeding(v))), most=0)
            counted.append({fed: 1})
        lin.row(total(*counted), least=needs.out_line)
        phones = [self.of_type(u, lambda d: d.phones) for u in self.hosts]
        lin.row(total(*phones), least=needs.out_phones)

    def feeding(self, v: int) -> Terms:
        """Channels on the links that feed v, which come from one host, the one it sends to."""
        its = {u: self.lin.variable() for u in self.hosts}
        self.lin.row(ones(list(its.values())), most=1)
        channels: Terms = {}
        for u in self.hosts:
            for kind in ("optical", "coax"):
                links = self.lin.variable(most=16)
                self.feed[u, v, kind] = links
                channels[links] = float(self.cap(kind))
                self.lin.row({links: 1, its[u]: -16}, most=0)
                for other in self.hosts:
                    if other != u:
                        self.lin.row({its[u]: 1, self.send[v, other, kind]: 1}, most=1)
        return channels

    # Clock.

    def clock(self) -> None:
        """One master; every other unit hangs on a chain of links that ends in it."""
        lin, needs = self.lin, self.needs
        self.lock: dict[tuple[int, int, str], int] = {}
        self.only: dict[tuple[int, int, str], int] = {}
        self.master = {u: lin.variable() for u in self.places}
        self.depth = {u: lin.variable(most=needs.max_hops) for u in self.places}
        lin.row(ones(list(self.master.values())), least=1, most=1)
        for v in self.places:
            fit = [self.x[v, d.id] for d in self.types(v) if self.may_lead(v, d)]
            lin.row(total({self.master[v]: 1}, times(-1, ones(fit))), most=0)
            lin.row({self.depth[v]: 1, self.master[v]: needs.max_hops}, most=needs.max_hops)
            for u in self.places:
                if u != v:
                    self.locking(u, v)
            locks = ones([one for (_, w, _), one in self.lock.items() if w == v])
            lin.row(
                total(locks, {self.master[v]: 1}, times(-1, self.filled(v))), least=0, most=0
            )
            for kind in KINDS:
                over = ones(
                    [one for (_, w, k), one in self.lock.items() if (w, k) == (v, kind)]
                )
                able = [self.x[v, d.id] for d in self.types(v) if kind in d.clock_in]
                lin.row(total(over, times(-1, ones(able))), most=0)

    def may_lead(self, u: int, d: Device) -> bool:
        """Whether type d at place u may be the clock master."""
        role = "host" if u in self.hosts else "clock" if d.role == "clock" else "expander"
        return d.internal_clock and self.needs.master in ("any", role, d.id)

    def locking(self, u: int, v: int) -> None:
        """v locked to u: over a link that is there, or one for the clock alone."""
        hops = self.needs.max_hops
        for kind in KINDS:
            lock = self.lock[u, v, kind] = self.lin.variable()
            only = self.only[u, v, kind] = self.lin.variable()
            self.lin.row(total({lock: 1, only: -1}, times(-1, self.loaded(u, v, kind))), most=0)
            # depth[v] >= depth[u] + 1 if locked.
            self.lin.row({self.depth[u]: 1, self.depth[v]: -1, lock: hops + 1}, most=hops)

    def loaded(self, u: int, v: int, kind: str) -> Terms:
        """Links from u to v that carry audio."""
        if (u, v, kind) in self.feed:
            return {self.feed[u, v, kind]: 1.0}
        return ones(
            [p for (w, _, h, _, k, _), p in self.plug.items() if (w, h, k) == (u, v, kind)]
        )

    def links(self, u: int, v: int, kind: str) -> Terms:
        """All links from u to v."""
        return total(self.loaded(u, v, kind), {self.only[u, v, kind]: 1.0})

    def sockets(self) -> None:
        """Each socket takes one cable."""
        for u in self.places:
            for kind in KINDS:
                leaving = [self.links(u, v, kind) for v in self.places if v != u]
                coming = [self.links(v, u, kind) for v in self.places if v != u]
                outs = self.of_type(u, lambda d, k=kind: d.live_out(k, self.rate))
                ins = self.of_type(u, lambda d, k=kind: d.live_in(k, self.rate))
                self.lin.row(total(*leaving, times(-1, outs)), most=0)
                self.lin.row(total(*coming, times(-1, ins)), most=0)

    # Demands.

    def demands(self) -> None:
        """A channel that reaches the computer for each source, with the bank it needs."""
        needs = self.needs
        rest = needs.mic - needs.phantom - needs.no_phantom
        self.asked = {
            ("mic", "on"): needs.phantom,
            ("mic", "off"): needs.no_phantom,
            ("mic", "any"): rest,
            ("line", "any"): needs.line,
            ("instrument", "any"): needs.instrument,
        }
        self.bank: dict[tuple[int, int], int] = {}
        self.given: dict[tuple[str, str], list[int]] = defaultdict(list)
        for u in self.places:
            for d in self.types(u) if u in self.hosts else self.expanding(u):
                for c in range(1, d.analogue + 1):
                    self.channel(u, d, c)
        for demand, count in self.asked.items():
            self.lin.row(ones(self.given[demand]), least=count, most=count)

    def channel(self, u: int, d: Device, c: int) -> None:
        """What channel c of type d at place u can be used for."""
        shares = []
        for what, phantom in self.asked:
            if self.asked[what, phantom] and what in ACCEPTS[d.channel_kinds[c - 1]]:
                share = self.share(u, d, c, phantom)
                shares += [share] if share is not None else []
                self.given[what, phantom] += [share] if share is not None else []
        limit = self.seen(u, d, c)
        self.lin.row(total(ones(shares), times(-1, {self.x[u, d.id]: 1.0})), most=0)
        self.lin.row(total(ones(shares), times(-1, limit)), most=0)

    def share(self, u: int, d: Device, c: int, phantom: str) -> int | None:
        """The share of a channel for a demand, tied to the state of its bank."""
        banked = d.phantom_bank > 0 and c <= d.mic_capable
        if phantom == "on" and not banked:
            return None
        share = self.lin.variable(whole=False)
        if banked and phantom != "any":
            at = u, (c - 1) // d.phantom_bank
            if at not in self.bank:
                self.bank[at] = self.lin.variable()
            if phantom == "on":
                self.lin.row({share: 1, self.bank[at]: -1}, most=0)
            else:
                self.lin.row({share: 1, self.bank[at]: 1}, most=1)
        return share

    def seen(self, u: int, d: Device, c: int) -> Terms:
        """1 if channel c reaches the computer."""
        if u in self.hosts:
            most = d.max_in(self.rate)
            return {self.x[u, d.id]: 1.0 if most is None or c <= most else 0.0}
        return ones([p for key, p in self.plug.items() if self.takes(key, u, c)])

    def takes(self, key: tuple[int, int, int, str, str, int], v: int, c: int) -> bool:
        """Whether an audio link of v, where it is plugged in, brings channel c."""
        sender, n, _, host, kind, s = key
        cap = self.cap(kind)
        place = c - (n - 1) * cap
        seen = self.reach(self.catalogue.devices[host], kind, s)
        return sender == v and 1 <= place <= min(cap, seen)

    # Money.

    def prices(self) -> Terms:
        """Boxes, cables and extras that have to be bought; also the budget."""
        money = total(self.boxes(), self.cables(), self.extras())
        if self.needs.budget is not None:
            # The extras that are the same for every rig are a constant.
            self.lin.row(money, most=self.needs.budget - self.fixed)
        return money

    def boxes(self) -> Terms:
        """Boxes beyond those owned."""
        money: Terms = {}
        for d in self.catalogue.devices.values():
            sold = d.price is not None and d.id not in self.needs.avoid
            bought = self.lin.variable(most=len(self.places) if sold else 0)
            count = ones([x for (_, one), x in self.x.items() if one == d.id])
            owned = self.needs.owned.get(d.id, 0)
            self.lin.row(total(count, {bought: -1}), most=owned)
            money[bought] = float(d.price or 0)
        return money

    def cables(self) -> Terms:
        """Packs of cables, so that each run has pieces that are long enough."""
        money: Terms = {}
        runs = {"far": self.needs.host_to_rack_mm, "near": self.needs.within_rack_mm}
        for kind in KINDS:
            pieces: dict[str, list[int]] = {"far": [], "near": []}
            for cable in self.catalogue.cables.values():
                if cable.kind != kind or cable.length_mm > CABLE_LIMIT_MM[kind]:
                    continue
                packs = self.lin.variable(most=100 if cable.price is not None else 0)
                money[packs] = float(cable.price or 0)
                laid = {
                    run: self.lin.variable(most=200)
                    for run, length in runs.items()
                    if cable.length_mm >= length
                }
                for run, piece in laid.items():
                    pieces[run].append(piece)
                owned = self.needs.owned.get(cable.id, 0)
                self.lin.row(
                    total(ones(list(laid.values())), {packs: -float(cable.pack)}), most=owned
                )
            for run, far in (("far", True), ("near", False)):
                wired = self.wired(kind, far)
                self.lin.row(total(wired, times(-1, ones(pieces[run]))), most=0)
        return money

    def wired(self, kind: str, far: bool) -> Terms:
        """Links of a kind between a host and another unit, or between any others."""
        return total(
            *(
                self.links(u, v, kind)
                for u in self.places
                for v in self.places
                if u != v and ((u in self.hosts) != (v in self.hosts)) == far
            )
        )

    def extras(self) -> Terms:
        """Packs of things bought by the count of something in the rig."""
        known = {"mic": self.needs.mic, "source": self.needs.inputs, "rig": 1}
        sums = {
            "unit": total(*(self.filled(u) for u in self.places)),
            "rack_unit": self.summed("rack_units"),
            "mains": self.summed("mains"),
        }
        money: Terms = {}
        self.fixed = 0
        for extra in self.catalogue.extras.values():
            price = extra.price or 0
            if extra.per in known:
                self.fixed += math.ceil(known[extra.per] * extra.each / extra.pack) * price
                continue
            packs = self.lin.variable(most=1000)
            money[packs] = float(price)
            asked = times(extra.each, sums[extra.per])
            self.lin.row(total(asked, {packs: -float(extra.pack)}), most=0)
        return money

    # Answers.

    def least(self, parts: int = 1) -> tuple[int, ...] | None:
        """The first parts of the least key; None when there is no rig."""
        deepest = self.lin.variable(most=self.needs.max_hops)
        for depth in self.depth.values():
            self.lin.row({depth: 1, deepest: -1}, most=0)
        units = total(*(self.filled(u) for u in self.places))
        links = total(*(self.wired(kind, far) for kind in KINDS for far in (True, False)))
        key: list[int] = []
        for goal in (self.money, units, links, {deepest: 1.0})[:parts]:
            values = self.lin.solve(goal)
            if values is None:
                assert not key, "a held part of the key cannot make the model impossible"
                return None
            least = round(sum(f * round_whole(self, values, c) for c, f in goal.items()))
            key.append(least)
            # Goals are whole: half a unit of room keeps rounding in HiGHS harmless.
            self.lin.row(goal, most=least + 0.5)
        return (key[0] + self.fixed, *key[1:])


def round_whole(model: Model, values: np.ndarray[Any, Any], column: int) -> int:
    """The whole value of a variable.

    Raises:
        RuntimeError: When HiGHS's value is not whole within the tolerance.
    """
    value = float(values[column])
    if not model.lin.whole[column] or abs(value - round(value)) > TOLERANCE:
        raise RuntimeError(f"not whole: {value}")
    return round(value)
