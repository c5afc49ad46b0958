"""What a budget stretches to, in sentences."""

from __future__ import annotations

from dataclasses import replace

from rigopt.answers.series import Point, Stretch
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.output.facts.units import mix
from rigopt.output.words.phrases import priced, sources, together
from rigopt.output.words.reasons import why


def heading(found: Stretch, catalogue: Catalogue) -> str:
    """'What 900.00 GBP stretch to'."""
    return f"What {priced(found.budget, catalogue)} stretch to"


def answer(found: Stretch, catalogue: Catalogue, needs: Needs) -> list[tuple[str, str]]:
    """The most, the next step up, and that there may be more."""
    told = [("Most", most(found, catalogue))]
    if found.step is not None:
        told.append(("Next", next_step(found, found.step, catalogue, needs)))
    if not found.proven:
        told.append(("Proof", "none yet; more microphones may be within the budget."))
    return told


def most(found: Stretch, catalogue: Catalogue) -> str:
    """The most microphones, and what is left; or why there is no rig."""
    if found.best is None or found.best.answer is None:
        if not found.proven:
            return "no rig within the budget was found in the time."
        return "no rig of this catalogue that meets the other needs costs that little."
    total = found.best.answer.rig.total
    left = priced(found.budget - total, catalogue)
    return f"{sources(found.best.mic, 'mic')} for {priced(total, catalogue)}; {left} are left."


def next_step(found: Stretch, step: Point, catalogue: Catalogue, needs: Needs) -> str:
    """What the next step up would cost, or why there is none."""
    if step.answer is None:
        asked = replace(needs, mic=step.mic, budget=None)
        return f"{sources(step.mic, 'mic')}: {why(step.outcome, catalogue.currency, asked)}"
    rig = step.answer.rig
    beyond = priced(rig.total - found.budget, catalogue)
    text = f"{sources(step.mic, 'mic')} for {priced(rig.total, catalogue)}"
    return f"{text}, {beyond} beyond the budget: {together(mix(rig.units))}."
