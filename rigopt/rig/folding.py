"""Inputs folded into runs: 11 to 18 of the computer are channels 1 to 8 of one unit."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from rigopt.rig.types import Input


class Run(NamedTuple):
    """Computer inputs in a row with channels in a row of one unit behind them."""

    first_input: int
    last_input: int
    unit: str
    first_channel: int
    last_channel: int


def fold(inputs: Iterable[Input]) -> tuple[Run, ...]:
    """The fewest runs that say the same as `inputs`, which ascend by computer input."""
    runs: list[Run] = []
    for item in inputs:
        if runs and _goes_on(runs[-1], item):
            runs[-1] = runs[-1]._replace(
                last_input=item.computer_input, last_channel=item.channel
            )
        else:
            number, channel = item.computer_input, item.channel
            runs.append(Run(number, number, item.unit, channel, channel))
    return tuple(runs)


def _goes_on(run: Run, item: Input) -> bool:
    """Whether `item` is the very next after `run`."""
    following = (run.unit, run.last_input + 1, run.last_channel + 1)
    return (item.unit, item.computer_input, item.channel) == following
