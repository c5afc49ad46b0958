"""Any outcome of `plan` as JSON of the format `rigopt-plan/2`."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from rigopt.answers.choice import BlankCell, Change, Difference, Need
from rigopt.answers.outcome import Answered, Impossible, NotAsked, Outcome, OutOfTime, second_on
from rigopt.catalogue.types import Catalogue
from rigopt.money import to_text
from rigopt.needs.types import Needs
from rigopt.output.data.json_parts import (
    Json,
    amount,
    bill_json,
    document,
    rate_khz,
    rig_json,
    sales_json,
)
from rigopt.output.words.needs import KEYS, as_json
from rigopt.output.words.reasons import reasons
from rigopt.rig.counts import ItemCounts, item_counts

FORMAT: Final = "rigopt-plan/2"


def plan_json(
    outcome: Outcome, catalogue: Catalogue, needs: Needs, more: Json | None = None
) -> str:
    """The outcome as JSON text that ends with a line end; same outcome, same bytes.

    Each unit, link, input and purchase has a line of its own, to be read and edited.
    `more` members come last.
    """
    members = {"format": FORMAT, **outcome_json(outcome, catalogue.currency, needs)}
    if isinstance(outcome, Answered):
        if (place := outcome.alternative) is not None:
            del members["bound"]  # It says something of the cheapest rig, which this is not.
            members["alternative"] = place.number
            members |= difference_json(place.difference, catalogue.currency)
        counted = item_counts(outcome.rig, catalogue, needs)
        members["owned"] = [_owned(one) for one in counted if one.owned]
        members["missing"] = [
            {"item": one.item, "kind": one.kind, "quantity": one.missing}
            for one in counted
            if one.missing
        ]
    return document(members | (more or {}))


def outcome_json(outcome: Outcome, currency: str, needs: Needs) -> Json:
    """The members of an answer, the format left out."""
    (members,) = with_opinions([_outcome(outcome, currency, needs)], [outcome])
    return members


def with_opinions(
    records: Iterable[Json], outcomes: Iterable[Outcome | NotAsked]
) -> list[Json]:
    """Records with the second opinion on each outcome, where any has one."""
    said = [second_on(outcome) for outcome in outcomes]
    if not any(said):
        return list(records)
    return [
        {**record, "second_opinion": one} for record, one in zip(records, said, strict=True)
    ]


def _outcome(outcome: Outcome, currency: str, needs: Needs) -> Json:
    if isinstance(outcome, Answered):
        return answered_json(outcome, currency)
    if isinstance(outcome, Impossible):
        return {
            "status": outcome.status,
            "reasons": list(reasons(outcome, currency, needs)),
            **needs_in_the_way(outcome, currency),
            "blank_cells": [_blank(cell, currency) for cell in outcome.blanks],
        }
    return out_of_time_json(outcome)


def needs_in_the_way(outcome: Impossible | None, currency: str) -> Json:
    """Needs that conflict, and changes that would do; of None nothing."""
    return {
        "conflict": [_need(need, currency) for need in outcome.conflict] if outcome else [],
        "changes": [change_json(c, currency) for c in outcome.changes] if outcome else [],
    }


def out_of_time_json(outcome: OutOfTime) -> Json:
    """The members of no answer in time."""
    return {"status": outcome.status, "time_limit_s": outcome.seconds}


def change_json(change: Change, currency: str) -> Json:
    """Keys of the needs statement with the values to set, and what that costs in all."""
    return {
        "set": {KEYS[s.name]: as_json(s.name, s.now, currency) for s in change.settings},
        "total": amount(change.total, currency),
    }


def _need(need: Need, currency: str) -> Json:
    return {"need": KEYS[need.name], "value": as_json(need.name, need.value, currency)}


def _blank(cell: BlankCell, currency: str) -> Json:
    return {**cell._asdict(), "total": amount(cell.total, currency)}


def answered_json(answer: Answered, currency: str) -> Json:
    """The members of an answer with a rig."""
    rig = answer.rig
    return {
        "status": answer.status,
        "currency": currency,
        "total": to_text(rig.total, currency),
        **_ranges(answer, currency),
        "bound": to_text(answer.bound, currency),
        "rate_khz": rate_khz(rig.rate_hz),
        **rig_json(rig.units, rig.links, rig.inputs),
        **bill_json(rig.purchases, rig.orders, currency),
        "to_sell": sales_json(rig.to_sell, currency),
        "clock_hops": rig.clock_hops,
    }


def _ranges(answer: Answered, currency: str) -> Json:
    """What there is to say where prices are ranges."""
    regret = answer.regret
    if regret is None:
        return {}
    return {
        "total_from": to_text(answer.rig.total_from, currency),
        "regret": to_text(regret.most, currency),
        "regret_bound": to_text(regret.bound, currency),
        "worst": {item: to_text(price, currency) for item, price in regret.worst},
    }


def difference_json(differs: Difference, currency: str) -> Json:
    """How another rig differs from the cheapest."""
    return {
        "difference": to_text(differs.money, currency),
        "without": dict(differs.less),
        "with": dict(differs.more),
    }


def _owned(one: ItemCounts) -> Json:
    return {
        "item": one.item,
        "kind": one.kind,
        "used": one.from_owned,
        "unused": one.unused,
    }
