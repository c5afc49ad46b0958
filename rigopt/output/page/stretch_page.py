"""What a budget stretches to, as one page: how far, and the whole rig."""

from __future__ import annotations

from dataclasses import replace

from rigopt.answers.outcome import Answered
from rigopt.answers.series import Stretch
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.output.page.page import plan_page
from rigopt.output.words.stretch import answer, heading


def stretch_page(found: Stretch, rig: Answered, catalogue: Catalogue, needs: Needs) -> str:
    """The page as HTML text that ends with a line end; `rig` is the best that was found."""
    asked = replace(needs, mic=found.best.mic if found.best else 0, budget=found.budget)
    return plan_page(
        rig,
        catalogue,
        asked,
        title=heading(found, catalogue),
        opening=answer(found, catalogue, needs),
    )
