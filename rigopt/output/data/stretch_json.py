"""What a budget stretches to as JSON of the format `rigopt-plan/2`."""

from __future__ import annotations

from rigopt.answers.series import Point, Stretch
from rigopt.catalogue.types import Catalogue
from rigopt.money import to_text
from rigopt.output.data.answer_json import FORMAT, answered_json
from rigopt.output.data.json_parts import Json, document
from rigopt.output.words.stretch import most


def stretch_json(found: Stretch, catalogue: Catalogue) -> str:
    """The rig as `plan` gives it, with a member `stretch` for the counts."""
    currency = catalogue.currency
    members: Json = {"format": FORMAT}
    if found.best is not None and found.best.answer is not None:
        members |= answered_json(found.best.answer, currency)
    else:
        members |= {"status": found.status, "reasons": [most(found, catalogue)]}
    members["stretch"] = {
        "budget": to_text(found.budget, currency),
        "mic": None if found.best is None else found.best.mic,
        "proven": found.proven,
        "next": None if found.step is None else _next(found.step, currency),
    }
    return document(members)


def _next(step: Point, currency: str) -> Json:
    members: Json = {"mic": step.mic, "status": step.outcome.status}
    if step.answer is not None:
        members["total"] = to_text(step.answer.rig.total, currency)
    return members
