"""48 V: the banks that are on, and no other."""

from __future__ import annotations

from collections.abc import Iterator

from rigopt.output.sheets.types import Step
from rigopt.output.words.phrases import plural, runs
from rigopt.output.words.wiring import switch_each
from rigopt.rig.banks import powered
from rigopt.rig.types import Rig, Unit


def phantom(rig: Rig) -> Iterator[Step]:
    """The banks that are on, and no other."""
    on = [unit for unit in rig.units if unit.phantom_banks_on]
    if not on:
        return
    lines = ["Do this once all microphones are plugged in and every level is down."]
    lines += [_banks(unit) for unit in on]
    lines.append("Leave every other 48 V switch off. Wait until the microphones settle.")
    yield Step("Switch on 48 V", tuple(lines))


def _banks(unit: Unit) -> str:
    on, channels = unit.phantom_banks_on, powered(unit)
    each = f"{plural('channel', channels)} {runs(channels)}"
    if switch_each(unit):
        return f"{unit.name}: on for {each}."
    return f"{unit.name}: {plural('bank', on)} {runs(on)}, {each}."
