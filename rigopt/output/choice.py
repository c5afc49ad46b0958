"""The choice behind an answer, added to its text and to its JSON."""

from __future__ import annotations

from rigopt.output.alternatives import alternatives_text
from rigopt.output.answer_json import Json, answer_json, setting_json
from rigopt.output.why import why_text
from rigopt.money import to_text
from rigopt.rig.choice import Change, Price, Why, difference
from rigopt.rig.outcome import Alternatives, Answered, Choice
from rigopt.rig.types import Rig


def choice_text(choice: Choice, currency: str) -> str:
    """What was asked beside the answer, in parts that each follow a blank line."""
    if not isinstance(choice.outcome, Answered):
        return ""
    parts = []
    if choice.alternatives is not None:
        told = alternatives_text(choice.outcome, choice.alternatives, currency)
        parts.append(f"\nALTERNATIVES\n{told}\n")
    if choice.why is not None:
        parts.append(f"\nWHY THIS RIG\n{why_text(choice.why, choice.outcome.rig, currency)}\n")
    return "".join(parts)
