"""Bars for amounts, from one to another, as SVG in the colours of the page.

What a total may come to where prices are ranges, and what each gain costs more.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, NamedTuple

from markupsafe import Markup, escape

from rigopt.answers.choice import difference
from rigopt.answers.more import More
from rigopt.output.words.more import gain
from rigopt.output.words.phrases import between
from rigopt.rig.types import Rig

WIDTH: Final = 640
ROW: Final = 24
NAMES: Final = 220
"""Room for the names on the left, in pixels; amounts have as much on the right."""

AMOUNTS: Final = 150
MOST_LETTERS: Final = 30
THINNEST: Final = 2


class Bar(NamedTuple):
    """A bar from `least` to `most`, in minor units."""

    name: str
    least: int
    most: int


def range_svg(rig: Rig, currency: str) -> Markup:
    """Each price that is a range, and the total; nothing where all are exact."""
    bars = [
        Bar(line.item, line.total_from, line.total)
        for line in rig.purchases
        if line.total_from < line.total
    ]
    if not bars:
        return Markup()
    bars.append(Bar("Total", rig.total_from, rig.total))
    return _svg(bars, currency, f"Bars: what prices that are ranges may come to, {currency}.")


def gains_svg(more: More, rig: Rig, currency: str) -> Markup:
    """What each gain costs more than the cheapest rig; nothing where there is none."""
    costs = [(gain(better), difference(rig, better.answer.rig).money) for better in more.found]
    bars = [Bar(name, 0, max(0, money)) for name, money in costs]
    return (
        _svg(bars, currency, f"Bars: what each costs more, {currency}.") if bars else Markup()
    )


def _svg(bars: Sequence[Bar], currency: str, label: str) -> Markup:
    largest = max(1, *(bar.most for bar in bars))
    room = WIDTH - NAMES - AMOUNTS
    rows = []
    for place, (name, least, most) in enumerate(bars):
        start, end = (NAMES + room * max(0, minor) // largest for minor in (least, most))
        base = place * ROW + ROW * 2 // 3
        amount = between(least or most, most, currency)
        rows.append(
            f'<text x="0" y="{base}" fill="var(--ink)">{escape(name[:MOST_LETTERS])}</text>'
            f'<rect x="{start}" y="{place * ROW + 5}" width="{max(THINNEST, end - start)}" '
            f'height="{ROW - 10}" fill="var(--sound)"/>'
            f'<text x="{end + 8}" y="{base}" fill="var(--ink)">{amount}</text>'
        )
    size = f'viewBox="0 0 {WIDTH} {len(bars) * ROW}" font-size="13"'
    opening = f'<svg class="picture" role="img" aria-label="{escape(label)}" {size}>'
    return Markup(opening + "".join(rows) + "</svg>")
