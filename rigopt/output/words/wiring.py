"""What to plug and what to set on each unit, as the cells of tables."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from rigopt.facts import Format
from rigopt.output.facts.clocks import clock_goes_back, crossing, own_clocks, trees
from rigopt.output.words.phrases import listed, runs
from rigopt.rig.banks import bank_channels, powered
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
            _load(link, rig.units),
            " + ".join(piece.id for piece in link.pieces) or "–",
        ]
        for number, link in enumerate(rig.links, start=1)
    ]


def starts(link: Link) -> str:
    """Where a cable begins: 'expander-1 out 1', 'stage-1 socket 1', or 'expander-1 tee'."""
    if link.after is not None:
        return f"{link.after} tee"
    return f"{link.from_unit} {_way(link.format, 'out')} {link.from_socket}"


def ends(link: Link) -> str:
    """Where a cable ends: 'host-1 in 1', or 'host-1 socket 1' of one that is both ways."""
    return f"{link.to_unit} {_way(link.format, 'in')} {link.to_socket}"


def start_socket(link: Link) -> str:
    """The socket where it begins, with its kind: 'optical out 1', 'word tee'."""
    if link.after is not None:
        return f"{link.kind} tee"
    return f"{link.kind} {_way(link.format, 'out')} {link.from_socket}"


def end_socket(link: Link) -> str:
    """The socket where it ends, with its kind: 'optical in 1', 'trunk socket 1'."""
    return f"{link.kind} {_way(link.format, 'in')} {link.to_socket}"


def _way(row: Format, way: str) -> str:
    return "socket" if row.duplex else way


def piece(link: Link, unnamed: str) -> str:
    """The cable's label, and what sits on it; `unnamed` where nobody named the cable."""
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


def clock_notes(rig: Rig) -> list[str]:
    """Which units go by which master, and what joins them, where there is more than one."""
    groups = trees(rig.units)
    if len(groups) < 2:
        return []
    return [f"{len(groups)} clocks: {'; '.join(map(_led, groups.items()))}.", *_joined(rig)]


def _led(group: tuple[str, Sequence[str]]) -> str:
    master, others = group
    return f"{master} leads {listed(others)}" if others else f"{master} by itself"


def _joined(rig: Rig) -> list[str]:
    """What takes audio from one clock to another."""
    said = []
    if own_clocks(rig):
        hosts = [unit.name for unit in rig.units if unit.role == "host"]
        said.append(f"The computer resamples between {listed(hosts)}.")
    converting = [f"{link.to_unit} {end_socket(link)}" for link in crossing(rig)]
    if converting:
        said.append(f"Rate converters join them at {listed(converting)}.")
    return said


def both_ways(unit: Unit, kind: str) -> bool:
    """Whether the sockets of a kind are both ways."""
    return kind == "trunk" and unit.device.trunk is not None and unit.device.trunk.duplex


def banks(unit: Unit) -> str:
    """'ch 1–3' where each channel has its 48 V switch, or 'bank 1 (ch 1–4)'."""
    on = unit.phantom_banks_on
    if not on:
        return "none" if bank_channels(unit.device) else "–"
    channels = f"ch {runs(powered(unit))}"
    if switch_each(unit):
        return channels
    return f"{'bank' if len(on) == 1 else 'banks'} {runs(on)} ({channels})"


def switch_each(unit: Unit) -> bool:
    """Whether each microphone channel has a 48 V switch of its own."""
    return all(len(bank) == 1 for bank in bank_channels(unit.device))


def _load(link: Link, units: Sequence[Unit]) -> str:
    """'8 ch + clock', 'clock'; '16 ch, 8 ch back + clock back' where a link goes both ways."""
    clock_back = clock_goes_back(link, units)
    there = [f"{link.channels} ch"] if link.channels else []
    there += [f"{link.back} ch back"] if link.back else []
    clock = ["clock back" if clock_back else "clock"] if "clock" in link.carries else []
    return " + ".join([*([", ".join(there)] if there else []), *clock])
