"""A rig at every rate as text: a table of inputs, and under it what changes at which rate."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby

from rigopt.answers.rates import AtRate, ByRate, Dead
from rigopt.output.terminal.audit_rules import sentence
from rigopt.output.terminal.head import title
from rigopt.output.terminal.layout import paragraph, table
from rigopt.output.words.findings import says
from rigopt.output.words.phrases import count, khz, listed, span
from rigopt.rig.wired import WiredRig


def rates_text(found: ByRate) -> str:
    """Inputs by unit and rate, and why where there are fewer; it ends with a line end."""
    rig, columns = found.rig, found.rates
    parts = [title("Inputs at the computer, by sample rate in kHz"), _table(rig, columns)]
    alike = [(said, list(group)) for said, group in groupby(columns, lambda c: list(_lines(c)))]
    return "\n\n".join([*parts, *(_notes(group, said) for said, group in alike if said)]) + "\n"


def _table(rig: WiredRig, columns: Sequence[AtRate]) -> str:
    headers = ["Unit", *(khz(column.rate_hz) for column in columns)]
    rows = [
        [unit.name, *(_inputs(column, unit.name) for column in columns)] for unit in rig.units
    ]
    rows.append([])
    rows.append(["All", *(str(len(column.verdict.inputs)) for column in columns)])
    rows.append(["Clock holds", *("no" if column.clock else "yes" for column in columns)])
    rows.append(["Rig works", *("yes" if column.works else "no" for column in columns)])
    return table(headers, rows, "Unit", right="|".join(headers[1:]))


def _inputs(column: AtRate, unit: str) -> str:
    """The number; '–' for a unit that does not know the rate."""
    return "–" if unit in column.missing else str(column.arriving(unit))


def _notes(columns: Sequence[AtRate], said: Iterable[str]) -> str:
    """What is to be said of neighbouring rates alike."""
    rates = listed([khz(column.rate_hz) for column in columns])
    return "\n".join([f"AT {rates} kHz", *(paragraph(line, "- ") for line in said)])


def _lines(column: AtRate) -> Iterator[str]:
    if column.missing:
        verb = "does" if len(column.missing) == 1 else "do"
        yield f"{listed(column.missing)} {verb} not run at this rate."
    yield from (_dead(dead) for dead in column.dead)
    for found in column.verdict.findings:
        if found in column.clock:
            yield f"The clock does not hold: {says(found)}."
        elif found.rule != "socket-dead":
            yield sentence(found)


def _dead(dead: Dead) -> str:
    several = dead.first != dead.last
    sockets = f"{dead.kind.capitalize()} {dead.way}{'s' if several else ''}"
    cables = f", {count(dead.cables, 'cable')} on {'them' if several else 'it'}"
    return (
        f"{sockets} {span(dead.first, dead.last)} of {dead.unit} "
        f"{'die' if several else 'dies'}{cables if dead.cables else ''}."
    )
