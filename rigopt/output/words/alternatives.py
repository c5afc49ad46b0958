"""The next cheapest mixes of devices, in words."""

from __future__ import annotations

from typing import Final

from rigopt.answers.choice import difference
from rigopt.answers.outcome import Alternatives
from rigopt.money import to_text
from rigopt.output.facts.units import labels
from rigopt.output.words.grids import Grid, counted
from rigopt.output.words.phrases import legend
from rigopt.rig.counts import by_piece
from rigopt.rig.types import Rig

HEADING: Final = "Alternatives"
_EACH: Final = (
    "Each is a complete rig, which --alternative shows whole by its number. A mix that only "
    "adds to a cheaper one is left out."
)
_ENDS: Final = {
    "no more": "No other mix of devices would do.",
    "time": "The time was up before more were found.",
}


def alternatives_told(winner: Rig, others: Alternatives, currency: str) -> Grid:
    """What each costs and how it differs from the winner."""
    rows = []
    for number, answer in enumerate(others.found, start=1):
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
    total = f"Total {currency}"
    rigs = [winner, *(answer.rig for answer in others.found)] if rows else []
    end = _ENDS.get(others.ended)
    return Grid(
        ["No", total, "More by", "Instead of", "There is", "Units", "Cables"],
        rows,
        soft=["Instead of", "There is"],
        right=["No", total, "More by", "Units", "Cables"],
        known=legend(labels(unit for rig in rigs for unit in rig.units)),
        lines=[*([_EACH] if rows else []), *([end] if end else [])],
    )
