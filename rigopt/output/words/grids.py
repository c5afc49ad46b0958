"""Tables that a terminal and a page both show, in words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple


class Grid(NamedTuple):
    """A table with what belongs to it; without rows there are the `lines` alone.

    `soft` and `right` are headers: of the columns that give way to others, and of those of
    numbers. `known`: what ids in the table stand for. `lines`: sentences under it.
    """

    headers: Sequence[str]
    rows: Sequence[Sequence[str]]
    soft: Sequence[str]
    right: Sequence[str]
    known: Sequence[str] = ()
    lines: Sequence[str] = ()


def counted(devices: Iterable[tuple[str, int]]) -> str:
    """Devices with their numbers, in a cell: '1 hub-4, 2 pre-8'."""
    return ", ".join(f"{number} {item}" for item, number in devices) or "nothing"
