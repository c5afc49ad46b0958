"""The choice behind an answer, added to its text and to its JSON."""

from __future__ import annotations

from rigopt.answers.choice import Change, Price, Why, difference
from rigopt.answers.outcome import Alternatives, Answered, Choice
from rigopt.money import to_text
from rigopt.output.data.answer_json import answered_json, change_json
from rigopt.output.data.json_parts import Json
from rigopt.output.terminal.alternatives import alternatives_text
from rigopt.output.terminal.why import why_text
from rigopt.rig.types import Rig


def choice_text(choice: Choice, currency: str) -> str:
    """What was asked beside the answer, in parts that each follow a blank line."""
    if not isinstance(choice.outcome, Answered):
        return ""
    parts = []
    if choice.alternatives is not None:
        told = alternatives_text(choice.outcome.rig, choice.alternatives, currency)
        parts.append(f"\nALTERNATIVES\n{told}\n")
    if choice.why is not None:
        told = why_text(choice.why, choice.outcome.rig, currency)
        parts.append(f"\nWHY THIS RIG\n{told}\n")
    return "".join(parts)


def choice_json(choice: Choice, currency: str) -> Json:
    """The same as members of the answer's JSON."""
    members: Json = {}
    if not isinstance(choice.outcome, Answered):
        return members
    rig = choice.outcome.rig
    if choice.alternatives is not None:
        members["alternatives"] = _alternatives(choice.alternatives, rig, currency)
    if choice.why is not None:
        members["why"] = _why(choice.why, rig, currency)
    return members


def _alternatives(others: Alternatives, rig: Rig, currency: str) -> list[Json]:
    found: list[Json] = []
    for answer in others.found:
        differs = difference(rig, answer.rig)
        members = answered_json(answer, currency)
        # Both say something of the cheapest rig, which this is not.
        del members["status"], members["bound"]
        found.append(
            {
                "difference": to_text(differs.money, currency),
                "without": dict(differs.less),
                "with": dict(differs.more),
                **members,
            }
        )
    return found


def _why(why: Why, rig: Rig, currency: str) -> Json:
    return {
        "complete": why.complete,
        "prices": [_price(price, currency) for price in why.prices],
        "needs": [_need(change, rig, currency) for change in why.changes],
    }


def _price(price: Price, currency: str) -> Json:
    def money(minor: int | None) -> str | None:
        return None if minor is None else to_text(minor, currency)

    return {
        "device": price.device,
        "units": price.units,
        "unit_price": money(price.now),
        "switch_price" if price.units else "entry_price": money(price.limit),
        "note": price.note or None,
    }


def _need(change: Change, rig: Rig, currency: str) -> Json:
    more = None if change.total is None else to_text(change.total - rig.total, currency)
    return {**change_json(change, currency), "difference": more}
