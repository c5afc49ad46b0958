"""A wired rig as text: its units, clock settings, inputs in runs, and free sockets."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from rigopt.answers.verdict import SPARE, Verdict
from rigopt.output.facts.inputs import box, lines, unheard
from rigopt.output.facts.sockets import Sockets, Way, free_sockets
from rigopt.output.terminal.advice import advice
from rigopt.output.terminal.inputs import inputs_table
from rigopt.output.terminal.layout import paragraph, table
from rigopt.output.terminal.wiring import farthest
from rigopt.output.words.audit_rules import change, sentence
from rigopt.output.words.inputs import INPUT_HEADERS, jack_lines
from rigopt.output.words.phrases import count, listed, runs
from rigopt.output.words.wiring import clock_setting, clockless
from rigopt.rig.types import Input
from rigopt.rig.wired import WiredRig

_HEADERS: Final = (*INPUT_HEADERS[:-1], "Takes")


def sections(verdict: Verdict) -> list[str]:
    """What there is to know of a rig that works, under headings."""
    rig = verdict.as_rig()
    parts = [
        ("Clock: set each unit to", clock_table(verdict)),
        ("Inputs at the computer", _inputs(verdict)),
        ("Free sockets", free_table(verdict.rig)),
        ("Mind", "\n".join([*remarks(verdict), *filter(None, [advice(rig)])])),
    ]
    return [f"{name.upper()}\n{body}" for name, body in parts if body]


def _inputs(verdict: Verdict) -> str:
    known = lines(verdict.rig.units, verdict.rig.links)
    shown = inputs_table(verdict.inputs, known, _HEADERS, _takes)
    return "\n".join([shown, *map(paragraph, jack_lines(verdict.inputs))])


def clock_table(verdict: Verdict) -> str:
    """What each unit is set to lock to. Names of any length fit."""
    units = verdict.rig.units
    rows = [[unit.name, clock_setting(unit)] for unit in units if not clockless(unit)]
    without = [unit.name for unit in units if clockless(unit)]
    said = [paragraph(f"No clock is needed for {listed(without)}.")] if without else []
    return "\n".join(
        [table(["Unit", "Clock"], rows, "Unit|Clock"), *farthest(verdict.clock_hops), *said]
    )


def free_table(rig: WiredRig) -> str:
    """Sockets that work at the rate and have no cable; and those that do not work."""
    rows = []
    for unit in rig.units:
        told = free_sockets([unit], rig.links, rig.rate_hz)
        if any(one.free or one.dead for one in told):
            rows.append([unit.name, _free(told, "input"), _free(told, "output")])
    return table(["Unit", "Inputs", "Outputs"], rows, "Inputs|Outputs") if rows else "None."


def remarks(verdict: Verdict) -> list[str]:
    """Cables too many; channels that the computer does not see, each unit on its own lines."""
    spare = [found for found in verdict.warnings if found.rule in SPARE]
    return [paragraph(f"{sentence(found)} {change(found)}", "- ") for found in spare] + [
        paragraph(
            f"{arriving or 'None'} of the {count(unit.device.analogue, 'channel')} of "
            f"{unit.name} {'reaches' if arriving < 2 else 'reach'} the computer.",
            "- ",
        )
        for unit, arriving in unheard(verdict.rig.units, verdict.rig.links, verdict.inputs)
    ]


def _free(told: Iterable[Sockets], way: Way) -> str:
    parts = []
    for one in told:
        if one.way == way and one.free:
            parts.append(f"{one.kind} {runs(one.free)}")
        if one.way == way and one.dead:
            parts.append(f"{one.dead} {one.kind} dead")
    return ", ".join(parts) or "–"


def _takes(item: Input) -> str:
    if item.use is None and not item.source:
        return listed(item.accepts, "or")
    said = ": ".join(part for part in (item.use, item.source) if part)
    through = box(item)
    return f"{said}, through {through}" if through else said
