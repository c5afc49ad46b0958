"""A curve of prices as one page: the line, and the numbers under it."""

from __future__ import annotations

from markupsafe import Markup

from rigopt.answers.series import Curve
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.output.facts.curve import marks
from rigopt.output.page.chart import curve_svg
from rigopt.output.page.templates import template
from rigopt.output.words.answer import titled
from rigopt.output.words.curve import TITLE, curve_asked, rows, told
from rigopt.output.words.phrases import INVENTED


def curve_page(curve: Curve, catalogue: Catalogue, needs: Needs) -> str:
    """The page as HTML text that ends with a line end."""
    shown = marks(curve)
    headers, lines = rows(shown, catalogue)
    moved = [mark.mic for mark in shown if mark.moved]
    counts, totals = [mark.mic for mark in shown], [mark.total for mark in shown]
    pictures = [Markup(curve_svg(counts, totals, moved, catalogue.currency))] if shown else []
    return template("series.html.j2").render(
        title=titled(needs, TITLE),
        asked=curve_asked(curve, needs, catalogue.currency),
        invented=INVENTED if catalogue.invented else "",
        pictures=pictures,
        headers=headers,
        rows=[(line[0], line[1:]) for line in lines],
        free=(len(headers) - 1,),
        notes=told(curve, shown, catalogue, needs),
    )
