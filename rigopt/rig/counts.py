"""How many pieces of each item a rig calls for, and what of them is owned and bought.

Devices and cables are called for by standing in the rig, extras by what they are counted
by: sources of the needs, or units, rack units and mains plugs of the rig.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
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


def pieces(extra: Extra, devices: Iterable[Device], needs: Needs) -> int:
    """Pieces that a rig of these units calls for."""
    counted = asked(extra.per, needs) + sum(weight(extra.per, device) for device in devices)
    return extra.each * counted


class ItemCounts(NamedTuple):
    """Pieces of one item: called for by the rig, owned before, and bought."""

    item: str
    label: str
    kind: ItemKind
    used: int
    owned: int
    bought: int

    @property
    def from_owned(self) -> int:
        """Owned pieces in use; they are used first."""
        return min(self.used, self.owned)

    @property
    def unused(self) -> int:
        """Owned pieces that stay where they are."""
        return self.owned - self.from_owned

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
    used.update(piece.id for link in _by_piece(links) for piece in link.pieces)
    # The path of an instrument in a DI box begins with the box.
    boxed = sum(
        line.use == "instrument" and line.unit not in (*line.path, line.unit)[:1]
        for line in inputs
    )
    for extra in extras:
        more = extra.each * boxed if extra.per == "mic" else 0
        used[extra.id] = pieces(extra, devices, needs) + more
    return used


def _by_piece(links: Iterable[Link]) -> Iterator[Link]:
    """One link for each piece of cable; one that has no number is on a piece of its own."""
    seen = set()
    for link in links:
        if link.piece is None or link.piece not in seen:
            seen.add(link.piece)
            yield link


def item_counts(rig: Rig, catalogue: Catalogue, needs: Needs) -> tuple[ItemCounts, ...]:
    """Devices, then cables, then extras, each by id: all that are used, owned or bought."""
    used = called_for(rig.units, rig.links, rig.inputs, catalogue.extras.values(), needs)
    bought: Counter[str] = Counter()
    for line in rig.purchases:
        bought[line.item] += line.quantity * line.pack
    found = []
    for kind, shelf in catalogue.shelves.items():
        for key in sorted(shelf):
            owned = needs.owned.get(key, 0)
            if used[key] or owned or bought[key]:
                label = shelf[key].label or key
                found.append(ItemCounts(key, label, kind, used[key], owned, bought[key]))
    return tuple(found)
