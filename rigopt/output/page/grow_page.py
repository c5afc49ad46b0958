"""Growth in stages as one page: the stages in a table, then each with what is new marked."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise

from rigopt.answers.growth import Grown, Most
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.output.facts.units import labels
from rigopt.output.page.marking import growth_marks
from rigopt.output.page.parts import rig_parts
from rigopt.output.page.picture.marks import NO_MARKS, Marks
from rigopt.output.page.rows import bill
from rigopt.output.page.templates import template
from rigopt.output.words.answer import titled
from rigopt.output.words.growth import (
    NOTHING_THEN,
    beside,
    growth_proof,
    heading,
    most_answer,
    most_rows,
    stage_asked,
    stage_name,
    stage_rows,
)
from rigopt.output.words.phrases import INVENTED, legend, priced
from rigopt.output.words.prices import catalogue_told
from rigopt.rig.step import Step
from rigopt.rig.types import Purchase

Answer = Sequence[tuple[str, str]]
Table = tuple[Sequence[str], Sequence[Sequence[str]]]


def growth_page(found: Grown | Most, catalogue: Catalogue, needs: Needs) -> str:
    """The page as HTML text that ends with a line end."""
    if isinstance(found, Most):
        return most_page(found, catalogue, needs)
    return grow_page(found, catalogue, needs)


def grow_page(found: Grown, catalogue: Catalogue, needs: Needs) -> str:
    """The page of stages that are given."""
    growth = found.together
    answer = (
        ("Total", priced(growth.total, catalogue)),
        ("Proof", growth_proof(found, catalogue)),
        ("Ahead", beside(found, catalogue)),
    )
    rows = stage_rows(found, catalogue.currency)
    return _page(growth.steps, catalogue, needs, answer, rows)


def most_page(found: Most, catalogue: Catalogue, needs: Needs) -> str:
    """The same where the most microphones at each stage were asked for."""
    answer, rows = most_answer(found, catalogue, needs), most_rows(found, catalogue.currency)
    return _page(found.growth.steps, catalogue, needs, answer, rows)


def _page(
    steps: Sequence[Step], catalogue: Catalogue, needs: Needs, answer: Answer, rows: Table
) -> str:
    return template("grow.html.j2").render(
        title=titled(needs, heading(len(needs.stages))),
        answer=[*answer, ("Prices", catalogue_told(catalogue, _bought(steps)))],
        invented=INVENTED if catalogue.invented else "",
        headers=rows[0],
        rows=rows[1],
        legend=legend(labels(unit for step in steps for unit in step.rig.units)),
        currency=catalogue.currency,
        nothing=NOTHING_THEN,
        stages=[
            _stage(number, step, catalogue, marks)
            for number, (step, marks) in enumerate(zip(steps, _marks(steps), strict=True), 1)
        ],
    )


def _marks(steps: Sequence[Step]) -> list[Marks]:
    """What is new at each stage. At the first all is, so nothing is marked."""
    return [NO_MARKS, *(growth_marks(one.rig, other.rig) for one, other in pairwise(steps))]


def _bought(steps: Iterable[Step]) -> list[Purchase]:
    return [line for step in steps for line in step.rig.purchases]


def _stage(number: int, step: Step, catalogue: Catalogue, marks: Marks) -> Mapping[str, object]:
    return {
        "title": stage_name(number, step),
        "asked": stage_asked(number, step, catalogue),
        "bill": bill(step.rig, catalogue),
        "rig": rig_parts(step.rig, step.needs, marks),
    }
