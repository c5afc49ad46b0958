"""A curve of prices as text for a terminal of 80 columns, with a chart of plain signs."""

from __future__ import annotations

from collections.abc import Sequence

from rigopt.answers.series import Curve
from rigopt.catalogue.types import Catalogue
from rigopt.money import to_text
from rigopt.needs.types import Needs
from rigopt.output.facts.curve import Mark, marks
from rigopt.output.terminal.head import line, notes, range_notes, title
from rigopt.output.terminal.layout import COLUMNS, paragraph, table
from rigopt.output.words.answer import titled
from rigopt.output.words.curve import TITLE, curve_asked, rows, told


def curve_text(curve: Curve, catalogue: Catalogue, needs: Needs) -> str:
    """The curve as text that ends with a line end."""
    shown = marks(curve)
    parts = [curve_summary(curve, catalogue, needs)]
    if shown:
        parts += [f"COST\n{_table(shown, catalogue)}"]
        parts += [f"CHART\n{_chart(shown, catalogue)}"]
    parts += ["\n".join(paragraph(text, "- ") for text in told(curve, shown, catalogue, needs))]
    return "\n\n".join(part for part in parts if part) + "\n"


def curve_summary(curve: Curve, catalogue: Catalogue, needs: Needs) -> str:
    """Title and question."""
    asked = line("Asked", curve_asked(curve, needs, catalogue.currency))
    return "\n".join(
        [title(titled(needs, TITLE)), asked, *notes(catalogue), *range_notes(catalogue)]
    )


def _table(shown: Sequence[Mark], catalogue: Catalogue) -> str:
    headers, lines = rows(shown, catalogue)
    return table(headers, lines, "Units", right="|".join(headers[:-1]))


def _chart(shown: Sequence[Mark], catalogue: Catalogue) -> str:
    """A bar for each total, as long as it is dear."""
    amounts = [to_text(mark.total, catalogue.currency) for mark in shown]
    left, right = len(str(shown[-1].mic)), max(map(len, amounts))
    room = COLUMNS - left - right - len(" | ")
    most = max(1, *(mark.total for mark in shown))
    return "\n".join(
        f"{mark.mic:>{left}} |{'#' * ((2 * mark.total * room + most) // (2 * most))} {amount}"
        for mark, amount in zip(shown, amounts, strict=True)
    )
