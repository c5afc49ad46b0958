"""Which prices to look up, as JSON of the format `rigopt-prices/1`."""

from __future__ import annotations

from typing import Final

from rigopt.answers.outcome import Impossible, OutOfTime
from rigopt.answers.prices import Prices
from rigopt.needs.types import Needs
from rigopt.output.data.answer_json import answered_json, outcome_json
from rigopt.output.data.json_parts import Json, amount, document

FORMAT: Final = "rigopt-prices/1"


def prices_json(found: Prices | Impossible | OutOfTime, currency: str, needs: Needs) -> str:
    """JSON text that ends with a line end; same question, same bytes."""
    if not isinstance(found, Prices):
        return document({"format": FORMAT, **outcome_json(found, currency, needs)})
    members: Json = {
        "format": FORMAT,
        "status": found.status,
        "done": found.done,
        "ask": [ask.item for ask in found.ask],
        "why": {ask.item: ask.why for ask in found.ask},
        "regret": amount(found.regret, currency),
        "unknown": found.unknown,
        "never_mattered": found.unknown if found.done else None,
    }
    if found.answer is not None:
        members["price_unknown"] = list(found.blank)
        members["plan"] = answered_json(found.answer, currency)
    return document(members)
