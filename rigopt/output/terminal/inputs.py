"""The computer's inputs as a table."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from rigopt.needs.types import Needs
from rigopt.output.facts.inputs import Lines, lines
from rigopt.output.terminal.layout import paragraph, table
from rigopt.output.words.inputs import (
    INPUT_HEADERS,
    NO_INPUT,
    input_rows,
    jack_lines,
    used_for,
    uses,
)
from rigopt.rig.types import Input, Rig


def whole_table(rig: Rig, needs: Needs, below: Sequence[str] = ()) -> str:
    """The inputs of a rig; where only a jack plug may go in, and what else is said `below`."""
    shown = inputs_table(rig.inputs, lines(rig.units, rig.links), told=uses(rig, needs))
    return "\n".join([shown, *map(paragraph, [*below, *jack_lines(rig.inputs)])])


def inputs_table(
    inputs: Sequence[Input],
    known: Lines,
    headers: Sequence[str] = INPUT_HEADERS,
    told: Callable[[Input], str] = used_for,
) -> str:
    """Inputs in runs; one with a named source has its own row."""
    if not inputs:
        return NO_INPUT
    return table(headers, input_rows(inputs, known, told), headers[-1], right=headers[0])
