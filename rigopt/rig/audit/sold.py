"""What is sold: each owned piece that has a price and that nothing uses, and no other."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.rig.audit.finding import Finding, finding
from rigopt.rig.audit.pieces import called_for
from rigopt.rig.types import Rig


def check_sold(rig: Rig, catalogue: Catalogue, needs: Needs) -> Iterator[Finding]:
    """Rule sold: what is owned, has a price and is not called for is sold, for that price."""
    yield from check_sales(rig, catalogue, needs)
    said = Counter({line.item: line.quantity for line in rig.to_sell})
    used: Counter[str] = Counter()
    for (_, item), count in called_for(rig, catalogue, needs).items():
        used[item] += count
    idle = Counter(needs.owned) - used
    right = Counter({item: idle[item] for item in needs.resale})
    for item in dict.fromkeys([*right, *said]):
        if said[item] != right[item]:
            yield finding("sold", "number", item=item, said=said[item], right=right[item])


def check_sales(rig: Rig, catalogue: Catalogue, needs: Needs) -> Iterator[Finding]:
    """Rule sold: every line is of one item of the catalogue, at the price that is asked."""
    for place, line in enumerate(rig.to_sell):
        thing = catalogue.shelves[line.kind].get(line.item)
        again = line.item in [other.item for other in rig.to_sell[:place]]
        if thing is None or thing.label != line.label or again or line.quantity < 1:
            yield finding("sold", "line", item=line.item)
        elif line.unit_price != needs.resale.get(line.item):
            asked = needs.resale.get(line.item, 0)
            yield finding("sold", "price", item=line.item, said=line.unit_price, right=asked)


def proceeds(rig: Rig) -> int:
    """What all that is sold comes to, in minor units of the catalogue's currency."""
    return sum(line.quantity * line.unit_price for line in rig.to_sell)
