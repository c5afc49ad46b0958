"""The title of a comparison, and what has to be said beside its rows."""

from __future__ import annotations

from collections.abc import Sequence

from rigopt.answers.series import Column
from rigopt.catalogue.ends import has_ranges
from rigopt.output.facts.compare import Values
from rigopt.output.facts.units import labels
from rigopt.output.words.compare import catalogues
from rigopt.output.words.phrases import khz, legend, sources
from rigopt.output.words.reasons import why
from rigopt.output.words.regret import UPPER_ENDS


def compare_title(columns: Sequence[Column]) -> str:
    """The title of all columns if they have the same, and how many there are."""
    titles = {column.scenario.title for column in columns}
    number = f"{len(columns)} columns side by side"
    return number if len(titles) > 1 or titles == {""} else f"{titles.pop()}: {number}"


def column_names(columns: Sequence[Column]) -> list[str]:
    """The number of each column, and what sets it apart: '3: 96 kHz, host as master'."""
    asked = [column.scenario for column in columns]
    titles = _apart([scenario.title for scenario in asked])
    parts = (
        titles or _apart([sources(scenario.needs.mic, "mic") for scenario in asked]),
        _apart(catalogues(asked)),
        _apart([f"{khz(scenario.needs.rate_hz)} kHz" for scenario in asked]),
        _apart([_master(scenario.needs.master) for scenario in asked]),
    )
    columns_of = zip(*(part for part in parts if part), strict=True)
    said = [", ".join(filter(None, column)) for column in columns_of] or [""] * len(asked)
    return [f"{n}: {text}" if text else str(n) for n, text in enumerate(said, start=1)]


def _apart(told: Sequence[str]) -> Sequence[str]:
    """What is told of the columns, unless it is the same of all."""
    return told if len(set(told)) > 1 else ()


def _master(wanted: str) -> str:
    return "any master" if wanted == "any" else f"{wanted} as master"


def notes(shown: Sequence[Values]) -> list[str]:
    """Why columns have no rig, and what to know of their money."""
    first = shown[0].currency
    found = [
        f"Column {value.number}: "
        f"{why(value.column.outcome, value.currency, value.column.scenario.needs)}"
        for value in shown
        if value.answer is None
    ]
    apart = sorted({v.currency for v in shown if v.answer and v.converted is None})
    if apart:
        example = f"--exchange {apart[0]}=RATE"
        found.append(
            f"Amounts in {', '.join(apart)} are not compared with those in {first}. Say how "
            f"much {apart[0]} one {first} buys with {example}."
        )
    if any(v.difference is not None and v.currency != first for v in shown):
        found.append(f"Differences are in {first}, at the exchange rates given.")
    if any(has_ranges(value.column.scenario.catalogue) for value in shown):
        found.append(UPPER_ENDS)
    return found


def device_legend(shown: Sequence[Values]) -> list[str]:
    """What the ids of devices stand for."""
    rigs = [value.answer.rig for value in shown if value.answer]
    return legend(labels(unit for rig in rigs for unit in rig.units))
