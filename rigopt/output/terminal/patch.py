"""The computer's inputs as text: what stands behind each and what it is used for."""

from __future__ import annotations

from itertools import groupby
from typing import Final

from rigopt.output.terminal.layout import paragraph, table
from rigopt.output.words.phrases import count, listed, span
from rigopt.rig.figures import Figures
from rigopt.rig.folding import Run, fold
from rigopt.rig.types import Input, Rig

INPUT_HEADERS: Final = ("Computer", "Unit and channel", "48 V", "For")
NO_INPUT: Final = "None: this rig brings no input to the computer."

_A: Final = {"mic": "a microphone", "line": "a line source", "instrument": "an instrument"}


def inputs_table(rig: Rig) -> str:
    """Inputs in runs of the same use; an input with a named source has its own row."""
    if not rig.inputs:
        return NO_INPUT
    return table(INPUT_HEADERS, input_rows(rig), "For", right="Computer")


def input_rows(rig: Rig) -> list[list[str]]:
    """The rows under `INPUT_HEADERS`."""
    rows: list[list[str]] = []
    for _, alike in groupby(rig.inputs, key=_sort_of):
        group = list(alike)
        rows += [_row(run, group[0]) for run in fold(group)]
    return rows


def spare_line(known: Figures) -> str:
    """How many inputs are left over, and what they would take."""
    if not known.spare:
        return "No input is left over."
    spare = f"{count(known.spare, 'input')} spare"
    kinds = [kind for kind in known.kinds if kind.spare]
    if all(kind.spare == known.spare for kind in kinds):
        which = "it" if known.spare == 1 else "each"
        return paragraph(f"{spare}: {which} takes {listed([_A[k.kind] for k in kinds], 'or')}.")
    takes = "; ".join(f"{_A[kind.kind]}: {kind.spare}" for kind in kinds)
    return paragraph(f"{spare}. Free for {takes}.")


def _sort_of(item: Input) -> tuple[object, ...]:
    """Equal for neighbours that one row can describe."""
    named = item.computer_input if item.source else None
    return (item.use, item.phantom, named, item.accepts if item.use is None else None)


def _row(run: Run, example: Input) -> list[str]:
    return [
        span(run.first_input, run.last_input),
        f"{run.unit} {span(run.first_channel, run.last_channel)}",
        "on" if example.phantom else "off",
        _use(example),
    ]


def _use(item: Input) -> str:
    if item.use is None:
        return f"spare ({listed(item.accepts, 'or')})"
    return f"{item.use}: {item.source}" if item.source else item.use
