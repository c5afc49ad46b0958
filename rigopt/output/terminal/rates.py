"""A rig at every rate as text: a table of inputs, and under it what changes at which rate."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rigopt.answers.rates import AtRate, ByRate
from rigopt.output.terminal.head import title
from rigopt.output.terminal.layout import paragraph, table
from rigopt.output.words.phrases import khz, listed
from rigopt.output.words.rates import TITLE, alike, sum_rows, unit_rows
from rigopt.rig.wired import WiredRig


def rates_text(found: ByRate) -> str:
    """Inputs by unit and rate, and why where there are fewer; it ends with a line end."""
    rig, columns = found.rig, found.rates
    parts = [title(TITLE), _table(rig, columns)]
    return "\n\n".join([*parts, *(_notes(*same) for same in alike(columns))]) + "\n"


def _table(rig: WiredRig, columns: Sequence[AtRate]) -> str:
    headers = ["Unit", *(khz(column.rate_hz) for column in columns)]
    rows = [*unit_rows(rig, columns), [], *sum_rows(columns)]
    return table(headers, rows, "Unit", right="|".join(headers[1:]))


def _notes(columns: Sequence[AtRate], said: Iterable[str]) -> str:
    """What is to be said of neighbouring rates alike."""
    rates = listed([khz(column.rate_hz) for column in columns])
    return "\n".join([f"AT {rates} kHz", *(paragraph(line, "- ") for line in said)])
