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
            link.format.label,
            starts(link),
            ends(link),
            _load(link),
            piece(link, "–"),
        ]
        for number, link in enumerate(rig.links, start=1)
    ]


def starts(link: Link) -> str:
    """Where a cable begins: 'expander-1 out 1', 'stage-1 socket 1', or 'expander-1 tee'."""
    if link.after is not None:
        return f"{link.after} tee"
    way = "socket" if link.format.duplex else "out"
    return f"{link.from_unit} {way} {link.from_socket}"


def ends(link: Link) -> str:
    """Where a cable ends: 'host-1 in 1', or 'host-1 socket 1' of one that is both ways."""
    way = "socket" if link.format.duplex else "in"
    return f"{link.to_unit} {way} {link.to_socket}"


def piece(link: Link, unnamed: str) -> str:
    """The cable's label; `unnamed` where nobody named the cable."""
    if link.cable is None:
        return unnamed
    return " + ".join(piece.label or piece.id for piece in link.pieces)


def clock_setting(unit: Unit) -> str:
    """What to choose in the unit's clock menu."""
    clock = unit.clock
    if clock is None:
        return "needs no clock"
    if clock.source == "internal":
        return "internal (clock master)"
    way = "socket" if both_ways(unit, clock.source) else "in"
    return f"locked to {clock.source} {way} {clock.socket}, from {clock.from_unit}"


def both_ways(unit: Unit, kind: str) -> bool:
    """Whether the sockets of a kind are both ways."""
    return kind == "trunk" and unit.device.trunk is not None and unit.device.trunk.duplex


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
    """'8 ch + clock', '8 ch', 'clock'; '16 ch, 8 back' where a link goes both ways."""
    back = f"{link.back} ch back" if link.back else ""
    said = ", ".join(
        part for part in (f"{link.channels} ch" if link.channels else "", back) if part
    )
    sound = [said] if said else []
    return " + ".join([*sound, *(["clock"] if "clock" in link.carries else [])])
