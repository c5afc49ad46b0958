"""48 V: who needs it, the banks that are on, and no other."""

from __future__ import annotations

from collections.abc import Iterator

from rigopt.needs.types import Needs
from rigopt.output.facts.inputs import microphones
from rigopt.output.sheets.types import Step
from rigopt.output.words.phrases import plural, runs
from rigopt.output.words.wiring import switch_each
from rigopt.rig.banks import powered
from rigopt.rig.types import Rig, Unit


def phantom(rig: Rig) -> Iterator[Step]:
    """The banks that are on, and no other."""
    on = switched_on(rig)
    if not on:
        return
    lines = ["Do this once all microphones are plugged in and every level is down."]
    lines += [f"{told}." for told in on]
    lines.append("Leave every other 48 V switch off. Wait until the microphones settle.")
    yield Step("Switch on 48 V", tuple(lines))


def switched_on(rig: Rig) -> list[str]:
    """'expander-1: bank 1, channels 1–8' for each unit with a bank on."""
    return [_banks(unit) for unit in rig.units if unit.phantom_banks_on]


def question(rig: Rig, needs: Needs) -> Iterator[Step]:
    """Where nobody spoke of 48 V. It comes first, since the answer may change the rig."""
    if switched_on(rig) or not _open(rig, needs):
        return
    lines = [
        "Nobody said so, and so every 48 V switch stays off in these steps. A dynamic "
        "microphone needs no 48 V; a condenser is silent without it; its manual tells."
    ]
    able = [unit for unit in rig.units if unit.device.bank_channels]
    if able:
        lines.append(
            "If one is a condenser, plan again with the number of them (--phantom 2, say), so "
            "that each sits where 48 V reaches it, and no ribbon with it."
        )
        lines += [_switches(unit) for unit in able]
    else:
        lines.append("No input of this rig has 48 V: a condenser needs another rig.")
    yield Step("Are any of your microphones condensers?", tuple(lines))


def _open(rig: Rig, needs: Needs) -> bool:
    """Whether there are microphones, and some of them may ask for anything."""
    return len(microphones(rig)) > needs.no_phantom and not needs.phantom


def _switches(unit: Unit) -> str:
    if switch_each(unit):
        return f"{unit.name}: each channel has a 48 V switch of its own."
    together = [f"channels {runs(channels)}" for channels in unit.device.bank_channels]
    return f"{unit.name}: one 48 V switch for {', another for '.join(together)}."


def _banks(unit: Unit) -> str:
    on, channels = unit.phantom_banks_on, powered(unit)
    each = f"{plural('channel', channels)} {runs(channels)}"
    if switch_each(unit):
        return f"{unit.name}: on for {each}"
    return f"{unit.name}: {plural('bank', on)} {runs(on)}, {each}"
