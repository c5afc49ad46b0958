"""What a budget stretches to, as text for a terminal of 80 columns."""

from __future__ import annotations

from dataclasses import replace

from rigopt.answers.series import Stretch
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.output.terminal.head import line, notes, range_notes, title
from rigopt.output.terminal.text import plan_text
from rigopt.output.words.stretch import answer, heading


def stretch_text(found: Stretch, catalogue: Catalogue, needs: Needs) -> str:
    """The most microphones, the next step up, and the whole rig, as text."""
    if found.best is None:
        return stretch_summary(found, catalogue, needs)
    asked = replace(needs, mic=found.best.mic, budget=found.budget)
    opening = _head(found, catalogue, needs)
    return f"{opening}\n\n{plan_text(found.best.outcome, catalogue, asked)}"


def stretch_summary(found: Stretch, catalogue: Catalogue, needs: Needs) -> str:
    """How far it goes, and what the next step up would cost, in a few lines."""
    said = [*notes(catalogue), *range_notes(catalogue)]
    return "\n".join([_head(found, catalogue, needs), *said]) + "\n"


def _head(found: Stretch, catalogue: Catalogue, needs: Needs) -> str:
    lines = [line(name, text) for name, text in answer(found, catalogue, needs)]
    return "\n".join([title(heading(found, catalogue)), *lines])
