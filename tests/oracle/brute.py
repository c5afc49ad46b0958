"""The cheapest rig by plain enumeration: no solver, no model, no shared code.

A *squad* is a multiset of boxes, each in the role that it plays. Squads are tried in
order of what the boxes cost. In each, every way to send audio, to feed outputs and to
pass the clock on is tried; the key (money, units, links, hops) of the best is kept.

The enumeration is complete because `needs.units` bounds the squad, sockets bound the
links, and four facts cut only what cannot be better:

* sockets of one kind differ in nothing but the numbers of the computer inputs behind
  them, and numbers grow with the socket, so audio takes the lowest sockets of a host and
  clock alone takes what is left; at most one socket of a host is cut in two by `max_in`,
  and every link is tried in it;
* an audio link of which nothing reaches the computer is no audio link;
* more boxes, links or cables never cost less;
* if nobody needs 48 V, or nobody must be spared it, one state of all banks is best.
"""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from rigopt.catalogue.types import ACCEPTS, CHANNEL_COLUMNS, Cable, Catalogue, Device
from rigopt.facts import AUDIO_KINDS, CABLE_LIMIT_MM, KINDS, Kind, link_channels
from rigopt.needs.types import Needs

Key = tuple[int, int, int, int]
"""Money in minor units, units, links, clock hops: what is minimised, in this order."""


def brute_force(catalogue: Catalogue, needs: Needs) -> int | None:
    """The least money in minor units of any rig; None when there is none."""
    best = brute_best(catalogue, needs)
    return None if best is None else best[0]


def brute_best(catalogue: Catalogue, needs: Needs) -> Key | None:
    """The least (money, units, links, hops) of any rig; None when there is none.

    Raises:
        ValueError: When `needs.units` is None, since nothing then bounds the search.
    """
    if needs.units is None:
        raise ValueError("the enumeration needs a limit on the number of units")
    purse = Purse(catalogue, needs)
    best: Key | None = None
    for cost, boxes in sorted(
        squads(catalogue, needs, purse), key=lambda s: (s[0], len(s[1]), str(s[1]))
    ):
        if best is not None and (cost, len(boxes)) > best[:2]:
            break
        found = Squad(boxes, cost, needs, purse).best(best)
        best = min((key for key in (best, found) if key is not None), default=None)
    return best


# --- boxes -----------------------------------------------------------------------


@dataclass(frozen=True)
class Box:
    """A unit in a role, before it has a name."""

    device: Device
    role: str

    def __str__(self) -> str:
        return f"{self.device.id}/{self.role}"

    __repr__ = __str__


Boxes = tuple[Box, ...]


def squads(catalogue: Catalogue, needs: Needs, purse: Purse) -> Iterator[tuple[int, Boxes]]:
    """Every multiset of boxes within the limits, with what its boxes and extras cost."""
    pool = list(castings(catalogue, needs))
    for size in range(1, (needs.units or 0) + 1):
        for boxes in itertools.combinations_with_replacement(pool, size):
            cost = purse.boxes(boxes)
            if cost is not None and within_limits(boxes, needs):
                yield cost, boxes


def castings(catalogue: Catalogue, needs: Needs) -> Iterator[Box]:
    """Each device in each role that it may play at the rate of the needs."""
    for device in catalogue.devices.values():
        if needs.rate_hz not in device.rates_hz:
            continue
        if device.role in ("host", "either") and device.computer in needs.ports:
            yield Box(device, "host")
        if device.role in ("expander", "either"):
            yield Box(device, "expander")
        if device.role == "clock":
            yield Box(device, "clock")


def within_limits(boxes: Boxes, needs: Needs) -> bool:
    """Whether hosts, height, plugs, headphones and required devices are as asked."""
    hosts = [box.device for box in boxes if box.role == "host"]
    height = sum(box.device.rack_units for box in boxes)
    plugs = sum(box.device.mains for box in boxes)
    ids = {box.device.id for box in boxes}
    return (
        1 <= len(hosts) <= needs.max_hosts
        and (needs.rack_units is None or height <= needs.rack_units)
        and (needs.mains is None or plugs <= needs.mains)
        and sum(host.phones for host in hosts) >= needs.out_phones
        and ids >= set(needs.require)
    )


# --- money -----------------------------------------------------------------------


class Purse:
    """What boxes, extras and cables cost after what is owned."""

    def __init__(self, catalogue: Catalogue, needs: Needs) -> None:
        self.catalogue, self.needs = catalogue, needs
        self.cable = cache(self._cable)

    def boxes(self, boxes: Boxes) -> int | None:
        """Minor units for boxes and extras; None when one cannot be bought."""
        total = self.extras(boxes)
        for device_id, count in Counter(box.device.id for box in boxes).items():
            price = self.catalogue.devices[device_id].price
            bought = max(0, count - self.needs.owned.get(device_id, 0))
            if bought and (price is None or device_id in self.needs.avoid):
                return None
            total += bought * (price or 0)
        return total

    def extras(self, boxes: Boxes) -> int:
        """Minor units for everything bought by the count."""
        counts = {
            "mic": self.needs.mic,
            "source": self.needs.inputs,
            "unit": len(boxes),
            "rack_unit": sum(box.device.rack_units for box in boxes),
            "mains": sum(box.device.mains for box in boxes),
            "rig": 1,
        }
        return sum(
            -(-counts[extra.per] * extra.each // extra.pack) * (extra.price or 0)
            for extra in self.catalogue.extras.values()
        )

    def cables(self, far: Counter[Kind], near: Counter[Kind]) -> int | None:
        """Minor units for links between a host and another unit, and for the rest."""
        costs = [self.cable(kind, far[kind], near[kind]) for kind in KINDS]
        return None if None in costs else sum(cost for cost in costs if cost is not None)

    def _cable(self, kind: Kind, far: int, near: int) -> int | None:
        """The same for one kind: long pieces do for both runs, short ones for one."""
        host_run, rack_run = self.needs.host_to_rack_mm, self.needs.within_rack_mm
        long_run, short_run = max(host_run, rack_run), min(host_run, rack_run)
        at_least = far if host_run >= rack_run else near
        fit = [
            cable
            for cable in self.catalogue.cables.values()
            if cable.kind == kind and short_run <= cable.length_mm <= CABLE_LIMIT_MM[kind]
        ]
        longer = [cable for cable in fit if cable.length_mm >= long_run]
        shorter = [cable for cable in fit if cable.length_mm < long_run]
        if host_run == rack_run:
            at_least = 0
        costs = [
            one + other
            for count in range(at_least, far + near + 1)
            if (one := self.pieces(longer, count)) is not None
            and (other := self.pieces(shorter, far + near - count)) is not None
        ]
        return min(costs, default=None)

    def pieces(self, cables: list[Cable], count: int) -> int | None:
        """Least money for at least `count` pieces of any of these cables."""
        owned = sum(self.needs.owned.get(cable.id, 0) for cable in cables)
        least: list[int | None] = [0]
        for missing in range(1, max(0, count - owned) + 1):
            options = [
                cable.price + before
                for cable in cables
                if cable.price is not None
                and (before := least[max(0, missing - cable.pack)]) is not None
            ]
            least.append(min(options, default=None))
        return least[-1]


# --- audio and demands -----------------------------------------------------------


@dataclass(frozen=True)
class Sending:
    """Where an expander's audio goes: `links` cables of one kind to one host."""

    host: int
    kind: Kind
    links: int


Plan = tuple[Sending | None, ...]
"""One entry for each box; None for hosts, clocks and expanders that send nothing."""

Tally = tuple[int, ...]
"""Number of channels of each kind, in the order of CHANNEL_COLUMNS."""


def tally(device: Device, channels: list[int]) -> Tally:
    """Count channels (numbered from 1) of a device by kind."""
    kinds = Counter(device.channel_kinds[channel - 1] for channel in channels)
    return tuple(kinds[column] for column in CHANNEL_COLUMNS)


def banks_of(device: Device, channels: list[int]) -> tuple[list[Tally], Tally]:
    """What arrives of each phantom bank, and what arrives outside any bank."""
    size, mics = device.phantom_bank, device.mic_capable
    if not size:
        return [], tally(device, channels)
    banks = [
        tally(device, [c for c in channels if first <= c < first + size and c <= mics])
        for first in range(1, mics + 1, size)
    ]
    return [bank for bank in banks if any(bank)], tally(
        device, [c for c in channels if c > mics]
    )


def meets(needs: Needs, banks: tuple[Tally, ...], outside: Tally) -> bool:
    """Whether some state of the banks gives every source a channel of its own."""
    groups = sorted(Counter(banks).items())
    for switched in switchings(needs, [count for _, count in groups]):
        on, off = [0] * len(outside), list(outside)
        for (bank, count), ons in zip(groups, switched, strict=True):
            for kind, channels in enumerate(bank):
                on[kind] += channels * ons
                off[kind] += channels * (count - ons)
        if hall(needs, on, off):
            return True
    return False


def switchings(needs: Needs, counts: list[int]) -> Iterator[tuple[int, ...]]:
    """How many banks of each group are on."""
    if needs.no_phantom == 0:
        return iter([tuple(counts)])
    if needs.phantom == 0:
        return iter([(0,) * len(counts)])
    return itertools.product(*(range(count + 1) for count in counts))


def hall(needs: Needs, on: list[int], off: list[int]) -> bool:
    """Hall's condition: each set of sources has as many channels that serve any of it."""
    either = needs.mic - needs.phantom - needs.no_phantom
    classes = [
        (needs.phantom, "mic", (True,)),
        (needs.no_phantom, "mic", (False,)),
        (either, "mic", (True, False)),
        (needs.line, "line", (True, False)),
        (needs.instrument, "instrument", (True, False)),
    ]
    asked = [one for one in classes if one[0]]
    for size in range(1, len(asked) + 1):
        for chosen in itertools.combinations(asked, size):
            room = sum(
                channels
                for state, counts in ((True, on), (False, off))
                for column, channels in zip(CHANNEL_COLUMNS, counts, strict=True)
                if any(what in ACCEPTS[column] and state in ok for _, what, ok in chosen)
            )
            if room < sum(count for count, _, _ in chosen):
                return False
    return True


# --- one squad -------------------------------------------------------------------


class Squad:
    """All wirings of one multiset of boxes."""

    def __init__(self, boxes: Boxes, cost: int, needs: Needs, purse: Purse) -> None:
        self.boxes, self.cost, self.needs, self.purse = boxes, cost, needs, purse
        self.all = range(len(boxes))
        self.hosts = [i for i in self.all if boxes[i].role == "host"]
        self.expanders = [i for i in self.all if boxes[i].role == "expander"]
        self.meets = cache(lambda banks, outside: meets(needs, banks, outside))
        rate = needs.rate_hz
        self.caps = {kind: link_channels(kind, rate) for kind in KINDS}
        self.ins = {(i, k): boxes[i].device.live_in(k, rate) for i in self.all for k in KINDS}
        self.outs = {(i, k): boxes[i].device.live_out(k, rate) for i in self.all for k in KINDS}
        # What each unit could lock to if sockets were never short.
        self.lockable = {
            v: [
                (u, kind)
                for u in self.all
                for kind in boxes[v].device.clock_in
                if u != v and self.outs[u, kind] and self.ins[v, kind]
            ]
            for v in self.all
        }

    def best(self, best: Key | None) -> Key | None:
        """The least key of this squad that is below `best`; None when there is none."""
        found = None
        masters = self.masters()
        if not masters or not self.arrive(self.everything()):
            return None
        for plan in self.plans():
            if best and self.key(Counter(self.audio_links(plan)))[:3] > best[:3]:
                continue
            if not any(self.arrive(channels) for channels in self.arrivals(plan)):
                continue
            for fed in self.feedings(plan):
                wires = Counter(self.audio_links(plan)) + fed
                for master, least_hops in masters:
                    for key in Clocks(self, wires, master, least_hops).keys(best):
                        best = found = key
        return found

    # Money of a set of links.

    def key(self, wires: Counter[tuple[int, int, Kind]]) -> Key:
        """The key of these links, with hops 0; infinite money when no cable fits."""
        far: Counter[Kind] = Counter()
        near: Counter[Kind] = Counter()
        for (u, v, kind), count in wires.items():
            apart = (u in self.hosts) != (v in self.hosts)
            (far if apart else near)[kind] += count
        cables = self.purse.cables(far, near)
        links = wires.total()
        if cables is None:
            return (NO_MONEY, len(self.boxes), links, 0)
        money = self.cost + cables
        if self.needs.budget is not None and money > self.needs.budget:
            money = NO_MONEY
        return (money, len(self.boxes), links, 0)

    # Audio.

    def plans(self) -> list[Plan]:
        """Every way to send audio that the sockets allow, fewest links first."""
        options = [self.sendings(i) for i in self.all]
        plans = [
            plan
            for plan in itertools.product(*options)
            if self.in_order(plan) and self.sockets_do(Counter(self.audio_links(plan)))
        ]
        return sorted(plans, key=lambda plan: sum(s.links for s in plan if s))

    def sendings(self, i: int) -> list[Sending | None]:
        """Every way in which one box can send."""
        options: list[Sending | None] = [None]
        if i not in self.expanders:
            return options
        for host, kind in itertools.product(self.hosts, AUDIO_KINDS):
            useful = -(-self.boxes[i].device.analogue // self.caps[kind])
            most = min(useful, self.outs[i, kind], self.ins[host, kind])
            options += [Sending(host, kind, links) for links in range(1, most + 1)]
        return options

    def in_order(self, plan: Plan) -> bool:
        """Equal boxes stand next to each other; only one order of their sendings counts."""
        marks = [(s.host, s.kind, s.links) if s else (-1, "", 0) for s in plan]
        return all(
            self.boxes[i] != self.boxes[i + 1] or marks[i] <= marks[i + 1]
            for i in self.expanders
            if i + 1 in self.expanders
        )

    def audio_links(self, plan: Plan) -> dict[tuple[int, int, Kind], int]:
        """Links from unit to unit of a plan."""
        return {(i, s.host, s.kind): s.links for i, s in enumerate(plan) if s}

    def sockets_do(self, wires: Counter[tuple[int, int, Kind]]) -> bool:
        """Whether each link finds an output and an input socket of its own."""
        outs: Counter[tuple[int, Kind]] = Counter()
        ins: Counter[tuple[int, Kind]] = Counter()
        for (u, v, kind), count in wires.items():
            outs[u, kind] += count
            ins[v, kind] += count
        return all(count <= self.outs[at] for at, count in outs.items()) and all(
            count <= self.ins[at] for at, count in ins.items()
        )

    def everything(self) -> list[list[int]]:
        """All analogue channels of hosts and expanders: the most that could arrive."""
        return [
            [] if box.role == "clock" else list(range(1, box.device.analogue + 1))
            for box in self.boxes
        ]

    def arrivals(self, plan: Plan) -> Iterator[list[list[int]]]:
        """The channels of each box that reach the computer, each way to plug them in."""
        per_host = [list(self.pluggings(host, plan)) for host in self.hosts]
        for choice in itertools.product(*per_host):
            arriving: list[list[int]] = [[] for _ in self.all]
            for host, (own, sent) in zip(self.hosts, choice, strict=True):
                arriving[host] = list(range(1, own + 1))
                for i, channels in sent.items():
                    arriving[i] = channels
            yield arriving

    def pluggings(self, host: int, plan: Plan) -> Iterator[tuple[int, dict[int, list[int]]]]:
        """Ways to plug audio into one host: its own channels, and the senders' channels."""
        device = self.boxes[host].device
        seen = device.max_in(self.needs.rate_hz)
        own = device.analogue if seen is None else min(device.analogue, seen)
        senders = [i for i, s in enumerate(plan) if s and s.host == host]
        spaces = self.spaces(host)
        ways = []
        for kind in AUDIO_KINDS:
            links = [
                (i, j)
                for i in senders
                if (s := plan[i]) and s.kind == kind
                for j in range(s.links)
            ]
            open_sockets = spaces[kind][: len(links)]
            if any(space == 0 for space in open_sockets) or len(open_sockets) < len(links):
                return
            ways.append(list(self.cuts(links, open_sockets)))
        for parts in itertools.product(*ways):
            room = {link: space for part in parts for link, space in part.items()}
            yield own, {i: self.sent(i, plan, room) for i in senders}

    def spaces(self, host: int) -> dict[Kind, list[int]]:
        """Of each live input socket of a host, how many channels reach the computer."""
        device = self.boxes[host].device
        seen = device.max_in(self.needs.rate_hz)
        number = device.analogue
        spaces: dict[Kind, list[int]] = {}
        for kind in ("coax", "optical"):
            spaces[kind] = []
            for _ in range(self.ins[host, kind]):
                left = self.caps[kind] if seen is None else max(0, seen - number)
                spaces[kind].append(min(self.caps[kind], left))
                number += self.caps[kind]
        return spaces

    @staticmethod
    def cuts(
        links: list[tuple[int, int]], spaces: list[int]
    ) -> Iterator[dict[tuple[int, int], int]]:
        """The room of each link: only the last socket can be cut, by any of the links."""
        if not links:
            yield {}
        elif spaces[-1] == spaces[0]:
            yield dict.fromkeys(links, spaces[0])
        else:
            for cut in links:
                yield {link: spaces[-1] if link == cut else spaces[0] for link in links}

    def sent(self, i: int, plan: Plan, room: dict[tuple[int, int], int]) -> list[int]:
        """Channels of box `i` that reach the computer."""
        sending = plan[i]
        assert sending is not None
        cap = self.caps[sending.kind]
        channels = [
            j * cap + 1 + place for j in range(sending.links) for place in range(room[i, j])
        ]
        return [channel for channel in channels if channel <= self.boxes[i].device.analogue]

    def arrive(self, channels: list[list[int]]) -> bool:
        """Whether these channels of each box meet the demands."""
        banks: list[Tally] = []
        outside = (0,) * len(CHANNEL_COLUMNS)
        for box, arriving in zip(self.boxes, channels, strict=True):
            own, rest = banks_of(box.device, arriving)
            banks += own
            outside = tuple(a + b for a, b in zip(outside, rest, strict=True))
        return self.meets(tuple(sorted(banks)), outside)

    # Outputs.

    def feedings(self, plan: Plan) -> Iterator[Counter[tuple[int, int, Kind]]]:
        """Links from hosts to expanders that make up the line outputs."""
        missing = self.needs.out_line - sum(self.boxes[h].device.line_out for h in self.hosts)
        if missing <= 0:
            yield Counter()
            return
        audio = Counter(self.audio_links(plan))
        for choice in itertools.product(*(self.feeds(i, plan) for i in self.expanders)):
            if sum(outputs for outputs, _ in choice) >= missing:
                wires: Counter[tuple[int, int, Kind]] = Counter()
                for _, links in choice:
                    wires.update(links)
                if self.sockets_do(audio + wires):
                    yield wires

    def feeds(self, i: int, plan: Plan) -> list[tuple[int, dict[tuple[int, int, Kind], int]]]:
        """Ways to feed one expander: its outputs that count, and the links it takes."""
        sending, outputs = plan[i], self.boxes[i].device.line_out
        ways: list[tuple[int, dict[tuple[int, int, Kind], int]]] = [(0, {})]
        for host in [sending.host] if sending else self.hosts:
            most = {
                kind: min(self.outs[host, kind], self.ins[i, kind], outputs)
                for kind in AUDIO_KINDS
            }
            for optical, coax in itertools.product(
                range(most["optical"] + 1), range(most["coax"] + 1)
            ):
                fed = optical * self.caps["optical"] + coax * self.caps["coax"]
                if fed:
                    links: dict[tuple[int, int, Kind], int] = {
                        (host, i, "optical"): optical,
                        (host, i, "coax"): coax,
                    }
                    ways.append((min(fed, outputs), links))
        return ways

    # Clock.

    def masters(self) -> list[tuple[int, int]]:
        """Boxes that may be master, each with the least hops if sockets never ran short."""
        found = []
        for i in self.all:
            box, wanted = self.boxes[i], self.needs.master
            if box.device.internal_clock and wanted in ("any", box.role, box.device.id):
                hops = self.spread(i)
                if hops is not None and hops <= self.needs.max_hops:
                    found.append((i, hops))
        return found

    def spread(self, master: int) -> int | None:
        """Hops from the master to the farthest unit; None when one is out of reach."""
        reached, hops = {master}, 0
        while len(reached) < len(self.boxes):
            more = {v for v in self.all for u, _ in self.lockable[v] if u in reached} - reached
            if not more:
                return None
            reached |= more
            hops += 1
        return hops


NO_MONEY = 10**15
"""More than any rig costs: the price of links for which there is no cable or budget."""


class Clocks:
    """All ways to pass the clock of one master on, over given and additional links."""

    def __init__(
        self,
        squad: Squad,
        wires: Counter[tuple[int, int, Kind]],
        master: int,
        least_hops: int,
    ) -> None:
        self.squad, self.wires, self.master = squad, Counter(wires), master
        self.least_hops = least_hops
        self.parent: dict[int, int] = {}
        self.rest = [i for i in squad.all if i != master]

    def keys(self, best: Key | None) -> Iterator[Key]:
        """Keys of clock trees, each less than `best` and than the one before."""
        self.best = best
        yield from self.lock(0)

    def lock(self, at: int) -> Iterator[Key]:
        """Lock the units from `rest[at]` on, in every way."""
        so_far = self.squad.key(self.wires)
        if so_far[0] == NO_MONEY or not self.better((*so_far[:3], self.least_hops)):
            return
        if at == len(self.rest):
            farthest = max(map(self.hops, self.rest), default=0)
            key = (*so_far[:3], farthest)
            if farthest <= self.squad.needs.max_hops and self.better(key):
                self.best = key
                yield key
            return
        unit = self.rest[at]
        for over, kind in self.choices(unit):
            self.parent[unit] = over
            if self.hops(unit) <= self.squad.needs.max_hops:
                yield from self.over(unit, over, kind, at)
            del self.parent[unit]

    def choices(self, unit: int) -> list[tuple[int, Kind]]:
        """What a unit can lock to, links that are there anyway first."""
        options = self.squad.lockable[unit]
        return sorted(options, key=lambda option: self.free(unit, *option) == 0)

    def free(self, unit: int, over: int, kind: Kind) -> int:
        """Links that are there for audio and carry the clock for nothing."""
        return self.wires[over, unit, kind]

    def over(self, unit: int, over: int, kind: Kind, at: int) -> Iterator[Key]:
        """Go on with `unit` locked to a link of `kind` from `over`, added if need be."""
        if self.free(unit, over, kind):
            yield from self.lock(at + 1)
            return
        self.wires[over, unit, kind] += 1
        if self.squad.sockets_do(self.wires):
            yield from self.lock(at + 1)
        del self.wires[over, unit, kind]

    def hops(self, unit: int) -> int:
        """Links back to the master as far as they are known; endless in a ring."""
        hops = 0
        while unit in self.parent:
            unit = self.parent[unit]
            hops += 1
            if hops > len(self.rest):
                return NO_MONEY
        return hops

    def better(self, key: Key) -> bool:
        """Whether a key beats the best so far."""
        return self.best is None or key < self.best
