"""Squads: multisets of boxes, each in the role that it plays, within the limits asked for."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass

from rigopt.catalogue.types import Catalogue, Device
from rigopt.needs.types import Needs
from tests.oracle.brute.purse import Purse


@dataclass(frozen=True)
class Box:
    """A unit in a role, before it has a name."""

    device: Device
    role: str

    def __str__(self) -> str:
        return f"{self.device.id}/{self.role}"

    __repr__ = __str__


Boxes = tuple[Box, ...]


def squads(catalogue: Catalogue, needs: Needs, purse: Purse) -> Iterator[tuple[int, Boxes]]:
    """Every multiset of boxes within the limits, with what its boxes and extras cost."""
    pool = list(castings(catalogue, needs))
    for size in range(1, (needs.units or 0) + 1):
        for boxes in itertools.combinations_with_replacement(pool, size):
            cost = purse.boxes([box.device for box in boxes])
            if cost is not None and within_limits(boxes, needs):
                yield cost, boxes


def castings(catalogue: Catalogue, needs: Needs) -> Iterator[Box]:
    """Each device in each role that it may play at the rate of the needs."""
    for device in catalogue.devices.values():
        if needs.rate_hz not in device.rates_hz:
            continue
        if device.role in ("host", "either") and device.computer in needs.ports:
            yield Box(device, "host")
        if device.role in ("expander", "either"):
            yield Box(device, "expander")
        if device.role == "clock":
            yield Box(device, "clock")


def within_limits(boxes: Boxes, needs: Needs) -> bool:
    """Whether hosts, height, plugs, headphones and required devices are as asked."""
    hosts = [box.device for box in boxes if box.role == "host"]
    height = sum(box.device.rack_units for box in boxes)
    plugs = sum(box.device.mains for box in boxes)
    ids = {box.device.id for box in boxes}
    return (
        1 <= len(hosts) <= needs.max_hosts
        and (needs.rack_units is None or height <= needs.rack_units)
        and (needs.mains is None or plugs <= needs.mains)
        and sum(host.phones for host in hosts) >= needs.out_phones
        and ids >= set(needs.require)
    )
