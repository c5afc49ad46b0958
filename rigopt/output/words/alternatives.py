"""The next cheapest mixes of devices, in words."""

from __future__ import annotations

from typing import Final

from rigopt.answers.outcome import Alternatives
from rigopt.output.facts.units import labels
from rigopt.output.words.differing import DIFFERS, beside
from rigopt.output.words.grids import Grid
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
    rows = [
        [
            str(number),
            *beside(winner, answer.rig, currency),
            str(len(answer.rig.units)),
            str(len(by_piece(answer.rig.links))),
        ]
        for number, answer in enumerate(others.found, start=1)
    ]
    total = f"Total {currency}"
    rigs = [winner, *(answer.rig for answer in others.found)] if rows else []
    end = _ENDS.get(others.ended)
    return Grid(
        ["No", total, "More by", *DIFFERS, "Units", "Cables"],
        rows,
        soft=DIFFERS,
        right=["No", total, "More by", "Units", "Cables"],
        known=legend(labels(unit for rig in rigs for unit in rig.units)),
        lines=[*([_EACH] if rows else []), *([end] if end else [])],
    )
