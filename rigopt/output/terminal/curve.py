"""A curve of prices as text for a terminal of 80 columns, with a chart of plain signs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from rigopt.answers.outcome import OutOfTime
from rigopt.answers.series import Curve
from rigopt.catalogue.types import Catalogue
from rigopt.money import to_text
from rigopt.needs.types import Needs
from rigopt.output.facts.curve_values import Mark, marks, remarks
from rigopt.output.facts.records import mix, said
from rigopt.output.terminal.compare_table import STOPPED, signed, why
from rigopt.output.terminal.head import asked
from rigopt.output.terminal.layout import COLUMNS, cut, paragraph, table, width
from rigopt.output.words.phrases import INVENTED, listed

TITLE: Final = "Price against microphones"


def curve_text(curve: Curve, catalogue: Catalogue, needs: Needs) -> str:
    """The curve as text that ends with a line end."""
    shown = marks(curve, needs)
    parts = [curve_summary(curve, catalogue, needs)]
    if shown:
        parts += [f"COST\n{_table(shown, catalogue)}"]
        parts += [f"CHART\n{_chart(shown, catalogue)}"]
    parts += ["\n".join(paragraph(line, "- ") for line in told(curve, shown, catalogue, needs))]
    return "\n\n".join(part for part in parts if part) + "\n"


def curve_summary(curve: Curve, catalogue: Catalogue, needs: Needs) -> str:
    """Title and question."""
    lines = cut(needs.title if needs.title.strip() else TITLE)
    lines += ["=" * max(map(width, lines)), paragraph(besides(curve, needs), "Asked:  ")]
    if catalogue.invented:
        lines.append(paragraph(INVENTED, "Note:   "))
    return "\n".join(lines)


def besides(curve: Curve, needs: Needs) -> str:
    """The counts, and what is asked for besides."""
    first, last = curve.counts[0], curve.counts[-1]
    text = asked(replace(needs, mic=last))
    return text if first == last else text.replace("kHz, ", f"kHz, {first} to ", 1)


def told(curve: Curve, shown: Sequence[Mark], catalogue: Catalogue, needs: Needs) -> list[str]:
    """All that has to be said beside the numbers."""
    found = remarks(shown)
    found += [
        f"{point.mic}: {why(point.outcome, catalogue.currency, needs)}"
        for point in curve.points
        if isinstance(point.outcome, OutOfTime)
    ]
    if not all(mark.answer.proven for mark in shown):
        found.append("Where 'At least' is below the total, the cheapest is not proven.")
    if curve.end is not None:
        asked_then = replace(needs, mic=curve.end.mic)
        reason = why(curve.end.outcome, catalogue.currency, asked_then)
        found.append(f"{curve.end.mic} and more: {reason}")
    if curve.unasked:
        found.append(f"{listed([str(n) for n in curve.unasked])}: {STOPPED}")
    return found


def table_of(shown: Sequence[Mark], catalogue: Catalogue) -> tuple[list[str], list[list[str]]]:
    """Headers and rows; 'Inputs' are those that take a microphone."""
    headers = [
        "Mics",
        f"Total {catalogue.currency}",
        "At least",
        "More",
        "Per input",
        "Inputs",
        "Units",
    ]
    lines = [_cells(mark, catalogue.currency) for mark in shown]
    if all(mark.answer.proven for mark in shown):
        return _without_bound(headers), [_without_bound(line) for line in lines]
    return headers, lines


def _table(shown: Sequence[Mark], catalogue: Catalogue) -> str:
    headers, lines = table_of(shown, catalogue)
    return table(headers, lines, "Units", right="|".join(headers[:-1]))


def _cells(mark: Mark, currency: str) -> list[str]:
    each = mark.known.price_per_mic
    return [
        str(mark.mic),
        to_text(mark.total, currency),
        to_text(mark.answer.bound, currency),
        "" if mark.step is None else signed(mark.step, currency),
        "" if each is None else to_text(each, currency),
        str(mark.room),
        said(mix(mark.answer.rig.units)),
    ]


def _without_bound(cells: list[str]) -> list[str]:
    return [*cells[:2], *cells[3:]]


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
