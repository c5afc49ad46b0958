"""A whole answer as one page: for a screen of any width, and for paper.

The page is one text. It loads nothing, runs nothing, and says nothing of the machine or
the day it was made on; so the same answer gives the same bytes.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from markupsafe import Markup

from rigopt.answers.more import More
from rigopt.answers.outcome import Answered
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.output.page.draw import draw
from rigopt.output.page.picture import picture_svg
from rigopt.output.page.rows import bill, figure_rows, setting_rows
from rigopt.output.page.spans import gains_svg, range_svg
from rigopt.output.page.templates import template
from rigopt.output.sheets.steps import steps
from rigopt.output.words.answer import asked, price, proof, title_of, titled
from rigopt.output.words.bill import owned_lines
from rigopt.output.words.inputs import (
    INPUT_HEADERS,
    NO_INPUT,
    below,
    input_table,
    spare,
)
from rigopt.output.words.more import heading
from rigopt.output.words.phrases import INVENTED
from rigopt.output.words.wiring import (
    LINE_HEADERS,
    LINK_HEADERS,
    clock_notes,
    line_rows,
    link_rows,
)
from rigopt.rig.figures import figures

LEAST_PERCENT: Final = 85
"""How far a picture is scaled down before the other is shown, or it is scrolled."""

AROUND: Final = 48
"""More than the page's margins and a scroll bar take from the width, in pixels."""

LEGEND: Final = (
    ("audio", "single line: audio"),
    ("clock", "dashed line: clock only"),
    ("both", "double line: audio and clock"),
)
ANALOGUE_LEGEND: Final = (("analogue", "dotted line: analogue"),)
"""What the lines of the picture mean, by the class of the style sheet."""


def plan_page(
    answer: Answered,
    catalogue: Catalogue,
    needs: Needs,
    checks: Sequence[str] = (),
    more: More | None = None,
) -> str:
    """The page as HTML text that ends with a line end.

    `checks`: what to look at before anything is paid, a sentence each. `more`: what a little
    more money buys, if that was asked.
    """
    rig, known = answer.rig, figures(answer.rig)
    wide, narrow = draw(rig, "wide"), draw(rig, "narrow")
    return template("plan.html.j2").render(
        title=titled(needs, title_of(answer)),
        answer=(
            ("Asked", asked(needs, catalogue.currency)),
            ("Total", price(answer, catalogue, known)),
            ("Proof", proof(answer, catalogue)),
        ),
        invented=INVENTED if catalogue.invented else "",
        wide=Markup(picture_svg(wide, "wide")),
        wide_width=wide.width,
        wide_from=wide.width * LEAST_PERCENT // 100 + AROUND,
        narrow=Markup(picture_svg(narrow, "narrow")),
        narrow_least=narrow.width * LEAST_PERCENT // 100,
        link_headers=LINK_HEADERS,
        links=link_rows(rig),
        legend=LEGEND + ANALOGUE_LEGEND * bool(line_rows(rig)),
        line_headers=LINE_HEADERS,
        lines=line_rows(rig),
        bill=bill(rig, catalogue),
        currency=catalogue.currency,
        checks=checks,
        ranges=range_svg(rig, catalogue.currency),
        more=heading(more, catalogue.currency) if more else "",
        gains=gains_svg(more, rig, catalogue.currency) if more else "",
        left_over=owned_lines(rig, catalogue, needs),
        input_headers=INPUT_HEADERS,
        inputs=input_table(rig),
        no_input=NO_INPUT,
        spare=spare(known),
        below=below(rig, needs.sources),
        settings=setting_rows(rig),
        clocks=clock_notes(rig),
        steps=steps(rig),
        figures=figure_rows(known, catalogue),
    )
