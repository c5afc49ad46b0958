"""The digital sockets of a device as they are at a rate, one by one.

What a socket can speak depends on its number and on the class of the rate: the first
`optical_1x` (`_2x`, `_4x`) sockets of a direction have a light-pipe of their own, the first
`optical_stereo` can carry two-channel stereo instead, the first `coax_2x` (`_4x`) work, and a
trunk works where its format has channels. A socket that can speak nothing is dead: it
carries neither audio nor clock.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import product
from typing import Final, Literal, NamedTuple

from rigopt.catalogue.types import MANY, Device, InOut, SocketRef
from rigopt.facts import (
    COAX,
    FORMATS,
    LIGHT_PIPE,
    OPTICAL_STEREO,
    RATE_MULTIPLIER,
    SOCKET_KINDS,
    Format,
    SocketKind,
)

Way = Literal["in", "out"]

BY_SOCKET: Final[dict[SocketKind, tuple[Format, ...]]] = {
    kind: tuple(row for row in FORMATS.values() if row.socket == kind) for kind in SOCKET_KINDS
}


class Socket(NamedTuple):
    """A socket that is live. `ref.way` is `in` for one that is both ways (`duplex`).

    `formats`: what it can speak, in the order of the table; `locks`: whether the unit can take
    its clock from it; `converts`: whether a sample-rate converter stands behind it.
    """

    ref: SocketRef
    formats: tuple[Format, ...]
    duplex: bool
    locks: bool
    converts: bool


def sockets(device: Device, rate_hz: int) -> tuple[Socket, ...]:
    """The live sockets of `device` at a rate: by kind, inputs first, by number."""
    return tuple(_live(device, RATE_MULTIPLIER[rate_hz]))


def _live(device: Device, multiplier: int) -> Iterator[Socket]:
    for ref in _all(device):
        kind, way, number = ref
        spoken = tuple(
            row
            for row in _spoken(device, kind)
            if row.live(multiplier) and number <= _limit(device, row, way, multiplier)
        )
        if spoken:
            hears = way == "in" and any(row.clock for row in spoken)
            yield Socket(
                ref,
                spoken,
                duplex=any(row.duplex for row in spoken),
                locks=hears and (kind in device.clock_in or ref in device.clock_in),
                converts=way == "in" and kind in device.rate_converter,
            )


def _all(device: Device) -> Iterator[SocketRef]:
    both = device.trunk is not None and device.trunk.duplex
    counts: tuple[tuple[SocketKind, Way, int], ...] = (
        ("optical", "in", device.optical_in),
        ("optical", "out", device.optical_out),
        ("coax", "in", device.coax_in),
        ("coax", "out", device.coax_out),
        ("word", "in", device.word_in),
        ("word", "out", device.word_out),
        ("trunk", "in", device.trunk_in),
        ("trunk", "out", 0 if both else device.trunk_out),
    )
    for kind, way, count in counts:
        for number in range(1, count + 1):
            yield SocketRef(kind, way, number)


def _spoken(device: Device, kind: SocketKind) -> tuple[Format, ...]:
    """What sockets of a kind speak at all, in the order of the table."""
    if kind == "trunk":
        return () if device.trunk is None else (device.trunk,)
    return BY_SOCKET[kind]


def _limit(device: Device, row: Format, way: Way, multiplier: int) -> int:
    """The last socket of a direction that speaks a format at a class."""
    by_class: dict[str, tuple[int | InOut, int | InOut, int | InOut]] = {
        LIGHT_PIPE: (device.optical_1x, device.optical_2x, device.optical_4x),
        OPTICAL_STEREO: (device.optical_stereo,) * 3,
        COAX: (MANY, device.coax_2x, device.coax_4x),
    }
    limit = by_class.get(row.id, (MANY,) * 3)[(1, 2, 4).index(multiplier)]
    if isinstance(limit, int):
        return limit
    return limit.inputs if way == "in" else limit.outputs


def modes(device: Device, live: Iterable[Socket]) -> tuple[frozenset[SocketRef], ...]:
    """Sets of sockets that can be in use together: as many as the `either` groups allow.

    One set of all live sockets where there is no group.
    """
    there = frozenset(socket.ref for socket in live)
    groups = [[ref for ref in group if ref in there] for group in device.either]
    groups = [group for group in groups if len(group) > 1]
    shared = frozenset(ref for group in groups for ref in group)
    found: list[frozenset[SocketRef]] = []
    for chosen in product(*([None, *group] for group in groups)):
        kept = frozenset(ref for ref in chosen if ref is not None)
        if all(len(kept.intersection(group)) <= 1 for group in groups):
            found.append(kept)
    return tuple(
        (there - shared) | kept
        for kept in dict.fromkeys(found)
        if not any(kept < other for other in found)
    )
