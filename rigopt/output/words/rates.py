"""A rig at every rate in words: rows of a table, and what is to be said of a rate."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Final

from rigopt.answers.rates import AtRate, Dead
from rigopt.output.words.audit_rules import sentence
from rigopt.output.words.findings import says
from rigopt.output.words.phrases import count, listed, span
from rigopt.rig.wired import WiredRig

TITLE: Final = "Inputs at the computer, by sample rate in kHz"


def unit_rows(rig: WiredRig, columns: Sequence[AtRate]) -> list[list[str]]:
    """The inputs of each unit that arrive, at each rate."""
    return [
        [unit.name, *(_inputs(column, unit.name) for column in columns)] for unit in rig.units
    ]


def sum_rows(columns: Sequence[AtRate]) -> list[list[str]]:
    """All inputs, and whether the clock holds and the rig works, at each rate."""
    return [
        ["All", *(str(len(column.verdict.inputs)) for column in columns)],
        ["Clock holds", *("no" if column.clock else "yes" for column in columns)],
        ["Rig works", *("yes" if column.works else "no" for column in columns)],
    ]


def alike(columns: Sequence[AtRate]) -> list[tuple[list[AtRate], list[str]]]:
    """Neighbouring rates of which the same is to be said, with that; not those without."""
    groups = groupby(columns, lambda column: list(_lines(column)))
    return [(list(group), said) for said, group in groups if said]


def _inputs(column: AtRate, unit: str) -> str:
    """The number; '–' for a unit that does not know the rate."""
    return "–" if unit in column.missing else str(column.arriving(unit))


def _lines(column: AtRate) -> Iterator[str]:
    if column.missing:
        verb = "does" if len(column.missing) == 1 else "do"
        yield f"{listed(column.missing)} {verb} not run at this rate."
    yield from (dead_told(dead) for dead in column.dead)
    for found in column.verdict.findings:
        if found in column.clock:
            yield f"The clock does not hold: {says(found)}."
        elif found.rule != "socket-dead":
            yield sentence(found)


def dead_told(dead: Dead) -> str:
    """'Optical inputs 2–4 of host-1 die, 3 cables on them.'"""
    several = dead.first != dead.last
    sockets = f"{dead.kind.capitalize()} {dead.way}{'s' if several else ''}"
    cables = f", {count(dead.cables, 'cable')} on {'them' if several else 'it'}"
    return (
        f"{sockets} {span(dead.first, dead.last)} of {dead.unit} "
        f"{'die' if several else 'dies'}{cables if dead.cables else ''}."
    )
