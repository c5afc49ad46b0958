"""Sockets that have no cable, and sockets that do not work at the rate."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from typing import Final, Literal, NamedTuple

from rigopt.catalogue.types import Device, SocketRef
from rigopt.facts import SOCKET_KINDS, SocketKind
from rigopt.rig.sockets import sockets
from rigopt.rig.types import Link, Unit

Way = Literal["input", "output"]

_SHORT: Final[dict[Way, Literal["in", "out"]]] = {"input": "in", "output": "out"}


class Sockets(NamedTuple):
    """Sockets of one kind and way on a unit; those that are both ways count as inputs.

    `free` are the numbers of those that work at the rate and have no cable, nor share a
    receiver with one that has; `dead` counts those that do not work at the rate.
    """

    unit: str
    kind: SocketKind
    way: Way
    free: tuple[int, ...]
    dead: int


def free_sockets(units: Iterable[Unit], links: Iterable[Link], rate_hz: int) -> list[Sockets]:
    """All of them by unit, kind and way, those without any socket as well."""
    ends = {end for link in links for end in (link.start, link.end)}
    return [
        Sockets(unit.name, kind, way, free, dead)
        for unit in units
        for kind, way, free, dead in _of(
            unit.device, {ref for name, ref in ends if name == unit.name}, rate_hz
        )
    ]


def _of(
    device: Device, taken: set[SocketRef], rate_hz: int
) -> Iterator[tuple[SocketKind, Way, tuple[int, ...], int]]:
    blocked = taken.union(*(group for group in device.either if taken.intersection(group)))
    live = [socket.ref for socket in sockets(device, rate_hz)]
    there = Counter((ref.kind, ref.way) for ref in live)
    for kind in SOCKET_KINDS:
        for way, short in _SHORT.items():
            free = tuple(
                ref.number
                for ref in live
                if (ref.kind, ref.way) == (kind, short) and ref not in blocked
            )
            yield kind, way, free, fitted(device, kind, short) - there[kind, short]


def fitted(device: Device, kind: SocketKind, way: Literal["in", "out"]) -> int:
    """How many sockets of a kind and way a device has, live or not."""
    return int(getattr(device, f"{kind}_{way}"))
