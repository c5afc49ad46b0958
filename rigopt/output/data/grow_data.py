"""Growth in stages as JSON of the format `rigopt-growth/2`, and as CSV."""

from __future__ import annotations

from typing import Final

from rigopt.answers.growth import Grown, Growth, Most, OutOfReach
from rigopt.answers.outcome import Answered, OutOfTime
from rigopt.catalogue.types import Catalogue
from rigopt.money import to_text
from rigopt.needs.types import Needs
from rigopt.output.data.answer_json import answered_json, needs_in_the_way, out_of_time_json
from rigopt.output.data.csv import csv_text
from rigopt.output.data.json_parts import Json, amount, document, rate_khz
from rigopt.output.data.shopping import COLUMNS, purchase_rows
from rigopt.output.words.reasons import in_the_way

Found = Grown | OutOfReach | OutOfTime

FORMAT: Final = "rigopt-growth/2"


def grow_json(found: Found, catalogue: Catalogue) -> str:
    """The stages, each with a rig as `plan` gives it, and the way one by one beside them."""
    money = catalogue.currency
    if isinstance(found, OutOfTime):
        return document({"format": FORMAT, **out_of_time_json(found)})
    if isinstance(found, OutOfReach):
        reasons, stands = list(in_the_way(found, money)), found.obstacle
        return document(
            {
                "format": FORMAT,
                "status": found.status,
                "reasons": reasons,
                "stage": stands.stage.title if stands else None,
                **needs_in_the_way(stands.alone if stands else None, money),
            }
        )
    growth, alone = found.together, found.one_by_one
    return document(
        {
            "format": FORMAT,
            "status": found.status,
            "currency": money,
            "total": to_text(growth.total, money),
            "bound": to_text(growth.bound, money),
            **({"second_opinion": found.second} if found.second else {}),
            "one_by_one": amount(alone.total if alone else None, money),
            "stages": _stages(growth, money),
        }
    )


def most_json(found: Most, catalogue: Catalogue, needs: Needs) -> str:
    """The stages that can be reached, each with a rig as `plan` gives it."""
    money = catalogue.currency
    stages = _stages(found.growth, money)
    return document(
        {
            "format": FORMAT,
            "currency": money,
            "budget_per_stage": to_text(needs.budget or 0, money),
            "total": to_text(found.growth.total, money),
            "ended": found.ended,
            "stages": [
                {**stage, "proven": sure}
                for stage, sure in zip(stages, found.proven, strict=True)
            ],
        }
    )


def grow_csv(growth: Growth, catalogue: Catalogue) -> str:
    """The shopping list, its first column the stage, with a total for each stage."""
    return csv_text(
        ("stage", *COLUMNS),
        (
            (step.title, *row)
            for step in growth.steps
            for row in purchase_rows(step.rig, catalogue)
        ),
    )


def _stages(growth: Growth, currency: str) -> list[Json]:
    """Each stage with its outlay, and its rig and purchases as in the answer of a plan."""
    stages: list[Json] = []
    for step in growth.steps:
        answer = Answered(step.rig, step.outlay, proven=growth.proven)
        rig = answered_json(answer, currency)
        for name in ("status", "bound", "total", "currency", "rate_khz"):
            rig.pop(name)
        stages.append(
            {
                "title": step.title,
                "mic": step.needs.mic,
                "rate_khz": rate_khz(step.needs.rate_hz),
                "outlay": to_text(step.outlay, currency),
                **rig,
            }
        )
    return stages
