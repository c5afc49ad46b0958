"""What boxes, extras and cables cost after what is owned, and what owned ones in use would be
sold for."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from functools import cache

from rigopt.catalogue.types import Cable, Catalogue, Device
from rigopt.needs.types import Needs

Thing = tuple[str, str]
"""What is laid: a format's id and its run, 'far' (between a host and another unit), 'near'
(between any two others) or 'any' (whichever is shorter); or ('tee' or 'terminator', '')."""

FITTINGS = ("tee", "terminator")

Wanted = tuple[tuple[float, float, int], ...]
"""Least and greatest length in mm and how many, for each run that takes a kind of cable."""


class Purse:
    """Prices of a catalogue, as far as the needs allow to buy."""

    def __init__(self, catalogue: Catalogue, needs: Needs) -> None:
        self.catalogue, self.needs = catalogue, needs
        self.formats = catalogue.formats
        self.laid = cache(self._laid)

    def boxes(self, devices: Sequence[Device]) -> int | None:
        """Minor units for boxes and extras; None when one cannot be bought."""
        total = self.extras(devices)
        for device_id, count in Counter(device.id for device in devices).items():
            price = self.catalogue.devices[device_id].price
            bought = max(0, count - self.needs.owned.get(device_id, 0))
            if bought and (price is None or device_id in self.needs.avoid):
                return None
            total += bought * (price or 0) + self.unsold(device_id, count)
        return total

    def extras(self, devices: Sequence[Device]) -> int:
        """Minor units for everything bought by the count."""
        counts = {
            "mic": self.needs.mic,
            "source": self.needs.inputs,
            "unit": len(devices),
            "rack_unit": sum(device.rack_units for device in devices),
            "mains": sum(device.mains for device in devices),
            "rig": 1,
        }
        return sum(
            -(-counts[extra.per] * extra.each // extra.pack) * (extra.price or 0)
            for extra in self.catalogue.extras.values()
        )

    def cables(self, things: Mapping[Thing, int]) -> int | None:
        """Minor units for all cables, tees and terminators; None when some do not exist."""
        by_kind: dict[str, list[tuple[float, float, int]]] = {}
        for thing, count in sorted(things.items()):
            if count:
                kind, least, most = self.asked(*thing)
                by_kind.setdefault(kind, []).append((least, most, count))
        costs = [self.laid(kind, tuple(wanted)) for kind, wanted in by_kind.items()]
        return None if None in costs else sum(cost for cost in costs if cost is not None)

    def asked(self, name: str, run: str) -> tuple[str, float, float]:
        """The kind of cable that a thing takes, and the lengths that do."""
        if name in FITTINGS:
            return name, 0, math.inf
        far, near = self.needs.host_to_rack_mm, self.needs.within_rack_mm
        length = {"far": far, "near": near, "any": min(far, near)}[run]
        form = self.formats[name]
        return form.cable, length, math.inf if form.max_mm is None else form.max_mm

    def _laid(self, kind: str, wanted: Wanted) -> int | None:
        """Least money for so many pieces of a kind for each run."""
        cables = [cable for cable in self.catalogue.cables.values() if cable.kind == kind]

        @cache
        def least(at: int, missing: tuple[int, ...]) -> float:
            """The same for what is missing, with the cables from `at` on alone."""
            if at == len(cables):
                return math.inf if any(missing) else 0
            ways = self.shares(cables[at], wanted, missing)
            return min(
                self.pieces(cables[at], sum(taken))
                + least(at + 1, tuple(m - t for m, t in zip(missing, taken, strict=True)))
                for taken in ways
            )

        found = least(0, tuple(count for *_, count in wanted))
        return None if found == math.inf else int(found)

    @staticmethod
    def shares(cable: Cable, wanted: Wanted, missing: tuple[int, ...]) -> list[tuple[int, ...]]:
        """Every way to serve some of what is missing with one type of cable."""
        ways: list[tuple[int, ...]] = [()]
        for (least, most, _), count in zip(wanted, missing, strict=True):
            fits = least <= cable.length_mm <= most
            ways = [(*way, n) for way in ways for n in range((count if fits else 0) + 1)]
        return ways

    def pieces(self, cable: Cable, count: int) -> float:
        """Minor units for so many pieces of one type; endless when it is not for sale."""
        bought = max(0, count - self.needs.owned.get(cable.id, 0))
        if bought and (cable.price is None or cable.id in self.needs.avoid):
            return math.inf
        return -(-bought // cable.pack) * (cable.price or 0) + self.unsold(cable.id, count)

    def unsold(self, item: str, count: int) -> int:
        """Minor units not got for owned pieces, of so many in use."""
        return min(count, self.needs.owned.get(item, 0)) * self.needs.resale.get(item, 0)
