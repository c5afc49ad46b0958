"""Levels of analogue lines, as far as notes and steps speak of them.

dBu is by 0.7746 V, the square root of 0.6 V squared, dBV by 1 V; full scale is the level in
dBu at which a converter clips. Ohms are those of a load without phase.
"""

from __future__ import annotations

from math import log10
from typing import Final

DBU_SQUARED_VOLTS: Final = 0.6
"""Square of the voltage of 0 dBu: 1 mW into 600 ohm."""

STUDIO_DBU: Final = 4.0
CONSUMER_DBV: Final = -10.0
"""The two usual line levels (practice)."""

EBU_R68: Final = (-18.0, 0.0)
SMPTE_RP155: Final = (-20.0, 4.0)
"""A digital level (dBFS) and the analogue one (dBu) that it stands for (restated)."""

BRIDGING: Final = 10
"""A load of so many times the source or more (practice)."""

PEAKS_DBFS: Final = (-18, -12)
"""Where the peaks of the loudest passage lie in a recording (guides, practice)."""

PASSIVE_DI: Final = 10
"""Turns ratio of a usual passive DI box (practice)."""


def dbu(dbv: float) -> float:
    """A level given in dBV: 0 dBV is 2.218 dBu."""
    return dbv + 10 * log10(1 / DBU_SQUARED_VOLTS)


def over_consumer() -> float:
    """How many decibels the studio level lies above the consumer level."""
    return STUDIO_DBU - dbu(CONSUMER_DBV)


def full_scale(alignment: tuple[float, float]) -> float:
    """Full scale in dBu of a converter aligned so: +18 by EBU R68, +24 by SMPTE RP155."""
    digital, analogue = alignment
    return analogue - digital


def clips_by(sender: float, receiver: float) -> float:
    """By how many decibels a sender's most, in dBu, is above a receiver's; 0 if it is not."""
    return max(0.0, sender - receiver)


def loading(source_ohm: float, load_ohm: float) -> float:
    """What a load leaves of a source's level, in decibels: 0 or below."""
    return 20 * log10(load_ohm / (source_ohm + load_ohm))


def through_transformer(ratio: float) -> float:
    """What a transformer of so many to 1 turns leaves of a level, in decibels."""
    return -20 * log10(ratio)
