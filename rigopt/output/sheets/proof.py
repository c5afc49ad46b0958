"""A take that proves every channel, every number and every clock."""

from __future__ import annotations

from collections.abc import Iterator

from rigopt.output.facts.inputs import in_use
from rigopt.output.sheets.types import Step
from rigopt.output.words.phrases import plural, span
from rigopt.rig.folding import Run, fold
from rigopt.rig.types import Input, Rig


def prove(rig: Rig) -> Iterator[Step]:
    """A source at a time, then all at once for a minute (common practice, no source)."""
    used = in_use(rig)
    if not used:
        return
    lines = [
        "Make a sound into one source after the other, such as a light tap beside the "
        "microphone, and read its number in the recording program:"
    ]
    lines += [_numbers(item) for item in used if item.source]
    lines += [_run(run) for run in fold(item for item in used if not item.source)]
    inputs = "the input" if len(used) == 1 else f"all {len(used)} inputs"
    lines.append(f"Record one minute of {inputs} and listen to each: no ticks, no gaps.")
    yield Step("Prove it with a take", tuple(lines))


def _numbers(item: Input) -> str:
    where = f"channel {item.channel} of {item.unit}"
    return f"{item.source}, {where}: input {item.computer_input}."


def _run(run: Run) -> str:
    row = range(run.first_channel, run.last_channel + 1)
    channels = f"{plural('channel', row)} {span(run.first_channel, run.last_channel)}"
    inputs = f"{plural('input', row)} {span(run.first_input, run.last_input)}"
    return f"{run.unit} {channels}: {inputs}."
