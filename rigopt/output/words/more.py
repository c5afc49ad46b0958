"""What more money buys, in words."""

from __future__ import annotations

from typing import Final

from rigopt.answers.more import Better, More
from rigopt.output.facts.units import labels
from rigopt.output.words.differing import DIFFERS, beside
from rigopt.output.words.grids import Grid
from rigopt.output.words.needs import option
from rigopt.output.words.phrases import NOT_ALL, amount, count, khz, legend, plain
from rigopt.rig.figures import figures
from rigopt.rig.types import Rig

_NOTHING: Final = "No more inputs, no higher rate, and nothing else that is counted here."
_HOW: Final = (
    "Each is the cheapest rig that has it. To see it whole, ask with what stands last."
)


def heading(more: More, currency: str) -> str:
    """What is told: 'What up to 10 % more buys, up to 882.75 GBP'."""
    limit = amount(more.limit, currency)
    return f"What up to {plain(more.percent)} % more buys, up to {limit}"


def gain(better: Better) -> str:
    """What a rig has that the cheapest has not: '26 microphone inputs'."""
    rig = better.answer.rig
    microphones = figures(rig).kinds[0]
    return {
        "inputs": count(microphones.used + microphones.spare, "microphone input"),
        "rate": f"{khz(rig.rate_hz)} kHz",
        "units": count(len(rig.units), "unit"),
        "orders": count(len(rig.orders), "order") if rig.orders else "no order",
        "master": "a host as clock master",
        "new": "new things only",
    }[better.gain]


def more_told(more: More, rig: Rig, currency: str) -> Grid:
    """What each gain costs and how its rig differs from the cheapest, `rig`."""
    rows = [
        [
            gain(better),
            *beside(rig, better.answer.rig, currency),
            option(better.setting, currency),
        ]
        for better in more.found
    ]
    total = f"Total {currency}"
    rigs = [rig, *(better.answer.rig for better in more.found)] if rows else []
    nothing = [_NOTHING] if more.complete else []
    return Grid(
        ["For", total, "More by", *DIFFERS, "Ask with"],
        rows,
        soft=DIFFERS,
        right=[total, "More by"],
        known=legend(labels(unit for one in rigs for unit in one.units)),
        lines=[*([_HOW] if rows else nothing), *([] if more.complete else [NOT_ALL])],
    )
