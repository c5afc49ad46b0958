"""The title of a comparison, and what has to be said beside its rows."""

from __future__ import annotations

from collections.abc import Sequence

from rigopt.answers.series import Column
from rigopt.catalogue.ends import has_ranges
from rigopt.output.facts.compare import Values, mixed
from rigopt.output.facts.units import labels
from rigopt.output.words.phrases import legend
from rigopt.output.words.reasons import why
from rigopt.output.words.regret import UPPER_ENDS


def compare_title(columns: Sequence[Column]) -> str:
    """The title of all columns if they have the same, and how many there are."""
    titles = {column.scenario.title for column in columns}
    number = f"{len(columns)} columns side by side"
    return number if len(titles) > 1 or titles == {""} else f"{titles.pop()}: {number}"


def notes(shown: Sequence[Values]) -> list[str]:
    """Why columns have no rig, what to know of their money, and what device ids stand for."""
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
    if mixed(shown) and any(v.difference is not None and v.currency != first for v in shown):
        found.append(f"Differences are in {first}, at the exchange rates given.")
    if any(has_ranges(value.column.scenario.catalogue) for value in shown):
        found.append(UPPER_ENDS)
    rigs = [value.answer.rig for value in shown if value.answer]
    return found + legend(labels(unit for rig in rigs for unit in rig.units))
