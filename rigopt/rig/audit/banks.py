"""What each channel accepts, and the 48 V banks, walked through one channel at a time."""

from __future__ import annotations

from rigopt.catalogue.types import Device
from rigopt.rig.audit.wiring import Wiring
from rigopt.rig.types import Unit

ORDER = (
    ("mic_line_inst", "mic line instrument"),
    ("mic_line", "mic line"),
    ("mic", "mic"),
    ("line_inst", "line instrument"),
    ("line", "line"),
    ("inst", "instrument"),
)
"""What channels accept, in the order in which a unit numbers them."""


def accepts(device: Device) -> list[tuple[str, ...]]:
    """What each channel accepts, channel 1 first."""
    return [
        tuple(words.split()) for column, words in ORDER for _ in range(getattr(device, column))
    ]


def banks(device: Device) -> list[list[int]]:
    """The channels of each 48 V bank, bank 1 first; the last may be short."""
    kinds, size = accepts(device), device.phantom_bank
    microphones = [number for number, kind in enumerate(kinds, start=1) if "mic" in kind]
    found = []
    while size and microphones:
        found.append(microphones[:size])
        del microphones[:size]
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
