"""Units counted by their type."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from rigopt.rig.types import Unit


def labels(units: Iterable[Unit]) -> dict[str, str]:
    """The label of each device id, in the order of `mix`."""
    boxes = list(units)
    found = {unit.device.id: unit.device.label for unit in boxes}
    return {one: found[one] for one in mix(boxes)}


def mix(units: Iterable[Unit]) -> dict[str, int]:
    """How many there are of each device id: hosts first, each in the order of ids."""
    boxes = list(units)
    hosts = {unit.device.id for unit in boxes if unit.role == "host"}
    counts = Counter(unit.device.id for unit in boxes)
    order = sorted(counts, key=lambda one: (one not in hosts, one))
    return {one: counts[one] for one in order}
