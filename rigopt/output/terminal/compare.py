"""A comparison as text for a terminal of 80 columns.

More columns than fit side by side continue below, in blocks of about equal width.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from rigopt.answers.series import Column
from rigopt.output.facts.compare import Rates, Values, invented, values
from rigopt.output.terminal.head import title
from rigopt.output.terminal.layout import paragraph, table
from rigopt.output.words.compare import Row, rows
from rigopt.output.words.compare_notes import compare_title, device_legend, notes
from rigopt.output.words.phrases import INVENTED

SIDE_BY_SIDE: Final = 4
"""Most columns in one block."""


def compare_text(columns: Sequence[Column], rates: Rates) -> str:
    """The columns side by side, as text that ends with a line end."""
    shown = values(columns, rates)
    said = [*notes(shown), *device_legend(shown), *([INVENTED] if invented(shown) else [])]
    parts = [compare_summary(columns)]
    parts += [_block(rows(shown), block) for block in _blocks(shown)]
    parts += ["\n".join(paragraph(line, "- ") for line in said)]
    return "\n\n".join(part for part in parts if part) + "\n"


def compare_summary(columns: Sequence[Column]) -> str:
    """What this is, in a few lines."""
    return title(compare_title(columns))


def _blocks(shown: Sequence[Values]) -> list[range]:
    """Places of the columns of each block."""
    number = -(-len(shown) // SIDE_BY_SIDE)
    size = -(-len(shown) // number)
    return [range(at, min(at + size, len(shown))) for at in range(0, len(shown), size)]


def _block(told: Sequence[Row], block: range) -> str:
    """The cells of one block under the numbers of their columns."""
    headers = ["Column", *(str(place + 1) for place in block)]
    lines = [
        [row.name, *(row.texts[place] for place in block)]
        if row.cells
        else [row.name.upper(), *("" for _ in block)]
        for row in told
    ]
    numbers = "|".join(headers[1:])
    return table(headers, lines, numbers, right=numbers)
