"""Sockets that have no cable, and sockets that do not work at the rate."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal, NamedTuple

from rigopt.facts import KINDS, Kind
from rigopt.rig.audit.sockets import ends, fitted, live
from rigopt.rig.types import Link, Unit

Way = Literal["input", "output"]


class Sockets(NamedTuple):
    """Sockets of one kind and way on a unit.

    `free` are the numbers of those that work at the rate and have no cable; `dead` counts
    those that do not work at it.
    """

    unit: str
    kind: Kind
    way: Way
    free: tuple[int, ...]
    dead: int


def free_sockets(units: Iterable[Unit], links: Iterable[Link], rate_hz: int) -> list[Sockets]:
    """All of them by unit, kind and way, those without any socket as well."""
    taken = {end for link in links for end in ends(link)}
    ways: tuple[Way, ...] = ("input", "output")
    found = []
    for unit in units:
        for kind in KINDS:
            for way in ways:
                last = live(unit.device, kind, way, rate_hz)
                numbers = range(1, last + 1)
                free = tuple(n for n in numbers if (unit.name, kind, way, n) not in taken)
                dead = fitted(unit.device, kind, way) - last
                found.append(Sockets(unit.name, kind, way, free, dead))
    return found
