"""The cheapest small rig by plain enumeration: no solver, and nothing of the program's rules.

One host; its other units by light-pipe, by direct outs, or as DI boxes and amplifiers.
"""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Iterator

from rigopt.catalogue.types import ACCEPTS, Catalogue
from rigopt.needs.types import Needs
from tests.analogue.boxes import Boxes, Sort, sort_of
from tests.analogue.digital import Wiring, wirings
from tests.analogue.patching import Lines, patches
from tests.analogue.pieces import Shop, joins
from tests.analogue.seats import Source, all_seated

Key = tuple[int, int, int, int, int]
"""Money, units, links, hops, and the inputs for microphones that arrive, less than none."""


def brute_best(catalogue: Catalogue, needs: Needs) -> Key | None:
    """The least key of any rig; `needs.units` bounds the search."""
    return _Search(catalogue, needs).best()


class _Search:
    def __init__(self, catalogue: Catalogue, needs: Needs) -> None:
        self.catalogue, self.needs = catalogue, needs
        self.shop = Shop(catalogue, needs)
        self.joins = joins(catalogue.cables.values(), needs)
        self.key: Key | None = None

    def best(self) -> Key | None:
        devices = [d for d in self.catalogue.devices.values() if d.id not in self.needs.avoid]
        hosts = [d for d in devices if d.role in ("host", "either")]
        others = [d for d in devices if d.role not in ("host", "clock")]
        assert self.needs.units is not None
        squads = [
            (host, *rest)
            for size in range(self.needs.units)
            for rest in itertools.combinations_with_replacement(others, size)
            for host in hosts
        ]
        priced = ((self.units_cost(boxes), boxes) for boxes in squads)
        for money, boxes in sorted(
            ((m, b) for m, b in priced if m is not None), key=lambda one: one[0]
        ):
            self.look(boxes, money)
        return self.key

    def look(self, boxes: Boxes, money: int) -> None:
        """Every rig of these units, which cost so much."""
        needs = self.needs
        if self.key and (money, len(boxes)) > self.key[:2]:
            return
        if not self.within(boxes) or not self.heard(boxes):
            return
        for wiring in wirings(boxes, needs):
            optical = self.shop.optical(wiring.far, wiring.near)
            if optical is None:
                continue
            own = Counter(sort_of(boxes, *channel) for channel in wiring.arriving)
            for lines in patches(boxes, wiring.arriving, self.joins, MOST_LINES):
                self.patched(boxes, wiring, own, lines, money + optical)

    def patched(
        self, boxes: Boxes, wiring: Wiring, own: Counter[Sort], lines: Lines, money: int
    ) -> None:
        """One way to wire them; `own`: channels that arrive by themselves."""
        seats = Counter(own)
        for line in lines:
            seats[line.into] -= 1
            seats[line.out] += 1
        arriving = sum(n for sort, n in seats.items() if "mic" in ACCEPTS[sort.kind])
        if arriving < self.needs.mic + self.needs.spare:
            return
        leads = self.shop.patched(self.shop.bundles(lines))
        if leads is None:
            return
        links = wiring.far + wiring.near + leads[1]
        for sources, boxed in self.sources(boxes):
            total = money + leads[0] + self.extras(boxes, boxed)
            key = (total, len(boxes), links, wiring.hops, -arriving)
            if self.key is not None and key >= self.key:
                continue
            if self.needs.budget is not None and total > self.needs.budget:
                continue
            if seated(boxes, sources, seats, lines):
                self.key = key

    def units_cost(self, boxes: Boxes) -> int | None:
        """Money for the units; None if one of them cannot be had."""
        money = 0
        for name, number in Counter(box.id for box in boxes).items():
            bought = max(0, number - self.needs.owned.get(name, 0))
            price = self.catalogue.devices[name].price
            if bought and price is None:
                return None
            money += bought * (price or 0)
        return money

    def extras(self, boxes: Boxes, boxed: int) -> int:
        """Money for extras; an instrument in a DI box counts as a microphone."""
        counts = {
            "mic": self.needs.mic + boxed,
            "source": self.needs.mic + self.needs.line + self.needs.instrument,
            "unit": len(boxes),
            "rack_unit": sum(box.rack_units for box in boxes),
            "mains": sum(box.mains for box in boxes),
            "rig": 1,
        }
        return sum(
            -(-extra.each * counts[extra.per] // extra.pack) * (extra.price or 0)
            for extra in self.catalogue.extras.values()
        )

    def within(self, boxes: Boxes) -> bool:
        """Whether the room has place and plugs, and everything required is there."""
        needs = self.needs
        height, plugs = sum(b.rack_units for b in boxes), sum(b.mains for b in boxes)
        return (
            (needs.rack_units is None or height <= needs.rack_units)
            and (needs.mains is None or plugs <= needs.mains)
            and set(needs.require) <= {box.id for box in boxes}
        )

    def heard(self, boxes: Boxes) -> bool:
        """Whether there are outputs enough, however many amplifiers are fed."""
        amplifiers = [box for box in boxes if box.role == "headphones"]
        for fed in itertools.product((False, True), repeat=len(amplifiers)):
            at_work = [a for a, on in zip(amplifiers, fed, strict=True) if on]
            line = boxes[0].line_out - sum(a.line_in for a in at_work)
            phones = boxes[0].phones + sum(a.phones for a in at_work)
            if line >= self.needs.out_line and phones >= self.needs.out_phones:
                return True
        return False

    def sources(self, boxes: Boxes) -> Iterator[tuple[tuple[Source, ...], int]]:
        """What sits on inputs, spare ones too, with so many instruments in DI boxes."""
        needs = self.needs
        room = {
            powered: sum(b.inst for b in boxes if b.role == "di" and b.di_phantom is powered)
            for powered in (True, False)
        }
        plain = needs.mic - needs.phantom - needs.no_phantom + needs.spare
        for active in range(min(needs.instrument, room[True]) + 1):
            for passive in range(min(needs.instrument - active, room[False]) + 1):
                counts: dict[Source, int] = {
                    ("mic", "on"): needs.phantom + active,
                    ("mic", "off"): needs.no_phantom,
                    ("mic", "any"): plain + passive,
                    ("line", "any"): needs.line,
                    ("instrument", "any"): needs.instrument - active - passive,
                }
                yield tuple(Counter(counts).elements()), active + passive


MOST_LINES = 10
"""More lines than this are not tried: no question here has more microphones."""


def seated(
    boxes: Boxes, sources: tuple[Source, ...], seats: Counter[Sort], lines: Lines
) -> bool:
    """Whether every source finds a channel, with some banks on."""
    if len(sources) > sum(seats.values()):
        return False
    shut = {
        (line.into.unit, line.into.bank)
        for line in lines
        if boxes[line.into.unit].line_plug == "xlr" and "mic" in ACCEPTS[line.into.kind]
    }
    banks = {(sort.unit, sort.bank) for sort in seats if sort.bank is not None} - shut
    if ("mic", "on") not in sources:
        banks = set()
    for states in itertools.product((True, False), repeat=len(banks)):
        on = {
            bank for bank, state in zip(sorted(banks, key=repr), states, strict=True) if state
        }
        there = Counter[tuple[str, bool]]()
        for sort, number in seats.items():
            there[sort.kind, (sort.unit, sort.bank) in on] += number
        if all_seated(sources, tuple(sorted(there.elements()))):
            return True
    return False
