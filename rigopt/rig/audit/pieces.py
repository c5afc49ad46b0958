"""Pieces: what is bought is what is called for and not owned, in packs none of which is idle.

A pack beyond need is idle unless leaving it out would cost more: it may be what takes an
order past a free-delivery limit.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from rigopt.catalogue.types import Catalogue, Extra, ItemKind
from rigopt.needs.types import Needs
from rigopt.rig.audit.finding import Finding, Rule, finding
from rigopt.rig.audit.invoice import bill
from rigopt.rig.audit.lines import pieces
from rigopt.rig.audit.prices import new
from rigopt.rig.types import Purchase, Rig

FEW: Final[dict[ItemKind, Rule]] = {
    "device": "bought",
    "cable": "packs-few",
    "extra": "extras-few",
}
MANY: Final[dict[ItemKind, Rule]] = {**FEW, "cable": "packs-many", "extra": "extras-many"}

Key = tuple[ItemKind, str]
"""Kind and id."""


def check_owned(rig: Rig, needs: Needs) -> Iterator[Finding]:
    """Rule owned: owned units are used first, and are marked."""
    used = Counter(unit.device.id for unit in rig.units)
    flagged = Counter(unit.device.id for unit in rig.units if unit.owned)
    for device, count in used.items():
        own = min(count, needs.owned.get(device, 0))
        if flagged[device] != own:
            yield finding("owned", device=device, said=flagged[device], own=own)


def check_pieces(rig: Rig, catalogue: Catalogue, needs: Needs) -> Iterator[Finding]:
    """Rules bought, packs-few, packs-many, extras-few, extras-many."""
    used = Counter(dict.fromkeys(map(key_of, rig.purchases), 0))
    used.update(called_for(rig, catalogue, needs))
    there = {key: _there(rig, key, needs) for key in used}
    for key, count in used.items():
        if there[key] < count and _to_be_had(key, catalogue, needs):
            yield finding(FEW[key[0]], "few", item=key[1], count=count, there=there[key])
    for place, line in enumerate(rig.purchases):
        key = key_of(line)
        spare = there[key] - line.pack >= used[key]
        if line.quantity > 0 and spare and not saves(rig, place, catalogue, needs):
            called = used[key]
            yield finding(MANY[key[0]], "many", item=key[1], count=called, there=there[key])


def key_of(line: Purchase) -> Key:
    """Kind and id of what a line buys."""
    return line.kind, line.item


def called_for(rig: Rig, catalogue: Catalogue, needs: Needs) -> Counter[Key]:
    """Pieces of each item that a rig uses, or should."""
    used: Counter[Key] = Counter(("device", unit.device.id) for unit in rig.units)
    digital = [link for link in rig.links if link.format.socket != "analogue"]
    used.update(("cable", piece.id) for link in digital for piece in link.pieces)
    lines = [link for link in rig.links if link.format.socket == "analogue"]
    used.update(("cable", way[0].cable.id) for way in pieces(lines) if way[0].cable is not None)
    for extra in catalogue.extras.values():
        used["extra", extra.id] = extra.each * _count(extra, rig, needs)
    return used


def _count(extra: Extra, rig: Rig, needs: Needs) -> int:
    """How many there are of what an extra is bought by."""
    if extra.per == "mic":
        boxes = {unit.name for unit in rig.units if unit.role == "di"}
        return needs.mic + sum(name in boxes for item in rig.inputs for name in item.path[:1])
    if extra.per == "source":
        return needs.mic + needs.line + needs.instrument
    if extra.per == "unit":
        return len(rig.units)
    if extra.per == "rack_unit":
        return sum(unit.device.rack_units for unit in rig.units)
    if extra.per == "mains":
        return sum(unit.device.mains for unit in rig.units)
    return 1


def _there(rig: Rig, key: Key, needs: Needs) -> int:
    bought = sum(line.quantity * line.pack for line in rig.purchases if key_of(line) == key)
    return bought + needs.owned.get(key[1], 0)


def _to_be_had(key: Key, catalogue: Catalogue, needs: Needs) -> bool:
    """Whether it has to be there: an extra that nobody sells does not."""
    kind, item = key
    if kind != "extra":
        return True
    offers = [offer for offer in catalogue.offers if offer.item == item]
    sold = [o for o in offers if o.stock != 0 and (new(o.condition) or not needs.new_only)]
    priced = catalogue.extras[item].price is not None
    return not needs.owned_only and (priced or bool(sold))


def saves(rig: Rig, place: int, catalogue: Catalogue, needs: Needs) -> bool:
    """Whether leaving out a pack of one line would cost more."""
    lines = list(rig.purchases)
    lines[place] = replace(lines[place], quantity=lines[place].quantity - 1)
    less = bill([line for line in lines if line.quantity], catalogue, needs)
    return less > bill(rig.purchases, catalogue, needs)
