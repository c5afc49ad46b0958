"""Units, cables and clock settings of a rig as text: what to plug and what to set."""

from __future__ import annotations

from wcwidth import width

from rigopt.output.terminal.layout import paragraph, table
from rigopt.output.words.phrases import count, entry
from rigopt.output.words.wiring import (
    LINE_HEADERS,
    LINK_HEADERS,
    banks,
    clock_notes,
    clock_setting,
    clockless,
    line_rows,
    link_rows,
)
from rigopt.rig.types import Rig, Unit


def units_table(rig: Rig) -> str:
    """Every box: what it is, which 48 V banks to switch on, whether to buy it."""
    headers = ["Unit", "Device", "Role", "48 V on", "U", "Owned"]
    return table(headers, [_unit(unit) for unit in rig.units], "Device", right="U")


def links_table(rig: Rig) -> str:
    """Every digital cable, numbered for this sheet."""
    rows = link_rows(rig)
    if not rows:
        return "None is needed."
    return table(LINK_HEADERS, rows, "Format|Cable", right="No")


def lines_table(rig: Rig) -> str:
    """Every piece of analogue cable; nothing where there is none."""
    rows = line_rows(rig)
    return table(LINE_HEADERS, rows, "From|To|Cable", right="No") if rows else ""


def clock_lines(rig: Rig) -> str:
    """What each unit is set to lock to, unit by unit; a line for all that need no clock."""
    told = {unit.name: clock_setting(unit) for unit in rig.units if not clockless(unit)}
    left = max(map(width, told), default=0)
    lines = [paragraph(setting, f"{name.ljust(left)}  ") for name, setting in told.items()]
    notes = [paragraph(note) for note in clock_notes(rig)]
    return "\n".join([*lines, *farthest(rig.clock_hops), *notes])


def farthest(hops: int) -> list[str]:
    """How far the farthest unit is from the master, where that is more than a cable."""
    far = f"The farthest unit is {count(hops, 'cable')} away from its master."
    return [far] if hops > 1 else []


def _unit(unit: Unit) -> list[str]:
    return [
        unit.name,
        entry(unit.device.id, unit.device.label),
        unit.role,
        banks(unit),
        str(unit.device.rack_units or "–"),
        "yes" if unit.owned else "no",
    ]
