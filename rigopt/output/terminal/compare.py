"""A comparison as text for a terminal of 80 columns.

More columns than fit side by side continue below, in blocks of about equal width.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from wcwidth import width

from rigopt.answers.series import Column
from rigopt.output.facts.compare_values import Rates, Values, mixed, values
from rigopt.output.terminal.compare_table import Row, reasons, rows
from rigopt.output.terminal.layout import cut, paragraph, table
from rigopt.output.words.phrases import INVENTED

SIDE_BY_SIDE: Final = 4
"""Most columns in one block."""


def compare_text(columns: Sequence[Column], rates: Rates) -> str:
    """The columns side by side, as text that ends with a line end."""
    shown = values(columns, rates)
    parts = [compare_summary(columns)]
    parts += [_block(rows(shown), block) for block in _blocks(shown)]
    parts += ["\n".join(paragraph(line, "- ") for line in notes(shown))]
    return "\n\n".join(part for part in parts if part) + "\n"


def compare_summary(columns: Sequence[Column]) -> str:
    """What this is, in a few lines."""
    lines = cut(compare_title(columns))
    return "\n".join([*lines, "=" * max(map(width, lines))])


def compare_title(columns: Sequence[Column]) -> str:
    """The title of all columns if they have the same, and how many there are."""
    titles = {column.scenario.title for column in columns}
    number = f"{len(columns)} columns side by side"
    return number if len(titles) > 1 or titles == {""} else f"{titles.pop()}: {number}"


def notes(shown: Sequence[Values]) -> list[str]:
    """Why columns have no rig, and what to know of their money."""
    first = shown[0].currency
    found = reasons(shown)
    apart = sorted({v.currency for v in shown if v.answer and v.converted is None})
    if apart:
        example = f"--exchange {apart[0]}=RATE"
        found.append(
            f"Amounts in {', '.join(apart)} are not compared with those in {first}. Say how "
            f"much {apart[0]} one {first} buys with {example}."
        )
    if mixed(shown) and any(v.difference is not None and v.currency != first for v in shown):
        found.append(f"Differences are in {first}, at the exchange rates given.")
    if any(value.column.scenario.catalogue.invented for value in shown):
        found.append(INVENTED)
    return found


def _blocks(shown: Sequence[Values]) -> list[range]:
    """Places of the columns of each block."""
    number = -(-len(shown) // SIDE_BY_SIDE)
    size = -(-len(shown) // number)
    return [range(at, min(at + size, len(shown))) for at in range(0, len(shown), size)]


def _block(told: Sequence[Row], block: range) -> str:
    """The cells of one block under the numbers of their columns."""
    headers = ["Column", *(str(place + 1) for place in block)]
    lines = [
        [row.name.upper(), *("" for _ in block)]
        if not row.cells
        else [row.name, *(row.cells[place] for place in block)]
        for row in told
    ]
    numbers = "|".join(headers[1:])
    return table(headers, lines, numbers, right=numbers)
