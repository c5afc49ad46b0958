"""48 V banks: microphone channels that share one switch.

Banks count from 1 and take the channels in their order; the last may be short. A channel
that takes no microphone is in none, nor is any of a device without 48 V.
"""

from __future__ import annotations

from rigopt.catalogue.types import Device
from rigopt.rig.types import Unit


def banks(device: Device) -> range:
    """The numbers of its banks."""
    size = device.phantom_bank
    return range(1, -(-device.mic_capable // size) + 1) if size else range(0)


def bank_of(device: Device, channel: int) -> int | None:
    """The bank that a channel is in, if any."""
    size = device.phantom_bank
    return (channel - 1) // size + 1 if size and channel <= device.mic_capable else None


def powered(unit: Unit) -> tuple[int, ...]:
    """The channels of a unit that get 48 V: those in banks that are on."""
    able, on = unit.device.mic_capable, unit.phantom_banks_on
    return tuple(n for n in range(1, able + 1) if bank_of(unit.device, n) in on)


def as_fine(device: Device, other: Device) -> bool:
    """Whether each bank of `other` is made of whole banks of `device`."""
    size = device.phantom_bank
    return size > 0 and other.phantom_bank % size == 0
