"""Things to watch when this very rig is set up. Each line has a reason in the rig."""

from __future__ import annotations

import datetime
from typing import Final

from rigopt.facts import OPTICAL_WARNING_MM, RATE_MULTIPLIER
from rigopt.output.terminal.layout import paragraph
from rigopt.output.words.phrases import khz, metres, runs
from rigopt.rig.types import Rig

OLD_DAYS: Final = 60


def advice(rig: Rig, today: datetime.date | None = None) -> str:
    """The lines that apply, as a list; empty when none does. Without a day no price is old."""
    lines = (
        _long_optical(rig), _high_rate(rig), _several_hosts(rig), _phantom(rig),
        _old_prices(rig, today),
    )  # fmt: skip
    found = [text for text in lines if text]
    return "\n".join(paragraph(text, "- ") for text in found)


def _long_optical(rig: Rig) -> str:
    """Above 5 m plastic fibre is not sure to work (common practice, no source)."""
    numbers = [
        number
        for number, link in enumerate(rig.links, start=1)
        if link.kind == "optical" and link.cable and link.cable.length_mm > OPTICAL_WARNING_MM
    ]
    if not numbers:
        return ""
    which = f"Cable {numbers[0]} is" if len(numbers) == 1 else f"Cables {runs(numbers)} are"
    return (
        f"{which} optical and longer than {metres(OPTICAL_WARNING_MM)}: up to 10 m may work, "
        "but only with good cable. Test before you rely on it, or move the units closer."
    )


def _high_rate(rig: Rig) -> str:
    """Receivers cannot detect 2x or 4x on light-pipe (Linux kernel `hdspm.c`)."""
    optical = any(link.kind == "optical" for link in rig.links)
    if not optical or RATE_MULTIPLIER[rig.rate_hz] == 1:
        return ""
    return (
        f"Set {khz(rig.rate_hz)} kHz by hand at both ends of every optical cable: a "
        "receiver normally cannot tell the higher rates from the signal."
    )


def _several_hosts(rig: Rig) -> str:
    hosts = sum(unit.role == "host" for unit in rig.units)
    if hosts < 2:
        return ""
    return (
        f"The computer has to join the {hosts} hosts into one aggregate device, in the "
        "order shown, for the input numbers above to hold."
    )


def _phantom(rig: Rig) -> str:
    """Practice of the trade; ribbon microphones are the ones at risk."""
    if not any(unit.phantom_banks_on for unit in rig.units):
        return ""
    return (
        "Switch 48 V off, and wait, before you plug or unplug a microphone. Ribbon "
        "microphones can be harmed: follow their makers' manuals."
    )


def _old_prices(rig: Rig, today: datetime.date | None) -> str:
    """Offers change; 60 days is a guess that serves (no source)."""
    old = [
        f"{line.label or line.item} at {line.seller} ({line.as_of})"
        for line in rig.purchases
        if today and line.as_of and (today - line.as_of).days > OLD_DAYS
    ]
    if not old:
        return ""
    return (
        f"On {today} these prices are older than {OLD_DAYS} days: {', '.join(old)}. "
        "Ask again before you order."
    )
