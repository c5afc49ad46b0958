"""Charts of amounts that are not one figure, or come on top of one.

What a total may come to where prices are ranges, and what each gain costs more.
"""

from __future__ import annotations

from markupsafe import Markup

from rigopt.answers.choice import difference
from rigopt.answers.more import More
from rigopt.output.page.chart import Bar, bars
from rigopt.output.words.more import gain
from rigopt.output.words.phrases import between
from rigopt.rig.types import Rig


def ranges_chart(rig: Rig, currency: str) -> Markup:
    """Each price that is a range, and the total; nothing where all are exact."""
    shown = [
        _span(line.item, line.total_from, line.total, currency)
        for line in rig.purchases
        if line.total_from < line.total
    ]
    if not shown:
        return Markup()
    shown.append(_span("Total", rig.total_from, rig.total, currency))
    return bars(shown, f"What prices that are ranges may come to, {currency}")


def gains_chart(more: More, rig: Rig, currency: str) -> Markup:
    """What each gain costs more than the cheapest rig; nothing where there is none."""
    costs = [(gain(better), difference(rig, better.answer.rig).money) for better in more.found]
    shown = [Bar(name, max(0, money), between(money, money, currency)) for name, money in costs]
    return bars(shown, f"What each costs more, {currency}") if shown else Markup()


def _span(name: str, least: int, most: int, currency: str) -> Bar:
    return Bar(name, most, between(least, most, currency), least)
