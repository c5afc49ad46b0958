"""What a budget stretches to, as text for a terminal of 80 columns, and as JSON."""

from __future__ import annotations

from dataclasses import replace

from rigopt.answers.series import Point, Stretch
from rigopt.catalogue.types import Catalogue
from rigopt.money import to_text
from rigopt.needs.types import Needs
from rigopt.output.data.answer_json import FORMAT, answered_json
from rigopt.output.data.json_parts import Json, document
from rigopt.output.facts.records import mix, said
from rigopt.output.terminal.compare_table import why
from rigopt.output.terminal.head import notes
from rigopt.output.terminal.layout import paragraph
from rigopt.output.terminal.text import plan_text
from rigopt.output.words.phrases import priced, sources


def stretch_text(found: Stretch, catalogue: Catalogue, needs: Needs) -> str:
    """The most microphones, the next step up, and the whole rig, as text."""
    if found.best is None:
        return stretch_summary(found, catalogue, needs)
    asked = replace(needs, mic=found.best.mic, budget=found.budget)
    opening = _head(found, catalogue, needs)
    return f"{opening}\n\n{plan_text(found.best.outcome, catalogue, asked)}"


def stretch_summary(found: Stretch, catalogue: Catalogue, needs: Needs) -> str:
    """How far it goes, and what the next step up would cost, in a few lines."""
    return "\n".join([_head(found, catalogue, needs), *notes(catalogue)]) + "\n"


def _head(found: Stretch, catalogue: Catalogue, needs: Needs) -> str:
    title = f"What {priced(found.budget, catalogue)} stretch to"
    lines = [title, "=" * len(title)]
    lines += [paragraph(_most(found, catalogue), "Most:   ")]
    if found.step is not None:
        lines += [paragraph(_step(found, found.step, catalogue, needs), "Next:   ")]
    if not found.proven:
        lines += [paragraph("none yet; more microphones may be within the budget.", "Proof:  ")]
    return "\n".join(lines)


def stretch_json(found: Stretch, catalogue: Catalogue) -> str:
    """The rig as `plan` gives it, with a member `stretch` for the counts."""
    currency = catalogue.currency
    members: Json = {"format": FORMAT}
    if found.best is not None and found.best.answer is not None:
        members |= answered_json(found.best.answer, currency)
    else:
        members |= {"status": found.status, "reasons": [_most(found, catalogue)]}
    members["stretch"] = {
        "budget": to_text(found.budget, currency),
        "mic": None if found.best is None else found.best.mic,
        "proven": found.proven,
        "next": None if found.step is None else _next(found.step, currency),
    }
    return document(members)


def _most(found: Stretch, catalogue: Catalogue) -> str:
    if found.best is None or found.best.answer is None:
        if not found.proven:
            return "no rig within the budget was found in the time."
        return "no rig of this catalogue that meets the other needs costs that little."
    total = found.best.answer.rig.total
    left = priced(found.budget - total, catalogue)
    return f"{sources(found.best.mic, 'mic')} for {priced(total, catalogue)}; {left} are left."


def _step(found: Stretch, step: Point, catalogue: Catalogue, needs: Needs) -> str:
    if step.answer is None:
        asked = replace(needs, mic=step.mic, budget=None)
        return f"{sources(step.mic, 'mic')}: {why(step.outcome, catalogue.currency, asked)}"
    rig = step.answer.rig
    beyond = priced(rig.total - found.budget, catalogue)
    text = f"{sources(step.mic, 'mic')} for {priced(rig.total, catalogue)}"
    return f"{text}, {beyond} beyond the budget: {said(mix(rig.units))}."


def _next(step: Point, currency: str) -> Json:
    if step.answer is None:
        return {"mic": step.mic, "status": step.outcome.status}
    total = to_text(step.answer.rig.total, currency)
    return {"mic": step.mic, "status": step.answer.status, "total": total}
