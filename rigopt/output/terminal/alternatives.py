"""The next cheapest mixes of devices, as a table and as JSON."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from rigopt.answers.choice import difference
from rigopt.answers.outcome import Alternatives, Answered
from rigopt.money import to_text
from rigopt.output.facts.units import labels
from rigopt.output.terminal.layout import paragraph, table
from rigopt.output.words.phrases import legend
from rigopt.rig.counts import by_piece
from rigopt.rig.types import Rig

_EACH: Final = (
    "Each is a complete rig, which --alternative shows whole by its number. A mix that only "
    "adds to a cheaper one is left out."
)
_ENDS: Final = {
    "no more": "No other mix of devices would do.",
    "time": "The time was up before more were found.",
}


def alternatives_text(winner: Rig, others: Alternatives, currency: str) -> str:
    """What each costs and how it differs from the winner."""
    said = []
    if others.found:
        rigs = [winner, *(answer.rig for answer in others.found)]
        known = legend(labels(unit for rig in rigs for unit in rig.units))
        said += [_table(winner, others.found, currency)]
        said += [*(paragraph(line, "- ") for line in known), paragraph(_EACH)]
    if others.ended in _ENDS:
        said.append(_ENDS[others.ended])
    return "\n".join(said)


def _table(winner: Rig, found: Iterable[Answered], currency: str) -> str:
    total = f"Total {currency}"
    rows = []
    for number, answer in enumerate(found, start=1):
        differs = difference(winner, answer.rig)
        rows.append(
            [
                str(number),
                to_text(answer.rig.total, currency),
                to_text(differs.money, currency),
                counted(differs.less),
                counted(differs.more),
                str(len(answer.rig.units)),
                str(len(by_piece(answer.rig.links))),
            ]
        )
    headers = ["No", total, "More by", "Instead of", "There is", "Units", "Cables"]
    return table(headers, rows, "Instead of|There is", right=f"No|{total}|More by|Units|Cables")


def counted(devices: Iterable[tuple[str, int]]) -> str:
    """Devices with their numbers, in a cell of a table."""
    return ", ".join(f"{number} {item}" for item, number in devices) or "nothing"
