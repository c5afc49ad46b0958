"""What has come and what has changed from one rig to the one that follows it.

Units that are the same box have the same name in both.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Literal, NamedTuple

from rigopt.output.facts.cables import pieces
from rigopt.rig.types import Link, Rig, Unit

Change = Literal["new", "changed"]


class Changes(NamedTuple):
    """Units by name, and cables by number, that came or are not as they were.

    A cable is changed that was there, as far as its type tells, and goes elsewhere.
    """

    units: Mapping[str, Change]
    cables: Mapping[int, Change]


def changes(before: Rig, after: Rig) -> Changes:
    """The changes of `after` against `before`."""
    old = {unit.name: unit for unit in before.units}
    units: dict[str, Change] = {}
    for unit in after.units:
        if unit.name not in old:
            units[unit.name] = "new"
        elif _setting(old[unit.name]) != _setting(unit):
            units[unit.name] = "changed"
    return Changes(units, _cables(before, after))


def _cables(before: Rig, after: Rig) -> dict[int, Change]:
    there = Counter(_ways(cable.links) for cable in pieces(before.links))
    others = []
    for cable in pieces(after.links):
        if there[_ways(cable.links)]:
            there[_ways(cable.links)] -= 1
        else:
            others.append(cable)
    free = Counter(cable for _, cable in there.elements())
    found: dict[int, Change] = {}
    for cable in others:
        item = _item(cable.first)
        found[cable.numbers[0]] = "changed" if free[item] else "new"
        free[item] -= free[item] > 0
    return found


def _ways(links: Sequence[Link]) -> tuple[frozenset[object], str | None]:
    """The sockets that a piece joins, and its type."""
    ends = frozenset((link.format.id, link.after, link.start, link.end) for link in links)
    return ends, _item(links[0])


def _item(link: Link) -> str | None:
    return link.cable.id if link.cable else None


def _setting(unit: Unit) -> tuple[object, ...]:
    clock = unit.clock and (unit.clock.source, unit.clock.socket)
    return unit.role, clock, unit.phantom_banks_on
