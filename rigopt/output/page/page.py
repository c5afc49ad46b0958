"""A whole answer as one page: for a screen of any width, and for paper.

The page is one text. It loads nothing, runs nothing, and says nothing of the machine or
the day it was made on, but for a day that was asked for; so the same question gives the same
bytes.
"""

from __future__ import annotations

import datetime
from collections.abc import Sequence

from rigopt.answers.more import More
from rigopt.answers.outcome import Answered
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.output.page.parts import rig_parts
from rigopt.output.page.rows import bill, figure_rows
from rigopt.output.page.spans import gains_chart, ranges_chart
from rigopt.output.page.templates import template
from rigopt.output.sheets.steps import steps
from rigopt.output.words import more as words_of_more
from rigopt.output.words.answer import asked, chosen, heading, price, proof, titled
from rigopt.output.words.bill import NOTHING_TO_BUY, owned_lines
from rigopt.output.words.phrases import INVENTED
from rigopt.output.words.prices import CHECK, catalogue_told
from rigopt.rig.figures import figures


def plan_page(
    answer: Answered,
    catalogue: Catalogue,
    needs: Needs,
    today: datetime.date | None = None,
    checks: Sequence[str] = (),
    *,
    more: More | None = None,
    title: str = "",
    opening: Sequence[tuple[str, str]] = (),
) -> str:
    """The page as HTML text that ends with a line end.

    `today`: the day that was asked for, if one was. `checks`: what to look at before anything
    is paid, a sentence each. `more`: what a little more money buys, if that was asked. `title`
    and `opening`: what it is called, and what is told first, where more than a plan was asked
    for.
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
        more=words_of_more.heading(more, catalogue.currency) if more else "",
        gains=gains_chart(more, rig, catalogue.currency) if more else "",
        left_over=owned_lines(rig, catalogue, needs),
        before=[CHECK, *checks] if rig.purchases else [],
        steps=steps(rig, needs),
        figures=figure_rows(known, catalogue),
    )
