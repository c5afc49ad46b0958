"""The choice behind an answer, added to its text."""

from __future__ import annotations

from rigopt.answers.outcome import Answered, Choice
from rigopt.output.terminal.alternatives import alternatives_text
from rigopt.output.terminal.checks import checks_text
from rigopt.output.terminal.more import more_text
from rigopt.output.terminal.why import NO_LABELS, Labels, why_text
from rigopt.output.words.more import heading


def choice_text(choice: Choice, currency: str, labels: Labels = NO_LABELS) -> str:
    """What was asked beside the answer, in parts that each follow a blank line.

    `labels`: those of the catalogue's devices by their ids.
    """
    if not isinstance(choice.outcome, Answered):
        return ""
    parts = []
    if choice.alternatives is not None:
        told = alternatives_text(choice.outcome.rig, choice.alternatives, currency)
        parts.append(f"\nALTERNATIVES\n{told}\n")
    if choice.why is not None:
        told = why_text(choice.why, choice.outcome.rig, currency, labels)
        parts.append(f"\nWHY THIS RIG\n{told}\n")
    if choice.checks is not None:
        told = checks_text(choice.checks, choice.outcome.rig, currency, labels)
        parts.append(f"\nBEFORE YOU PAY\n{told}\n")
    if choice.more is not None:
        told = more_text(choice.more, choice.outcome.rig, currency)
        parts.append(f"\n{heading(choice.more, currency).upper()}\n{told}\n")
    return "".join(parts)
