"""Units of a small rig, their channels and 48 V banks, by the plain words of the rules.

Unit 0 is the host. Channels, banks and connectors count from 0 here.
"""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from rigopt.catalogue.types import ACCEPTS, Device

Boxes = tuple[Device, ...]
"""The host, then the others."""

CLASS = {48_000: 1, 96_000: 2}
"""The rates of these rigs."""


class Sort(NamedTuple):
    """Channels of one unit that are alike: the same bank (or none) and kind of input."""

    unit: int
    bank: int | None
    kind: str


@cache
def sort_of(boxes: Boxes, unit: int, channel: int) -> Sort:
    """What a channel is like."""
    device = boxes[unit]
    return Sort(unit, bank(device, channel), device.channel_kinds[channel])


def accepting(device: Device, source: str) -> list[int]:
    """The channels that accept a source, in the order of their numbers."""
    return [n for n, kind in enumerate(device.channel_kinds) if source in ACCEPTS[kind]]


def bank(device: Device, channel: int) -> int | None:
    """The 48 V switch of a channel."""
    able = accepting(device, "mic")
    if channel not in able:
        return None
    sizes = device.phantom_bank
    if isinstance(sizes, int):
        return able.index(channel) // sizes if sizes else None
    left = able.index(channel)
    for number, size in enumerate(sizes):
        if left < size:
            return number
        left -= size
    return None


def converted(device: Device, rate_hz: int) -> int:
    """Analogue channels, from the first, that are converted at the rate."""
    everything = len(device.channel_kinds)
    return everything if CLASS[rate_hz] == 1 else min(everything, device.analogue_2x)


def live(device: Device, there: int, rate_hz: int) -> int:
    """Of so many optical sockets those that carry light-pipe at the rate."""
    limit = device.optical_1x if CLASS[rate_hz] == 1 else device.optical_2x
    assert isinstance(limit, int)
    return min(there, limit)


def connector(device: Device, channel: int, source: str) -> tuple[int, int]:
    """D-sub connector and place of an input for line, or ("mic") of a direct out."""
    return divmod(accepting(device, source).index(channel), 8)
