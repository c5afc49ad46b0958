"""Units, cables and clock settings of a rig as text: what to plug and what to set."""

from __future__ import annotations

from typing import Final

from wcwidth import width

from rigopt.output.terminal.layout import paragraph, table
from rigopt.output.words.phrases import count, runs
from rigopt.rig.types import Link, Rig, Unit

LINK_HEADERS: Final = ("No", "Format", "From", "To", "Carries", "Cable")


def units_table(rig: Rig) -> str:
    """Every box: what it is, which 48 V banks to switch on, whether to buy it."""
    headers = ["Unit", "Device", "Role", "48 V on", "U", "Owned"]
    return table(headers, [_unit(unit) for unit in rig.units], "Device", right="U")


def links_table(rig: Rig) -> str:
    """Every digital cable, numbered for this sheet; sockets count from 1."""
    return table(LINK_HEADERS, link_rows(rig), "Cable", right="No")


def link_rows(rig: Rig) -> list[list[str]]:
    """The rows under `LINK_HEADERS`."""
    return [
        [
            str(number),
            link.kind,
            f"{link.from_unit} out {link.from_socket}",
            f"{link.to_unit} in {link.to_socket}",
            _load(link),
            _piece(link),
        ]
        for number, link in enumerate(rig.links, start=1)
    ]


def clock_lines(rig: Rig) -> str:
    """What each unit is set to lock to, unit by unit."""
    left = max(width(unit.name) for unit in rig.units) + 2
    lines = [paragraph(clock_setting(unit), unit.name.ljust(left)) for unit in rig.units]
    if rig.clock_hops > 1:
        hops = count(rig.clock_hops, "cable")
        lines.append(f"The farthest unit is {hops} away from the master.")
    return "\n".join(lines)


def _piece(link: Link) -> str:
    """The cable's label; '–' where nobody named the cable."""
    if link.cable is None:
        return "–"
    return link.cable.label or link.cable.id


def _load(link: Link) -> str:
    """'8 ch + clock', '8 ch', 'clock'."""
    sound = [f"{link.channels} ch"] if "audio" in link.carries else []
    return " + ".join([*sound, *(["clock"] if "clock" in link.carries else [])])


def _unit(unit: Unit) -> list[str]:
    return [
        unit.name,
        unit.device.label or unit.device.id,
        unit.role,
        banks(unit),
        str(unit.device.rack_units or "–"),
        "yes" if unit.owned else "no",
    ]


def banks(unit: Unit) -> str:
    """'all', 'ch 1–3' where each channel has its switch, or 'bank 1 (ch 1–4)'."""
    size, able = unit.device.phantom_bank, unit.device.mic_capable
    on = unit.phantom_banks_on
    if not on:
        return "–" if size == 0 or able == 0 else "none"
    channels = [
        channel for channel in range(1, able + 1) if (channel - 1) // max(size, 1) + 1 in on
    ]
    if size == 1:
        return f"ch {runs(channels)}"
    return f"{'bank' if len(on) == 1 else 'banks'} {runs(on)} (ch {runs(channels)})"


def clock_setting(unit: Unit) -> str:
    """What to choose in the unit's clock menu."""
    clock = unit.clock
    if clock.source == "internal":
        return "internal (clock master)"
    return f"locked to {clock.source} in {clock.socket}, from {clock.from_unit}"
