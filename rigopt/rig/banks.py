"""48 V banks: microphone inputs that share one switch; banks count from 1."""

from __future__ import annotations

from rigopt.catalogue.types import Device
from rigopt.rig.types import Unit


def banks(device: Device) -> range:
    """The numbers of its banks."""
    return range(1, len(device.bank_channels) + 1)


def bank_of(device: Device, channel: int) -> int | None:
    """The bank that a channel is in, if any."""
    for number, channels in enumerate(device.bank_channels, 1):
        if channel in channels:
            return number
    return None


def powered(unit: Unit) -> tuple[int, ...]:
    """The channels of a unit that get 48 V: those in banks that are on."""
    return tuple(
        channel
        for number, channels in enumerate(unit.device.bank_channels, 1)
        if number in unit.phantom_banks_on
        for channel in channels
    )


def as_fine(device: Device, other: Device) -> bool:
    """Whether each bank of `other` is made of whole banks of `device`."""
    fine = device.bank_channels
    return all(
        set(bank) == {n for part in fine if set(part) <= set(bank) for n in part}
        for bank in other.bank_channels
    )
