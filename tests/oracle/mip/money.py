"""What is bought, and what of that which is owned is not sold.

packs[i]: boxes, or packs of a cable, tee, terminator or extra; laid[i,f,run]: pieces of cable i
that are links of format f on one of the two runs; kept[i]: owned pieces in use, of what has
a resale price; full[i] = 1 if all of them are, without which none is bought.
"""

from __future__ import annotations

import math
from collections import defaultdict

from rigopt.catalogue.types import Device, Item
from tests.oracle.mip.cables import Cables
from tests.oracle.mip.demands import Demands
from tests.oracle.mip.linear import Linear, Terms, ones, times, total
from tests.oracle.mip.lines import Lines

MOST_PACKS = 1000
MOST_PIECES = 200


class Money:
    """Everything that has to be bought, net of what is sold; `total` but for `fixed`."""

    def __init__(self, lin: Linear, cables: Cables, lines: Lines, demands: Demands) -> None:
        self.lin, self.units, self.cables, self.lines = lin, cables.units, cables, lines
        self.catalogue, self.needs = self.units.catalogue, self.units.needs
        self.in_boxes = demands.in_boxes
        owned, resale = self.needs.owned, self.needs.resale
        self.fixed = -sum(price * owned.get(item, 0) for item, price in resale.items())
        """What comes in when all is sold that can be."""
        self.total = total(self.boxes(), self.wires(), self.fittings(), self.extras())
        if self.needs.budget is not None:
            lin.row(self.total, most=self.needs.budget - self.fixed)

    def bought(self, item: Item, used: Terms, fixed: int = 0) -> Terms:
        """What the pieces of an item cost of which so many are used, and `fixed` more."""
        sold = item.price is not None and item.id not in self.needs.avoid
        pack = 1 if isinstance(item, Device) else item.pack
        packs = self.lin.variable(most=MOST_PACKS if sold else 0)
        money = {packs: float(item.price or 0)}
        owned, resale = self.needs.owned.get(item.id, 0), self.needs.resale.get(item.id, 0)
        if not (owned and resale):
            self.lin.within(used, {packs: pack}, extra=owned - fixed)
            return money
        kept, full = self.lin.variable(most=owned), self.lin.variable()
        self.lin.within(used, {packs: pack, kept: 1}, extra=-fixed)
        self.lin.within({packs: 1}, {full: MOST_PACKS})
        self.lin.within({full: owned}, {kept: 1})
        return money | {kept: float(resale)}

    def boxes(self) -> Terms:
        """Boxes beyond those owned."""
        devices = self.catalogue.devices.values()
        return total(*(self.bought(d, self.units.of_type(d.id)) for d in devices))

    def wires(self) -> Terms:
        """Cables for every link, each long enough for its run and not too long."""
        money: list[Terms] = []
        runs = {True: self.needs.host_to_rack_mm, False: self.needs.within_rack_mm}
        laid: dict[tuple[str, bool], list[int]] = defaultdict(list)
        for cable in self.catalogue.cables.values():
            pieces = self.lines.of(cable)
            for form in self.units.formats.values():
                if form.cable != cable.kind or cable.length_mm > (form.max_mm or math.inf):
                    continue
                for far, length in runs.items():
                    if cable.length_mm >= length:
                        piece = self.lin.variable(most=MOST_PIECES)
                        pieces.append(piece)
                        laid[form.id, far].append(piece)
            if pieces:
                money.append(self.bought(cable, ones(pieces)))
        for form_id in self.units.formats:
            for far in runs:
                self.lin.within(self.cables.wired(form_id, far), ones(laid[form_id, far]))
        return total(*money)

    def fittings(self) -> Terms:
        """Tees and terminators."""
        money: list[Terms] = []
        word = self.cables.word
        for kind, wanted in (("tee", word.tees()), ("terminator", word.terminators())):
            pieces = []
            for cable in self.catalogue.cables.values():
                if cable.kind == kind:
                    pieces.append(self.lin.variable(most=MOST_PIECES))
                    money.append(self.bought(cable, ones(pieces[-1:])))
            self.lin.within(wanted, ones(pieces))
        return total(*money)

    def extras(self) -> Terms:
        """Things bought by the count of something in the rig."""
        counts: dict[str, tuple[Terms, int]] = {
            "mic": (self.in_boxes, self.needs.mic),
            "source": ({}, self.needs.inputs),
            "unit": (self.units.count(), 0),
            "rack_unit": (self.units.summed("rack_units"), 0),
            "mains": (self.units.summed("mains"), 0),
            "rig": ({}, 1),
        }
        money: list[Terms] = []
        for extra in self.catalogue.extras.values():
            found, fixed = counts[extra.per]
            money.append(self.bought(extra, times(extra.each, found), extra.each * fixed))
        return total(*money)
