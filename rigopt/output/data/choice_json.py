"""The choice behind an answer, as members of the answer's JSON."""

from __future__ import annotations

from rigopt.answers.checks import Check, Checks
from rigopt.answers.choice import Change, Price, Why, difference
from rigopt.answers.more import More
from rigopt.answers.outcome import Alternatives, Answered, Choice
from rigopt.money import to_text
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
    if choice.checks is not None:
        members["checks"] = _checks(choice.checks, rig, currency)
    if choice.more is not None:
        members["more"] = _more(choice.more, rig, currency)
    return members


def _checks(checks: Checks, rig: Rig, currency: str) -> Json:
    return {
        "complete": checks.complete,
        "facts": [_check(check, rig, currency) for check in checks.found],
    }


def _check(check: Check, rig: Rig, currency: str) -> Json:
    more = None if check.total is None else check.total - rig.total
    return {
        "device": check.device,
        "column": check.column,
        "now": check.now,
        "needed": check.needed,
        "tried": check.tried,
        "total": amount(check.total, currency),
        "difference": amount(more, currency),
        "without": dict(check.less),
        "with": dict(check.more),
    }


def _more(more: More, rig: Rig, currency: str) -> Json:
    return {
        "complete": more.complete,
        "limit": to_text(more.limit, currency),
        "rigs": [
            {
                "gain": better.gain,
                "set": change_json(Change((better.setting,), None), currency)["set"],
                **_other(better.answer, rig, currency),
            }
            for better in more.found
        ],
    }


def _alternatives(others: Alternatives, rig: Rig, currency: str) -> list[Json]:
    return [_other(answer, rig, currency) for answer in others.found]


def _other(answer: Answered, rig: Rig, currency: str) -> Json:
    """Another rig than the cheapest."""
    differs = difference(rig, answer.rig)
    members = answered_json(answer, currency)
    # Both say something of the cheapest rig, which this is not.
    del members["status"], members["bound"]
    return difference_json(differs, currency) | members


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
