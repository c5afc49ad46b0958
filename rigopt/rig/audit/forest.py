"""The way of the clock, from every unit back to the master of its tree."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from rigopt.rig.types import Unit


class Place(NamedTuple):
    """Where a unit hangs: the master of its tree, and how many links away that is."""

    master: str
    hops: int


def forest(units: Iterable[Unit]) -> dict[str, Place]:
    """The place of each unit whose chain ends in one on its internal clock."""
    found: dict[str | None, Place | None] = {}
    before: dict[str, str | None] = {}
    for unit in units:
        if is_master(unit):
            found[unit.name] = Place(unit.name, 0)
        elif unit.clock is not None:
            before[unit.name] = unit.clock.from_unit
    for start in before:
        way: dict[str, None] = {}
        name: str | None = start
        while name in before and name not in way and name not in found:
            way[name] = None
            name = before[name]
        end = found.get(name)
        for further, passed in enumerate(reversed(way), start=1):
            found[passed] = end and Place(end.master, end.hops + further)
    return {name: place for name, place in found.items() if name and place}


def is_master(unit: Unit) -> bool:
    """Whether it runs on its internal clock."""
    return unit.clock is not None and unit.clock.source == "internal"
