"""What more money buys, in words."""

from __future__ import annotations

from typing import Final

from rigopt.answers.more import Better, More
from rigopt.output.words.phrases import amount, count, khz, plain
from rigopt.rig.figures import figures

NOTHING: Final = "No more inputs, no higher rate, and nothing else that is counted here."
NOT_ALL: Final = "Not all of this could be found out in the time."
HOW: Final = "Each is the cheapest rig that has it. To see it whole, ask with what stands last."


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
