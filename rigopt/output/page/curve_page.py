"""A curve of prices as one page: the line, and the numbers under it."""

from __future__ import annotations

from markupsafe import Markup

from rigopt.answers.series import Curve
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.output.facts.curve import marks
from rigopt.output.facts.steps import flats, none_from
from rigopt.output.page.chart import stairs
from rigopt.output.page.templates import template
from rigopt.output.words.answer import titled
from rigopt.output.words.curve import TITLE, curve_asked, rows, told
from rigopt.output.words.phrases import INVENTED
from rigopt.output.words.prices import catalogue_told


def curve_page(curve: Curve, catalogue: Catalogue, needs: Needs) -> str:
    """The page as HTML text that ends with a line end."""
    shown = marks(curve)
    headers, lines = rows(shown, catalogue)
    return template("series.html.j2").render(
        title=titled(needs, TITLE),
        answer=(
            ("Asked", curve_asked(curve, needs, catalogue.currency)),
            ("Prices", catalogue_told(catalogue)),
        ),
        invented=INVENTED if catalogue.invented else "",
        pictures=[_flight(curve, catalogue.currency)] if shown else [],
        headers=headers,
        rows=[(line[0], line[1:]) for line in lines],
        free=(len(headers) - 1,),
        stacked=False,
        notes=told(curve, shown, catalogue, needs),
    )


def _flight(curve: Curve, currency: str) -> Markup:
    return stairs(flats(curve), curve.counts, none_from(curve), currency)
