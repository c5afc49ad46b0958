"""A curve of prices as one page: the line, and the numbers under it."""

from __future__ import annotations

from markupsafe import Markup

from rigopt.answers.series import Curve
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.output.facts.curve_values import marks
from rigopt.output.page.chart import curve_svg
from rigopt.output.page.templates import template
from rigopt.output.terminal.curve import TITLE, besides, table_of, told
from rigopt.output.words.phrases import INVENTED


def curve_page(curve: Curve, catalogue: Catalogue, needs: Needs) -> str:
    """The page as HTML text that ends with a line end."""
    shown = marks(curve, needs)
    headers, lines = table_of(shown, catalogue)
    moved = [mark.mic for mark in shown if mark.moved]
    counts, totals = [mark.mic for mark in shown], [mark.total for mark in shown]
    pictures = [Markup(curve_svg(counts, totals, moved, catalogue.currency))] if shown else []
    return template("series.html.j2").render(
        title=needs.title if needs.title.strip() else TITLE,
        asked=besides(curve, needs),
        invented=INVENTED if catalogue.invented else "",
        pictures=pictures,
        headers=headers,
        rows=[(line[0], line[1:]) for line in lines],
        free=(len(headers) - 1,),
        notes=told(curve, shown, catalogue, needs),
    )
