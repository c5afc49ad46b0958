"""A wired rig as text: its units, clock settings, inputs in runs, and free sockets."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from rigopt.answers.verdict import Verdict
from rigopt.facts import KINDS
from rigopt.output.terminal.advice import advice
from rigopt.output.terminal.layout import paragraph, table
from rigopt.output.terminal.wiring import clock_setting
from rigopt.output.words.phrases import count, listed, runs, span
from rigopt.rig.audit.relock import free
from rigopt.rig.audit.sockets import fitted, live
from rigopt.rig.audit.wiring import Wiring
from rigopt.rig.folding import fold
from rigopt.rig.types import Input, Unit


def sections(verdict: Verdict) -> list[str]:
    """What there is to know of a rig that works, under headings."""
    rig = verdict.as_rig()
    parts = [
        ("Clock: set each unit to", clock_table(verdict)),
        ("Inputs at the computer", inputs_table(verdict)),
        ("Free sockets", free_sockets(verdict)),
        ("Mind", "\n".join([*remarks(verdict), *filter(None, [advice(rig)])])),
    ]
    return [f"{name.upper()}\n{body}" for name, body in parts if body]


def clock_table(verdict: Verdict) -> str:
    """What each unit is set to lock to. Names of any length fit."""
    rows = [[unit.name, clock_setting(unit)] for unit in verdict.rig.units]
    lines = [table(["Unit", "Clock"], rows, "Unit|Clock")]
    if verdict.clock_hops > 1:
        hops = count(verdict.clock_hops, "cable")
        lines.append(f"The farthest unit is {hops} away from the master.")
    return "\n".join(lines)


def inputs_table(verdict: Verdict) -> str:
    """Inputs in runs; one with a named source has its own row."""
    if not verdict.inputs:
        return "None: this rig brings no input to the computer."
    rows: list[list[str]] = []
    for _, alike in groupby(verdict.inputs, key=_sort_of):
        group = list(alike)
        rows += [
            [
                span(run.first_input, run.last_input),
                f"{run.unit} {span(run.first_channel, run.last_channel)}",
                "on" if group[0].phantom else "off",
                _takes(group[0]),
            ]
            for run in fold(group)
        ]
    headers = ["Computer", "Unit and channel", "48 V", "Takes"]
    return table(headers, rows, "Takes", right="Computer")


def free_sockets(verdict: Verdict) -> str:
    """Sockets that work at the rate and have no cable; and those that do not work."""
    wiring = Wiring(verdict.rig.units, verdict.rig.links, verdict.rig.rate_hz)
    rows = [
        [unit.name, _free(wiring, unit, "input"), _free(wiring, unit, "output")]
        for unit in wiring.units
    ]
    told = [row for row in rows if row[1:] != ["–", "–"]]
    if not told:
        return "None."
    return table(["Unit", "Inputs", "Outputs"], told, "Inputs|Outputs")


def unheard(verdict: Verdict) -> Iterator[tuple[Unit, int]]:
    """Expanders of which not all channels arrive, with the number that do."""
    for unit in verdict.rig.units:
        if unit.role == "expander":
            arriving = sum(item.unit == unit.name for item in verdict.inputs)
            if arriving < unit.device.analogue:
                yield unit, arriving


def remarks(verdict: Verdict) -> list[str]:
    """Channels that the computer does not see, each unit on lines of its own."""
    return [
        paragraph(
            f"{arriving or 'None'} of the {count(unit.device.analogue, 'channel')} of "
            f"{unit.name} {'reaches' if arriving < 2 else 'reach'} the computer.",
            "- ",
        )
        for unit, arriving in unheard(verdict)
    ]


def _free(wiring: Wiring, unit: Unit, way: str) -> str:
    parts = []
    for kind in KINDS:
        sockets = free(wiring, unit, kind, way)
        dead = fitted(unit.device, kind, way) - live(unit.device, kind, way, wiring.rate_hz)
        if sockets:
            parts.append(f"{kind} {runs(sockets)}")
        if dead:
            parts.append(f"{dead} {kind} dead")
    return ", ".join(parts) or "–"


def _sort_of(item: Input) -> tuple[object, ...]:
    """Equal for neighbours that one row can describe."""
    named = item.computer_input if item.source else None
    return (item.use, item.phantom, named, item.accepts if item.use is None else None)


def _takes(item: Input) -> str:
    if item.use is None and not item.source:
        return listed(item.accepts, "or")
    return ": ".join(part for part in (item.use, item.source) if part)
