"""The question, finished: usable types at this rate, what they cost, what is owned.

After this module nothing is looked up, defaulted or converted any more; the rules only
loop and add.
"""

from __future__ import annotations

from collections.abc import Container, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from rigopt.catalogue.types import Cable, Catalogue, Device
from rigopt.facts import CABLE_LIMIT_MM, KINDS, Kind
from rigopt.needs.types import Needs


@dataclass(frozen=True, slots=True)
class Supply:
    """One way to buy an item: `pack` pieces for `price` minor units."""

    item: str
    price: int
    pack: int = 1
    seller: str | None = None


@dataclass(frozen=True)
class Problem:
    """A catalogue and needs, narrowed to what can be part of a rig at this rate."""

    catalogue: Catalogue
    needs: Needs
    hosts: tuple[Device, ...]
    satellites: tuple[Device, ...]
    cables: tuple[Cable, ...]
    supplies: Mapping[str, tuple[Supply, ...]]

    @property
    def rate_hz(self) -> int:
        """Sample rate of the rig."""
        return self.needs.rate_hz

    def ways(self, item: str) -> tuple[Supply, ...]:
        """The ways to buy `item`; none if it is not for sale."""
        return self.supplies.get(item, ())

    def owned(self, item: str) -> int:
        """Pieces of `item` already there."""
        return self.needs.owned.get(item, 0)

    def unlimited(self, item: str) -> bool:
        """Whether any number can be bought."""
        return bool(self.ways(item))

    def price(self, item: str) -> int:
        """Price of one piece bought singly; 0 if it is not for sale."""
        return min((s.price for s in self.ways(item)), default=0)

    def only(self, types: Container[str], cables: Container[str]) -> Problem:
        """The same problem with these device types, and these and the owned cables."""
        return replace(
            self,
            hosts=tuple(d for d in self.hosts if d.id in types),
            satellites=tuple(d for d in self.satellites if d.id in types),
            cables=tuple(c for c in self.cables if c.id in cables or self.owned(c.id)),
        )

    @cached_property
    def devices(self) -> tuple[Device, ...]:
        """Every usable type once, in the order of ids."""
        unique = {device.id: device for device in self.hosts + self.satellites}
        return tuple(unique[key] for key in sorted(unique))

    def cables_of(self, kind: Kind) -> tuple[Cable, ...]:
        """Usable cables of `kind`."""
        return tuple(cable for cable in self.cables if cable.kind == kind)

    @cached_property
    def attachable(self) -> int:
        """Most audio links that all hosts together can take."""
        most = (sum(h.live_in(k, self.rate_hz) for k in KINDS) for h in self.hosts)
        return self.needs.max_hosts * max(most, default=0)

    @cached_property
    def max_units(self) -> int:
        """Most units that a cheapest rig can have.

        A unit that neither hosts, sends audio, feeds outputs nor is required is there to
        hand on the clock, so it lies on the way from the master to one that does; there
        are at most `max_hops` such units on each way.
        """
        fed = self.needs.max_hosts * max(
            (sum(h.live_out(k, self.rate_hz) for k in KINDS) for h in self.hosts), default=0
        )
        useful = self.needs.max_hosts + self.attachable + len(self.needs.require)
        if self.needs.out_line:
            useful += fed
        bound = useful * (1 + self.needs.max_hops)
        return bound if self.needs.units is None else min(bound, self.needs.units)

    @cached_property
    def max_links(self) -> int:
        """Most links: audio, returns for outputs, and one for each unit's clock."""
        fed = self.needs.max_hosts * max(
            (sum(h.live_out(k, self.rate_hz) for k in KINDS) for h in self.hosts), default=0
        )
        return self.attachable + fed + self.max_units


def state(catalogue: Catalogue, needs: Needs) -> Problem:
    """Narrow the catalogue to what the needs allow."""
    supplies = _supplies(catalogue, needs)

    def obtainable(item: str) -> bool:
        return item in supplies or needs.owned.get(item, 0) > 0

    devices = [
        catalogue.devices[key]
        for key in sorted(catalogue.devices)
        if obtainable(key) and needs.rate_hz in catalogue.devices[key].rates_hz
    ]
    shortest = min(needs.host_to_rack_mm, needs.within_rack_mm)
    return Problem(
        catalogue=catalogue,
        needs=needs,
        hosts=tuple(d for d in devices if d.may_host and d.computer in needs.ports),
        satellites=tuple(d for d in devices if d.may_expand),
        cables=tuple(
            catalogue.cables[key]
            for key in sorted(catalogue.cables)
            if obtainable(key)
            and shortest <= catalogue.cables[key].length_mm <= _limit(catalogue.cables[key])
        ),
        supplies=supplies,
    )


def _limit(cable: Cable) -> int:
    return CABLE_LIMIT_MM[cable.kind]


def _supplies(catalogue: Catalogue, needs: Needs) -> dict[str, tuple[Supply, ...]]:
    supplies: dict[str, tuple[Supply, ...]] = {}
    for device in catalogue.devices.values():
        if device.price is not None and device.id not in needs.avoid:
            supplies[device.id] = (Supply(device.id, device.price),)
    for cable in catalogue.cables.values():
        if cable.price is not None and cable.id not in needs.avoid:
            supplies[cable.id] = (Supply(cable.id, cable.price, cable.pack),)
    return supplies
