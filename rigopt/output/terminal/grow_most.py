"""The most microphones at each stage for the same outlay, as text."""

from __future__ import annotations

from rigopt.answers.growth import Most
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.output.terminal.grow import grow_title, stage_texts
from rigopt.output.terminal.head import line, notes, range_notes
from rigopt.output.terminal.layout import table
from rigopt.output.words.growth import most_answer, most_rows


def most_text(found: Most, catalogue: Catalogue, needs: Needs) -> str:
    """The stages in a table, then each with its purchases and its wiring."""
    parts = [_head(found, catalogue, needs)]
    if found.growth.steps:
        parts.append(_table(found, catalogue.currency))
    return "\n\n".join([*parts, *stage_texts(found.growth.steps, catalogue)]) + "\n"


def most_summary(found: Most, catalogue: Catalogue, needs: Needs) -> str:
    """How far the money goes, in a few lines."""
    return _head(found, catalogue, needs) + "\n"


def _head(found: Most, catalogue: Catalogue, needs: Needs) -> str:
    lines = [line(name, text) for name, text in most_answer(found, catalogue, needs)]
    more = [*notes(catalogue), *range_notes(catalogue)]
    return "\n".join([grow_title(needs, len(needs.stages)), *lines, *more])


def _table(found: Most, currency: str) -> str:
    headers, rows = most_rows(found, currency)
    right = "|".join(headers[2:5])
    return "THE STAGES\n" + table(headers, rows, "Stage|Rig then", right=right)
