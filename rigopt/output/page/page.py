"""A whole answer as one page: for a screen of any width, and for paper.

The page is one text. It loads nothing, runs nothing, and says nothing of the machine or
the day it was made on; so the same answer gives the same bytes.
"""

from __future__ import annotations

from rigopt.answers.outcome import Answered
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.output.page.picture.figure import picture
from rigopt.output.page.rows import bill, figure_rows, setting_rows
from rigopt.output.page.templates import template
from rigopt.output.sheets.steps import steps
from rigopt.output.words.answer import asked, chosen, heading, price, proof, titled
from rigopt.output.words.bill import owned_lines
from rigopt.output.words.inputs import (
    INPUT_HEADERS,
    NO_INPUT,
    below,
    input_table,
    spare,
)
from rigopt.output.words.phrases import INVENTED
from rigopt.output.words.wiring import (
    LINE_HEADERS,
    LINK_HEADERS,
    clock_notes,
    line_rows,
    link_rows,
)
from rigopt.rig.figures import figures


def plan_page(answer: Answered, catalogue: Catalogue, needs: Needs) -> str:
    """The page as HTML text that ends with a line end."""
    rig, known = answer.rig, figures(answer.rig)
    return template("plan.html.j2").render(
        title=titled(needs, heading(answer)),
        answer=(
            ("Asked", asked(needs, catalogue.currency)),
            *((("Choice", said),) if (said := chosen(answer, catalogue)) else ()),
            ("Total", price(answer, catalogue, known)),
            ("Proof", proof(answer, catalogue)),
        ),
        invented=INVENTED if catalogue.invented else "",
        picture=picture(rig),
        link_headers=LINK_HEADERS,
        links=link_rows(rig),
        line_headers=LINE_HEADERS,
        lines=line_rows(rig),
        bill=bill(rig, catalogue),
        currency=catalogue.currency,
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
