"""How a question ended, by its name."""

from __future__ import annotations

from typing import Literal

from rigopt.answers.outcome import Answered, Impossible, Outcome

Status = Literal["proven cheapest", "best found", "impossible", "out of time", "not asked"]


def status(outcome: Outcome | None) -> Status:
    """The name of an outcome; None is a question whose turn did not come."""
    if isinstance(outcome, Answered):
        return outcome.status
    if outcome is None:
        return "not asked"
    return "impossible" if isinstance(outcome, Impossible) else "out of time"
