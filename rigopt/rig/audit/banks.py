"""What each channel accepts, and the 48 V banks, walked through one channel at a time."""

from __future__ import annotations

from rigopt.catalogue.types import Device
from rigopt.rig.audit.wiring import Wiring
from rigopt.rig.types import Unit

TAKES = {
    "mic_line_inst": ("mic", "line", "instrument"),
    "mic_line": ("mic", "line"),
    "mic": ("mic",),
    "line_inst": ("line", "instrument"),
    "line": ("line",),
    "inst": ("instrument",),
}
"""What channels accept, in the order in which a unit numbers them if it says no other."""


def accepts(device: Device) -> list[tuple[str, ...]]:
    """What each channel accepts, channel 1 first."""
    order = [*device.channel_order, *(c for c in TAKES if c not in device.channel_order)]
    return [TAKES[column] for column in order for _ in range(getattr(device, column))]


def microphones(device: Device) -> list[int]:
    """The channels that accept a microphone, ascending; direct outs carry the first."""
    return [n for n, takes in enumerate(accepts(device), start=1) if "mic" in takes]


def banks(device: Device) -> list[list[int]]:
    """The channels of each 48 V bank, bank 1 first.

    Of banks of one size the last may be short; beyond a list of sizes there is no 48 V.
    """
    left = microphones(device)
    sizes = device.phantom_bank
    found: list[list[int]] = []
    while left and (sizes if isinstance(sizes, int) else len(found) < len(sizes)):
        size = sizes if isinstance(sizes, int) else sizes[len(found)]
        found.append(left[:size])
        del left[:size]
    return found


def powered(unit: Unit) -> set[int]:
    """The channels that get 48 V."""
    numbered = enumerate(banks(unit.device), start=1)
    on = (channels for number, channels in numbered if number in unit.phantom_banks_on)
    return {channel for channels in on for channel in channels}


def channels(wiring: Wiring) -> dict[tuple[str, int], tuple[tuple[str, ...], bool]]:
    """What each channel of each unit accepts, and whether it gets 48 V."""
    return {
        (unit.name, number): (kinds, number in on)
        for unit, on in ((unit, powered(unit)) for unit in wiring.units)
        for number, kinds in enumerate(accepts(unit.device), start=1)
    }
