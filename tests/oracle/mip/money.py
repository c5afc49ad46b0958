"""What is bought.

bought[d]: boxes beyond those owned; packs[i]: packs of a cable, tee, terminator or extra;
laid[i,f,run]: pieces of cable i that are links of format f on one of the two runs.
"""

from __future__ import annotations

import math
from collections import defaultdict

from rigopt.catalogue.types import Cable, Catalogue
from tests.oracle.mip.cables import Cables
from tests.oracle.mip.linear import Linear, Terms, ones, times, total
from tests.oracle.mip.units import Units

MOST_PACKS = 100
MOST_PIECES = 200


class Money:
    """Boxes, cables and extras that have to be bought; `total` but for `fixed`."""

    def __init__(self, lin: Linear, units: Units, cables: Cables, catalogue: Catalogue) -> None:
        self.lin, self.units, self.cables, self.catalogue = lin, units, cables, catalogue
        self.needs = units.needs
        self.fixed = 0
        """Extras that are the same for every rig."""
        self.total = total(self.boxes(), self.wires(), self.fittings(), self.extras())
        if self.needs.budget is not None:
            lin.row(self.total, most=self.needs.budget - self.fixed)

    def boxes(self) -> Terms:
        """Boxes beyond those owned."""
        money: Terms = {}
        for d in self.catalogue.devices.values():
            sold = d.price is not None and d.id not in self.needs.avoid
            bought = self.lin.variable(most=len(self.units.places) if sold else 0)
            count = self.units.of_type(d.id)
            self.lin.within(count, {bought: 1}, extra=self.needs.owned.get(d.id, 0))
            money[bought] = float(d.price or 0)
        return money

    def packs(self, cable: Cable, pieces: list[int]) -> Terms:
        """Packs so that there are so many pieces, and what they cost."""
        sold = cable.price is not None and cable.id not in self.needs.avoid
        packs = self.lin.variable(most=MOST_PACKS if sold else 0)
        owned = self.needs.owned.get(cable.id, 0)
        self.lin.within(ones(pieces), {packs: cable.pack}, extra=owned)
        return {packs: float(cable.price or 0)}

    def wires(self) -> Terms:
        """Cables for every link, each long enough for its run and not too long."""
        money: list[Terms] = []
        runs = {True: self.needs.host_to_rack_mm, False: self.needs.within_rack_mm}
        laid: dict[tuple[str, bool], list[int]] = defaultdict(list)
        for cable in self.catalogue.cables.values():
            pieces = []
            for form in self.units.formats.values():
                if form.cable != cable.kind or cable.length_mm > (form.max_mm or math.inf):
                    continue
                for far, length in runs.items():
                    if cable.length_mm >= length:
                        piece = self.lin.variable(most=MOST_PIECES)
                        pieces.append(piece)
                        laid[form.id, far].append(piece)
            if pieces:
                money.append(self.packs(cable, pieces))
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
                    money.append(self.packs(cable, pieces[-1:]))
            self.lin.within(wanted, ones(pieces))
        return total(*money)

    def extras(self) -> Terms:
        """Packs of things bought by the count of something in the rig."""
        known = {"mic": self.needs.mic, "source": self.needs.inputs, "rig": 1}
        sums = {
            "unit": self.units.count(),
            "rack_unit": self.units.summed("rack_units"),
            "mains": self.units.summed("mains"),
        }
        money: Terms = {}
        for extra in self.catalogue.extras.values():
            price = extra.price or 0
            if extra.per in known:
                self.fixed += math.ceil(known[extra.per] * extra.each / extra.pack) * price
                continue
            packs = self.lin.variable(most=1000)
            money[packs] = float(price)
            self.lin.within(times(extra.each, sums[extra.per]), {packs: extra.pack})
        return money
