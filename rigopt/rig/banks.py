"""48 V banks: microphone inputs that share one switch.

Banks count from 1 and take the inputs for microphones in the order of their channels: so
many each, the last may be short, or as many as a list says. An input beyond the list has no
48 V, nor has one that takes no microphone.
"""

from __future__ import annotations

from functools import lru_cache

from rigopt.catalogue.types import ACCEPTS, Device
from rigopt.rig.types import Unit


@lru_cache(maxsize=4096)
def bank_channels(device: Device) -> tuple[tuple[int, ...], ...]:
    """The channels of each bank, bank 1 first."""
    able = [n for n, kind in enumerate(device.channel_kinds, 1) if "mic" in ACCEPTS[kind]]
    sizes = device.phantom_bank
    if isinstance(sizes, int):
        sizes = (sizes,) * -(-len(able) // sizes) if sizes else ()
    found = []
    for size in sizes:
        found.append(tuple(able[:size]))
        del able[:size]
    return tuple(found)


def banks(device: Device) -> range:
    """The numbers of its banks."""
    return range(1, len(bank_channels(device)) + 1)


def bank_of(device: Device, channel: int) -> int | None:
    """The bank that a channel is in, if any."""
    for number, channels in enumerate(bank_channels(device), 1):
        if channel in channels:
            return number
    return None


def powered(unit: Unit) -> tuple[int, ...]:
    """The channels of a unit that get 48 V: those in banks that are on."""
    return tuple(
        channel
        for number, channels in enumerate(bank_channels(unit.device), 1)
        if number in unit.phantom_banks_on
        for channel in channels
    )


def as_fine(device: Device, other: Device) -> bool:
    """Whether each bank of `other` is made of whole banks of `device`."""
    fine = bank_channels(device)
    return all(
        set(bank) == {n for part in fine if set(part) <= set(bank) for n in part}
        for bank in bank_channels(other)
    )
