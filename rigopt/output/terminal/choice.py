"""The choice behind an answer, added to its text."""

from __future__ import annotations

from rigopt.answers.outcome import Answered, Choice
from rigopt.output.terminal.checks import checks_text
from rigopt.output.terminal.layout import grid
from rigopt.output.words import alternatives, more, why
from rigopt.output.words.phrases import NO_LABELS, Labels


def choice_text(choice: Choice, currency: str, labels: Labels = NO_LABELS) -> str:
    """What was asked beside the answer, in parts that each follow a blank line.

    `labels`: those of the catalogue's devices by their ids.
    """
    if not isinstance(choice.outcome, Answered):
        return ""
    rig, parts = choice.outcome.rig, []
    if choice.alternatives is not None:
        told = grid(alternatives.alternatives_told(rig, choice.alternatives, currency))
        parts.append((alternatives.HEADING, told))
    if choice.why is not None:
        tables = why.why_told(choice.why, rig, currency, labels)
        parts.append((why.HEADING, "\n\n".join(map(grid, tables))))
    if choice.checks is not None:
        parts.append(("Before you pay", checks_text(choice.checks, rig, currency, labels)))
    if choice.more is not None:
        told = grid(more.more_told(choice.more, rig, currency))
        parts.append((more.heading(choice.more, currency), told))
    return "".join(f"\n{heading.upper()}\n{told}\n" for heading, told in parts)
