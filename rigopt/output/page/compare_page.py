"""A comparison as one page: bars of the totals, and the numbers side by side."""

from __future__ import annotations

from collections.abc import Sequence

from markupsafe import Markup

from rigopt.answers.series import Column
from rigopt.output.facts.compare import Rates, Values, invented, values
from rigopt.output.page.chart import bars_svg
from rigopt.output.page.templates import template
from rigopt.output.words.compare import rows
from rigopt.output.words.compare_notes import compare_title, notes
from rigopt.output.words.phrases import INVENTED


def compare_page(columns: Sequence[Column], rates: Rates) -> str:
    """The page as HTML text that ends with a line end."""
    shown = values(columns, rates)
    return template("series.html.j2").render(
        title=compare_title(columns),
        asked="",
        invented=INVENTED if invented(shown) else "",
        pictures=_pictures(shown),
        headers=["Column", *(str(value.number) for value in shown)],
        rows=[(row.name, row.texts) for row in rows(shown)],
        free=(),
        notes=notes(shown),
    )


def _pictures(shown: Sequence[Values]) -> list[Markup]:
    """A picture for each currency whose amounts cannot be compared with the others."""
    first = shown[0].currency
    groups: dict[str, list[tuple[str, int | None]]] = {}
    for value in shown:
        together = value.total is None or value.converted is not None
        currency = first if together else value.currency
        amount = value.converted if together else value.total
        groups.setdefault(currency, []).append((f"Column {value.number}", amount))
    return [
        Markup(bars_svg([name for name, _ in bars], [total for _, total in bars], currency))
        for currency, bars in groups.items()
        if any(total is not None for _, total in bars)
    ]
