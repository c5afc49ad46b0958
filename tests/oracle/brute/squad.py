"""All wirings of one multiset of boxes."""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Iterator
from functools import lru_cache
from typing import TYPE_CHECKING, Protocol

from rigopt.catalogue.types import Device
from rigopt.facts import RATE_MULTIPLIER, WORD, Format
from rigopt.needs.types import Needs
from tests.oracle.brute import chains
from tests.oracle.brute.arrivals import Arrivals
from tests.oracle.brute.audio import Audio, Feeds, Plan, Wires
from tests.oracle.brute.boxes import Boxes
from tests.oracle.brute.demands import Demands
from tests.oracle.brute.key import NO_MONEY, Key
from tests.oracle.brute.panel import End, Panel
from tests.oracle.brute.trees import Trees

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tests.oracle.brute.purse import Thing


class Buyer(Protocol):
    """Who says what cables, tees and terminators cost."""

    formats: Mapping[str, Format]

    def cables(self, things: Mapping[Thing, int]) -> int | None: ...


@lru_cache(maxsize=1000)
def panel(device: Device, formats: tuple[Format, ...], multiplier: int) -> Panel:
    """The back of a device, once for all squads."""
    return Panel(device, {form.id: form for form in formats}, multiplier)


class Squad:
    """One multiset of boxes, of which the boxes and extras have a price.

    `demands` of the same needs may be shared, so that it remembers what serves the sources.
    """

    def __init__(
        self,
        boxes: Boxes,
        cost: int,
        needs: Needs,
        purse: Buyer,
        demands: Demands | None = None,
    ) -> None:
        self.boxes, self.cost, self.needs, self.purse = boxes, cost, needs, purse
        self.formats = purse.formats
        table = tuple(self.formats.values())
        m = RATE_MULTIPLIER[needs.rate_hz]
        self.panels = [panel(box.device, table, m) for box in boxes]
        self.audio = Audio(boxes, self.panels, needs.out_line)
        self.all, self.hosts = self.audio.all, self.audio.hosts
        self.arrivals = Arrivals(self.audio, demands or Demands(needs))
        self.lockable = {v: self.sources(v) for v in self.all}
        self.reached = [self.spread(unit) for unit in self.all if self.may_lead(unit)]

    def sources(self, v: int) -> list[tuple[int, str]]:
        """What a box could lock to if sockets were never short."""
        return [
            (u, form)
            for u in self.all
            for form in self.formats
            if u != v and self.panels[u].count("out", form) and self.panels[v].can_lock(form)
        ]

    def may_lead(self, unit: int) -> bool:
        """Whether a box may be the master of a tree with a host."""
        box, wanted = self.boxes[unit], self.needs.master
        return box.device.internal_clock and wanted in ("any", box.role, box.device.id)

    def spread(self, master: int) -> set[int]:
        """All that a master could clock within the hops allowed."""
        reached = {master}
        for _ in range(self.needs.max_hops):
            reached |= {v for v in self.all for u, _ in self.lockable[v] if u in reached}
        return reached

    def best(self, best: Key | None) -> Key | None:
        """The least key of this squad that is below `best`; None when there is none."""
        found = None
        if not self.arrivals.possible() or not self.can_be_clocked(self.together({})):
            return None
        for plan in self.audio.plans():
            mics = self.arrivals.hoped_for(plan)
            if mics is None:
                continue
            for feeds in self.audio.feedings(plan):
                trees = Trees(self, plan, feeds, mics)
                if not all(self.fits(unit, trees) for unit in self.all):
                    continue
                for key in trees.keys(best):
                    best = found = key
        return found

    def can_be_clocked(self, groups: list[set[int]]) -> bool:
        """Whether a master reaches each group with a host, if sockets were never short."""
        return all(
            any(group <= reached for reached in self.reached)
            for group in groups
            if group & set(self.hosts)
        )

    def together(self, feeds: Feeds, plan: Plan = ()) -> list[set[int]]:
        """Groups of boxes that must be in one clock tree.

        A duplex cable carries an expander's channels to the host also when it is there for
        the outputs, unless the expander sends in another format.
        """
        pairs: list[set[int]] = []
        pairs += [{host} for host in self.hosts] if self.needs.own_clocks else [set(self.hosts)]
        for i, sending in enumerate(plan):
            if sending and not self.panels[sending.host].converts(sending.format):
                pairs.append({i, sending.host})
        for host, i, form in feeds:
            talks = self.formats[form].duplex and self.panels[i].analogue and not plan[i]
            if not self.panels[i].converts(form) or (
                talks and not self.panels[host].converts(form)
            ):
                pairs.append({i, host})
        return merged(pairs)

    # Money.

    def apart(self, u: int, v: int) -> str:
        """The run between two boxes."""
        return "far" if (u in self.hosts) != (v in self.hosts) else "near"

    def least_money(self, wires: Wires) -> int:
        """The least that a rig with these cables costs: word cables go the shorter run."""
        things: Counter[Thing] = Counter()
        for (u, v, form), count in wires.items():
            things[form, "any" if form == WORD else self.apart(u, v)] += count
        return self.paid(things)

    def money(self, trees: Trees, word_outs: tuple[int, ...]) -> int:
        """What the rig costs with its word-clock chains laid in the cheapest way.

        `word_outs`: the most word outputs of each box that they may leave from.
        """
        things: Counter[Thing] = Counter()
        for (u, v, form), count in trees.wires.items():
            if form != WORD:
                things[form, self.apart(u, v)] += count
        options = {chains.Laid(0, 0, 0, 0)}
        for source in self.all:
            host, listeners = source in self.hosts, self.heard(source, trees)
            ways = chains.ways(host, listeners, word_outs[source], self.needs.word_inputs)
            options = {one.plus(other) for one in options for other in ways}
        return min((self.paid(things + chained(one)) for one in options), default=NO_MONEY)

    def paid(self, things: Counter[Thing]) -> int:
        """Money for the boxes and these cables; endless if it cannot be paid."""
        cables = self.purse.cables(things)
        if cables is None:
            return NO_MONEY
        money = self.cost + cables
        return money if self.needs.budget is None or money <= self.needs.budget else NO_MONEY

    def heard(self, source: int, trees: Trees) -> tuple[chains.Listener, ...]:
        """Those who are locked to the word clock of a box, in a fixed order."""
        return tuple(
            sorted(
                chains.Listener(v in self.hosts, self.boxes[v].device.word_end)
                for v in trees.listeners(source)
            )
        )

    # Sockets.

    def fits(self, unit: int, trees: Trees, word_outs: int | None = None) -> bool:
        """Whether a box has a socket for each of its cable ends.

        `word_outs`: the word outputs in use; the fewest that do unless given.
        """
        if word_outs is None:
            word_outs = self.fewest_outs(unit, trees)
        return self.panels[unit].fits(self.ends(unit, trees, word_outs))

    def fewest_outs(self, unit: int, trees: Trees) -> int:
        """The fewest word outputs of a box that feed all who listen to it."""
        return chains.fewest(self.heard(unit, trees), self.needs.word_inputs)

    def word_outs(self, trees: Trees) -> Iterator[tuple[int, ...]]:
        """Every number of word outputs of each box that may be in use."""
        ranges = [
            range(self.fewest_outs(unit, trees), len(trees.listeners(unit)) + 1)
            for unit in self.all
        ]
        for outs in itertools.product(*ranges):
            if all(self.fits(unit, trees, count) for unit, count in enumerate(outs)):
                yield outs

    def ends(self, unit: int, trees: Trees, word_outs: int) -> tuple[End, ...]:
        """The cable ends at a box; a host's audio is marked with its sender and number."""
        ends = [End("out", WORD)] * word_outs
        lock = trees.locks.get(unit)
        clock = self.audio.wire(lock[0], unit, lock[1]) if lock else None
        marked = unit in self.hosts and self.panels[unit].max_in is not None
        for wire, count in trees.wires.items():
            u, v, form = wire
            duplex = self.formats[form].duplex
            if unit not in (u, v) or (form == WORD and unit == u):
                continue
            way = "both" if duplex else "out" if unit == u else "in"
            sender = v if unit == u else u
            sending = trees.plan[sender] if marked and way != "out" else None
            links = (
                sending.links
                if sending and (sending.host, sending.format) == (unit, form)
                else 0
            )
            for number in range(count):
                mark = (sender, number) if number < links else ()
                ends.append(End(way, form, mark, wire == clock))
        return tuple(sorted(ends))


def merged(pairs: list[set[int]]) -> list[set[int]]:
    """Sets that overlap made one."""
    groups: list[set[int]] = []
    for pair in pairs:
        apart = [group for group in groups if not group & pair]
        groups = [*apart, pair.union(*(group for group in groups if group & pair))]
    return groups


def chained(laid: chains.Laid) -> Counter[Thing]:
    """Word-clock chains as things to buy."""
    return Counter(
        {
            (WORD, "far"): laid.far,
            (WORD, "near"): laid.near,
            ("tee", ""): laid.tees,
            ("terminator", ""): laid.terminators,
        }
    )
