"""What to plug and what to set on each unit, as the cells of tables."""

from __future__ import annotations

from typing import Final

from rigopt.output.words.phrases import runs
from rigopt.rig.banks import powered
from rigopt.rig.types import Link, Rig, Unit

LINK_HEADERS: Final = ("No", "Format", "From", "To", "Carries", "Cable")


def link_rows(rig: Rig) -> list[list[str]]:
    """Every digital cable under `LINK_HEADERS`, numbered; sockets count from 1."""
    return [
        [
            str(number),
            link.kind,
            f"{link.from_unit} out {link.from_socket}",
            f"{link.to_unit} in {link.to_socket}",
            _load(link),
            piece(link, "–"),
        ]
        for number, link in enumerate(rig.links, start=1)
    ]


def piece(link: Link, unnamed: str) -> str:
    """The cable's label; `unnamed` where nobody named the cable."""
    return (link.cable.label or link.cable.id) if link.cable else unnamed


def clock_setting(unit: Unit) -> str:
    """What to choose in the unit's clock menu."""
    clock = unit.clock
    if clock.source == "internal":
        return "internal (clock master)"
    return f"locked to {clock.source} in {clock.socket}, from {clock.from_unit}"


def banks(unit: Unit) -> str:
    """'ch 1–3' where each channel has its 48 V switch, or 'bank 1 (ch 1–4)'."""
    on = unit.phantom_banks_on
    if not on:
        return "none" if unit.device.phantom_bank and unit.device.mic_capable else "–"
    channels = f"ch {runs(powered(unit))}"
    if unit.device.phantom_bank == 1:
        return channels
    return f"{'bank' if len(on) == 1 else 'banks'} {runs(on)} ({channels})"


def _load(link: Link) -> str:
    """'8 ch + clock', '8 ch', 'clock'."""
    sound = [f"{link.channels} ch"] if "audio" in link.carries else []
    return " + ".join([*sound, *(["clock"] if "clock" in link.carries else [])])
