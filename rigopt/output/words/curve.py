"""A curve of prices in words: what was asked, the rows, and what to say beside them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Final

from rigopt.answers.outcome import Opinion, OutOfTime, second_on
from rigopt.answers.series import Curve
from rigopt.catalogue.types import Catalogue
from rigopt.money import to_text
from rigopt.needs.types import Needs
from rigopt.output.facts.curve import Mark, levels, proven
from rigopt.output.facts.units import labels, mix
from rigopt.output.words.answer import SECOND, asked
from rigopt.output.words.phrases import legend, listed, signed, together
from rigopt.output.words.reasons import STOPPED, why

TITLE: Final = "Price against microphones"


def curve_asked(curve: Curve, needs: Needs, currency: str) -> str:
    """The counts, and what is asked for besides."""
    return asked(replace(needs, mic=curve.counts[-1]), currency, curve.counts[0])


def told(curve: Curve, shown: Sequence[Mark], catalogue: Catalogue, needs: Needs) -> list[str]:
    """All that has to be said beside the numbers."""
    found = _remarks(shown)
    found += [
        f"{point.mic}: {why(point.outcome, catalogue.currency, needs)}"
        for point in curve.points
        if isinstance(point.outcome, OutOfTime)
    ]
    if not proven(shown):
        found.append("Where 'At least' is below the total, the cheapest is not proven.")
    found += _opinions(curve)
    if curve.end is not None:
        asked_then = replace(needs, mic=curve.end.mic)
        reason = why(curve.end.outcome, catalogue.currency, asked_then)
        found.append(f"{curve.end.mic} and more: {reason}")
    if curve.unasked:
        found.append(f"{listed([str(n) for n in curve.unasked])}: {STOPPED}")
    return found + legend(labels(unit for mark in shown for unit in mark.answer.rig.units))


def _opinions(curve: Curve) -> list[str]:
    """What a solver of another kind says, and on which counts."""
    said: dict[Opinion, list[str]] = {}
    for point in curve.points:
        if opinion := second_on(point.outcome):
            said.setdefault(opinion, []).append(str(point.mic))
    return [f"{listed(counts)}: a {SECOND[opinion]}" for opinion, counts in said.items()]


def rows(shown: Sequence[Mark], catalogue: Catalogue) -> tuple[list[str], list[list[str]]]:
    """Headers and rows; 'Inputs' are those that take a microphone."""
    headers = [
        "Mics",
        f"Total {catalogue.currency}",
        "At least",
        "More",
        "Per input",
        "Inputs",
        "Units",
    ]
    lines = [headers, *(_cells(mark, catalogue.currency) for mark in shown)]
    if proven(shown):
        lines = [[*line[:2], *line[3:]] for line in lines]
    return lines[0], lines[1:]


def _remarks(shown: Sequence[Mark]) -> list[str]:
    """Where the price stands still, and where the host changes."""
    found = []
    for first, *dear in levels(shown):
        verb = "costs" if len(dear) == 1 else "cost"
        counts = listed([str(mark.mic) for mark in dear])
        found.append(f"{counts} {verb} the same as {first.mic}.")
    for before, mark in pairwise(shown):
        if mark.moved:
            now, old = together(mark.hosts), together(before.hosts)
            found.append(f"The host changes at {mark.mic}: {now} instead of {old}.")
    return found


def _cells(mark: Mark, currency: str) -> list[str]:
    each = mark.known.price_per_mic
    return [
        str(mark.mic),
        to_text(mark.total, currency),
        to_text(mark.answer.bound, currency),
        "" if mark.step is None else signed(mark.step, currency),
        "" if each is None else to_text(each, currency),
        str(mark.room),
        together(mix(mark.answer.rig.units)),
    ]
