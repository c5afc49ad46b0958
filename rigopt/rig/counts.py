"""How many pieces of each item a rig calls for, and what of them is owned and bought.

Devices and cables are called for by standing in the rig, extras by what they are counted
by: sources of the needs, or units, rack units and mains plugs of the rig.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from rigopt.catalogue.types import Catalogue, Device, Extra, ItemKind, Per
from rigopt.needs.types import Needs
from rigopt.rig.types import Input, Link, Rig, Unit


def asked(per: Per, needs: Needs) -> int:
    """How many there are of what the needs alone decide; 0 for what the rig decides."""
    return {"mic": needs.mic, "source": needs.inputs, "rig": 1}.get(per, 0)


def weight(per: Per, device: Device) -> int:
    """How many one unit of `device` counts for; 0 for what the needs decide."""
    return {"unit": 1, "rack_unit": device.rack_units, "mains": device.mains}.get(per, 0)


def pieces(extra: Extra, devices: Iterable[Device], needs: Needs, boxed: int) -> int:
    """Pieces that a rig of these units calls for; `boxed`: instruments in DI boxes, which
    count as microphones too."""
    counted = asked(extra.per, needs) + sum(weight(extra.per, device) for device in devices)
    counted += boxed if extra.per == "mic" else 0
    return extra.each * counted


class ItemCounts(NamedTuple):
    """Pieces of one item: called for by the rig, owned before, bought, and owned and sold."""

    item: str
    label: str
    kind: ItemKind
    used: int
    owned: int
    bought: int
    sold: int = 0

    @property
    def from_owned(self) -> int:
        """Owned pieces in use; they are used first."""
        return min(self.used, self.owned)

    @property
    def unused(self) -> int:
        """Owned pieces that stay where they are."""
        return self.owned - self.from_owned - self.sold

    @property
    def left_over(self) -> int:
        """Pieces bought that the rig does not call for."""
        return max(0, self.bought - (self.used - self.from_owned))

    @property
    def missing(self) -> int:
        """Pieces of an extra that are called for and neither owned nor bought.

        Of units and cables a rig has all, or it is none.
        """
        return max(0, self.used - self.owned - self.bought) if self.kind == "extra" else 0


def by_piece(links: Iterable[Link]) -> list[Link]:
    """The links, of the ways of one piece of analogue cable the first alone."""
    found: dict[object, Link] = {}
    for place, link in enumerate(links):
        key = ("alone", place) if link.piece is None else ("piece", link.piece)
        found.setdefault(key, link)
    return list(found.values())


def in_boxes(units: Iterable[Unit], inputs: Iterable[Input]) -> int:
    """Instruments that come to the computer through a DI box."""
    boxes = {unit.name for unit in units if unit.role == "di"}
    return sum(not boxes.isdisjoint(item.path[:1]) for item in inputs)


def called_for(
    units: Sequence[Unit],
    links: Iterable[Link],
    inputs: Iterable[Input],
    extras: Iterable[Extra],
    needs: Needs,
) -> Counter[str]:
    """Pieces of each item that a rig uses or calls for."""
    devices = [unit.device for unit in units]
    used = Counter(device.id for device in devices)
    used.update(piece.id for link in by_piece(links) for piece in link.pieces)
    boxed = in_boxes(units, inputs)
    used.update({extra.id: pieces(extra, devices, needs, boxed) for extra in extras})
    return used


def item_counts(rig: Rig, catalogue: Catalogue, needs: Needs) -> tuple[ItemCounts, ...]:
    """Devices, then cables, then extras, each by id: all that are used, owned or bought."""
    extras = catalogue.extras.values()
    used = called_for(rig.units, rig.links, rig.inputs, extras, needs)
    bought: Counter[str] = Counter()
    for line in rig.purchases:
        bought[line.item] += line.quantity * line.pack
    sold = {line.item: line.quantity for line in rig.to_sell}
    found = []
    for kind, shelf in catalogue.shelves.items():
        for key in sorted(shelf):
            owned = needs.owned.get(key, 0)
            if used[key] or owned or bought[key]:
                label = shelf[key].label or key
                counts = used[key], owned, bought[key], sold.get(key, 0)
                found.append(ItemCounts(key, label, kind, *counts))
    return tuple(found)
