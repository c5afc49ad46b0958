"""A comparison as one page: bars of the totals, and the numbers side by side."""

from __future__ import annotations

from collections.abc import Sequence

from markupsafe import Markup

from rigopt.answers.series import Column
from rigopt.output.facts.compare import Rates, Values, invented, values
from rigopt.output.page.chart import Bar, bars
from rigopt.output.page.templates import template
from rigopt.output.words.compare import rows
from rigopt.output.words.compare_notes import column_names, compare_title, notes
from rigopt.output.words.phrases import INVENTED, amount, entry


def compare_page(columns: Sequence[Column], rates: Rates) -> str:
    """The page as HTML text that ends with a line end."""
    shown, names = values(columns, rates), column_names(columns)
    return template("series.html.j2").render(
        title=compare_title(columns),
        answer=(),
        invented=INVENTED if invented(shown) else "",
        pictures=_pictures(shown, names),
        headers=["Column", *names],
        rows=[(entry(row.name, row.label), row.texts) for row in rows(shown)],
        free=(),
        stacked=True,
        notes=notes(shown),
    )


def _pictures(shown: Sequence[Values], names: Sequence[str]) -> list[Markup]:
    """A picture for each currency whose amounts cannot be compared with the others."""
    first = shown[0].currency
    groups: dict[str, list[Bar]] = {}
    for value, name in zip(shown, names, strict=True):
        together = value.total is None or value.converted is not None
        currency = first if together else value.currency
        worth = value.converted if together else value.total
        status = value.column.outcome.status
        told = status if worth is None else amount(worth, currency)
        groups.setdefault(currency, []).append(Bar(name, worth, told))
    return [
        bars(group, f"Total, {currency}")
        for currency, group in groups.items()
        if any(bar.amount is not None for bar in group)
    ]
