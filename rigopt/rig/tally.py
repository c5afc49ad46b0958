"""What is there, what is used, what is bought: every item of a rig, counted."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from typing import Literal, NamedTuple

from rigopt.catalogue.types import Cable, Catalogue, Device, Extra
from rigopt.needs.types import Needs
from rigopt.rig.counted import pieces
from rigopt.rig.types import Rig


class Tally(NamedTuple):
    """Pieces of one item: called for by the rig, owned before, and bought."""

    item: str
    label: str
    kind: Literal["device", "cable", "extra"]
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


def tally(rig: Rig, catalogue: Catalogue, needs: Needs) -> tuple[Tally, ...]:
    """Devices, then cables, then extras, each by id: all that are used, owned or bought."""
    used = Counter(unit.device.id for unit in rig.units)
    used.update(link.cable.id for link in rig.links if link.cable is not None)
    devices = [unit.device for unit in rig.units]
    used.update({e.id: pieces(e, devices, needs) for e in catalogue.extras.values()})
    bought: Counter[str] = Counter()
    for line in rig.purchases:
        bought[line.item] += line.quantity * line.pack
    found = []
    shelves: tuple[
        tuple[Literal["device", "cable", "extra"], Mapping[str, Device | Cable | Extra]], ...
    ] = (
        ("device", catalogue.devices),
        ("cable", catalogue.cables),
        ("extra", catalogue.extras),
    )
    for kind, shelf in shelves:
        for key in sorted(shelf):
            owned = needs.owned.get(key, 0)
            if used[key] or owned or bought[key]:
                label = shelf[key].label or key
                found.append(Tally(key, label, kind, used[key], owned, bought[key]))
    return tuple(found)
