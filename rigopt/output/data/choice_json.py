"""The choice behind an answer, as members of the answer's JSON."""

from __future__ import annotations

from rigopt.answers.choice import Change, Price, Why, difference
from rigopt.answers.outcome import Alternatives, Answered, Choice
from rigopt.output.data.answer_json import answered_json, change_json, difference_json
from rigopt.output.data.json_parts import Json, amount
from rigopt.rig.types import Rig


def choice_json(choice: Choice, currency: str) -> Json:
    """What was asked beside the answer."""
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
        members = answered_json(answer, currency)
        # Both say something of the cheapest rig, which this is not.
        del members["status"], members["bound"]
        found.append(difference_json(difference(rig, answer.rig), currency) | members)
    return found


def _why(why: Why, rig: Rig, currency: str) -> Json:
    return {
        "complete": why.complete,
        "prices": [_price(price, currency) for price in why.prices],
        "needs": [_need(change, rig, currency) for change in why.changes],
    }


def _price(price: Price, currency: str) -> Json:
    return {
        "device": price.device,
        "units": price.units,
        "unit_price": amount(price.now, currency),
        "switch_price" if price.units else "entry_price": amount(price.limit, currency),
        "note": price.note or None,
    }


def _need(change: Change, rig: Rig, currency: str) -> Json:
    more = None if change.total is None else change.total - rig.total
    return {**change_json(change, currency), "difference": amount(more, currency)}
