"""Units counted by their type, and their channels with 48 V."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from rigopt.rig.numbering import phantom_on
from rigopt.rig.types import Unit


def mix(units: Iterable[Unit]) -> dict[str, int]:
    """How many there are of each device id: hosts first, each in the order of ids."""
    boxes = list(units)
    hosts = {unit.device.id for unit in boxes if unit.role == "host"}
    counts = Counter(unit.device.id for unit in boxes)
    order = sorted(counts, key=lambda one: (one not in hosts, one))
    return {one: counts[one] for one in order}


def powered(unit: Unit) -> list[int]:
    """The channels that get 48 V."""
    return [n for n in range(1, unit.device.mic_capable + 1) if phantom_on(unit, n)]
