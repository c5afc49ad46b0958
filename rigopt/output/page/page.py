"""A whole answer as one page: for a screen of any width, and for paper.

The page is one text. It loads nothing, runs nothing, and says nothing of the machine or
the day it was made on, but for a day that was asked for; so the same question gives the same
bytes.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Sequence

from markupsafe import Markup

from rigopt.answers.outcome import Answered, Choice
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.output.page.parts import rig_parts
from rigopt.output.page.rows import bill, figure_rows
from rigopt.output.page.spans import gains_chart, ranges_chart
from rigopt.output.page.templates import template
from rigopt.output.sheets.steps import steps
from rigopt.output.words import alternatives, more, why
from rigopt.output.words.answer import asked, chosen, heading, price, proof, titled
from rigopt.output.words.bill import NOTHING_TO_BUY, owned_lines
from rigopt.output.words.grids import Grid
from rigopt.output.words.phrases import INVENTED, device_labels
from rigopt.output.words.prices import CHECK, catalogue_told
from rigopt.rig.figures import figures

Section = tuple[str, Markup, list[Grid]]
"""A heading, a chart if there is one, and tables."""


def plan_page(
    answer: Answered,
    catalogue: Catalogue,
    needs: Needs,
    today: datetime.date | None = None,
    checks: Sequence[str] = (),
    *,
    choice: Choice | None = None,
    title: str = "",
    opening: Sequence[tuple[str, str]] = (),
) -> str:
    """The page as HTML text that ends with a line end.

    `today`: the day that was asked for, if one was. `checks`: what to look at before anything
    is paid, a sentence each. `choice`: what was asked beside the answer, if anything was.
    `title` and `opening`: what it is called, and what is told first, where more than a plan was
    asked for.
    """
    rig, known = answer.rig, figures(answer.rig)
    return template("plan.html.j2").render(
        title=title or titled(needs, heading(answer)),
        answer=[
            (name, text)
            for name, text in (
                *opening,
                ("Asked", asked(needs, catalogue.currency)),
                ("Choice", chosen(answer, catalogue)),
                ("Total", price(answer, catalogue, known)),
                ("Proof", proof(answer, catalogue)),
                ("Prices", catalogue_told(catalogue, rig.purchases)),
                ("Date", str(today or "")),
            )
            if text
        ],
        invented=INVENTED if catalogue.invented else "",
        rig=rig_parts(rig, needs),
        bill=bill(rig, catalogue),
        currency=catalogue.currency,
        nothing=NOTHING_TO_BUY,
        ranges=ranges_chart(rig, catalogue.currency),
        beside=list(_beside(choice, catalogue)) if choice else [],
        left_over=owned_lines(rig, catalogue, needs),
        before=[CHECK, *checks] if rig.purchases else [],
        steps=steps(rig, needs),
        figures=figure_rows(known, catalogue),
    )


def _beside(choice: Choice, catalogue: Catalogue) -> Iterator[Section]:
    """What was asked beside the answer; what to look at before anything is paid is with it."""
    assert isinstance(choice.outcome, Answered)
    rig, currency = choice.outcome.rig, catalogue.currency
    if choice.alternatives is not None:
        told = alternatives.alternatives_told(rig, choice.alternatives, currency)
        yield alternatives.HEADING, Markup(), [told]
    if choice.why is not None:
        labels = device_labels(catalogue)
        yield why.HEADING, Markup(), why.why_told(choice.why, rig, currency, labels)
    if choice.more is not None:
        chart = gains_chart(choice.more, rig, currency)
        told = more.more_told(choice.more, rig, currency)
        yield more.heading(choice.more, currency), chart, [told]
