"""Before anything is plugged in: all off and down, every box in its place."""

from __future__ import annotations

from rigopt.output.sheets import cautions
from rigopt.output.sheets.types import Step
from rigopt.output.sheets.wording import grouped
from rigopt.output.words.phrases import labelled, plain
from rigopt.rig.figures import RACK_UNIT_MM
from rigopt.rig.types import Rig, Unit


def down(rig: Rig) -> Step:
    """Nothing is live or loud when the work begins."""
    lines = [
        "Switch off the monitors first, then every unit.",
        "Turn down monitors, headphones and every gain: gains come up again under 'Set the "
        "levels', the monitors last.",
    ]
    if any(unit.device.bank_channels for unit in rig.units):
        lines.append("See that every 48 V switch is off.")
    return Step("Power off, levels down", tuple(lines), (cautions.MANUALS,))


def place(rig: Rig) -> Step:
    """Every box in its place, with its name on it."""
    lines = grouped((unit.name, _box(unit)) for unit in rig.units)
    height = sum(unit.device.rack_units for unit in rig.units)
    several = len(rig.units) > 1
    if height:
        lines.append(
            f"In a rack {'they take' if several else 'it takes'} {height} U, "
            f"{plain(height * RACK_UNIT_MM)} mm of height."
        )
    lines.append("Leave room for air, as the manuals say.")
    if not several:
        return Step("Place the unit", tuple(lines))
    lifted = (cautions.LIFTING,) if height else ()
    return Step("Place the units and label them", tuple(lines), lifted)


def _box(unit: Unit) -> str:
    """What it is, and its height in a rack."""
    text, height = labelled(unit.device.id, unit.device.label), unit.device.rack_units
    return f"{text}, {height} U" if height else text
