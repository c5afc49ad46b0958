"""What a little more money buys, as a table."""

from __future__ import annotations

from rigopt.answers.choice import difference
from rigopt.answers.more import More
from rigopt.money import to_text
from rigopt.output.facts.units import labels
from rigopt.output.terminal.alternatives import counted
from rigopt.output.terminal.layout import paragraph, table
from rigopt.output.words.more import HOW, NOT_ALL, NOTHING, gain
from rigopt.output.words.needs import option
from rigopt.output.words.phrases import legend
from rigopt.rig.types import Rig


def more_text(more: More, rig: Rig, currency: str) -> str:
    """What each gain costs and how its rig differs from the cheapest, `rig`."""
    said = [] if more.complete else [NOT_ALL]
    if not more.found:
        return said[0] if said else NOTHING
    rigs = [rig, *(better.answer.rig for better in more.found)]
    known = legend(labels(unit for one in rigs for unit in one.units))
    lines = [*(paragraph(line, "- ") for line in known), paragraph(HOW)]
    return "\n".join([_table(more, rig, currency), *lines, *said])


def _table(more: More, rig: Rig, currency: str) -> str:
    rows = []
    for better in more.found:
        differs = difference(rig, better.answer.rig)
        rows.append(
            [
                gain(better),
                to_text(better.answer.rig.total, currency),
                to_text(differs.money, currency),
                counted(differs.less),
                counted(differs.more),
                option(better.setting, currency),
            ]
        )
    total = f"Total {currency}"
    headers = ["For", total, "More by", "Instead of", "There is", "Ask with"]
    return table(headers, rows, "Instead of|There is", right=f"{total}|More by")
