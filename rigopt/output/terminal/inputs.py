"""The computer's inputs as a table."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from rigopt.output.terminal.layout import table
from rigopt.output.words.inputs import INPUT_HEADERS, NO_INPUT, input_rows, used_for
from rigopt.rig.types import Input


def inputs_table(
    inputs: Sequence[Input],
    headers: Sequence[str] = INPUT_HEADERS,
    told: Callable[[Input], str] = used_for,
) -> str:
    """Inputs in runs; one with a named source has its own row."""
    if not inputs:
        return NO_INPUT
    return table(headers, input_rows(inputs, told), headers[-1], right=headers[0])
