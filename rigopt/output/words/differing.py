"""How a rig differs from another, in cells of a table."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from rigopt.answers.choice import difference
from rigopt.money import to_text
from rigopt.rig.types import Rig

DIFFERS: Final = ("Instead of", "There is")


def beside(rig: Rig, other: Rig, currency: str) -> list[str]:
    """What another rig costs, how much more that is, and what it has instead of what."""
    differs = difference(rig, other)
    return [
        to_text(other.total, currency),
        to_text(differs.money, currency),
        _counted(differs.less),
        _counted(differs.more),
    ]


def _counted(devices: Iterable[tuple[str, int]]) -> str:
    """Devices with their numbers, in a cell: '1 hub-4, 2 pre-8'."""
    return ", ".join(f"{number} {item}" for item, number in devices) or "nothing"
