"""What to be careful of, each with its source. Manuals, local rules and people come first."""

from __future__ import annotations

from typing import Final

from rigopt.output.words.phrases import count, plain
from rigopt.rig.types import Rig

MANUALS: Final = (
    "The makers' manuals, the rules of your place and qualified people come before anything "
    "on this sheet. Fixed wiring is an electrician's work."
)

# 29 CFR 1910.334(a)(3) (text), WAC 296-24-985(1)(c)(ii) (memory).
EARTH: Final = "Never defeat the protective earth of a mains plug, not even to cure a hum."

# NIOSH lifting equation (restated).
LIFTING: Final = (
    "One person alone lifts 23 kg at most, and less in an awkward posture. A full rack is "
    "heavier than it looks: lift it with two."
)

# Practice notes (restated) and common practice, no source.
PHANTOM: Final = (
    "48 V can harm ribbon microphones and gear that is not made for it. Switch it off, and "
    "wait, before you plug or unplug anything or patch through a jack bay."
)

# Makers' notes (restated).
OUTPUTS: Final = (
    "48 V can destroy an output that is plugged into it by XLR. It has to be off before the "
    "plug goes in, and to stay off."
)

# Makers' notes (restated).
JACKS: Final = (
    "Where 48 V is on and no microphone is plugged in, only a jack plug may go in: an XLR plug "
    "would carry 48 V to the source."
)

# Common practice, no source.
LEVELS: Final = (
    "Keep monitors and headphones down while cables, clock or rate change: a lost lock can "
    "be loud."
)

# NIOSH 98-126 (text).
HEARING: Final = (
    "Spare your ears: 85 dBA is the limit for 8 hours, and every 3 dB more halves the time. "
    "At 100 dBA it is 15 minutes."
)


def strips(rig: Rig) -> str:
    """Electrical Safety First; BS 1363 (restated). The watts are those of the catalogue."""
    watts = sum(unit.device.watts for unit in rig.units)
    # A DI box that has no plug and no clock draws nothing, or 48 V.
    drawing = [unit for unit in rig.units if unit.device.mains or unit.clock]
    silent = sum(not unit.device.watts for unit in drawing)
    text = "Never plug one socket strip into another, and stay below the rating marked on it."
    if watts:
        known = (
            "not counting " + count(silent, "unit") + " of unknown power, " if silent else ""
        )
        text += f" These units draw {known}{plain(watts)} W in all."
    return f"{text} Add what else is plugged in."
