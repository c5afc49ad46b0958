"""Any outcome of `plan` as JSON of the format `rigopt-plan/1`.

Only ASCII is written: whatever a label holds arrives exactly, and escaped, so that the
text is safe on a terminal and in any locale.
"""

from __future__ import annotations

import json
from typing import Final

from rigopt.catalogue.types import Catalogue
from rigopt.money import to_text
from rigopt.needs.types import Needs
from rigopt.output.needs_words import KEYS, as_json
from rigopt.rig.choice import Change, Need
from rigopt.rig.outcome import Answered, Impossible, Outcome
from rigopt.rig.tally import Tally, tally
from rigopt.rig.types import ClockSetting, Input, Link, Order, Purchase, Unit

FORMAT: Final = "rigopt-plan/1"

Json = dict[str, object]


def plan_json(
    outcome: Outcome, catalogue: Catalogue, needs: Needs, more: Json | None = None
) -> str:
    """The outcome as JSON text that ends with a line end; same outcome, same bytes.

    Each unit, link, input and purchase has a line of its own, to be read and edited.
    `more` members come last.
    """
    members = {"format": FORMAT, **outcome_json(outcome, catalogue.currency)}
    if isinstance(outcome, Answered):
        counted = tally(outcome.rig, catalogue, needs)
        members["owned"] = [_owned(one) for one in counted if one.owned]
        members["missing"] = [
            {"item": one.item, "kind": one.kind, "quantity": one.missing}
            for one in counted
            if one.missing
        ]
    return document(members | (more or {}))


def document(members: Json) -> str:
    """One object as text that ends with a line end; a list has a line for each entry."""
    lines = [f"  {_compact(key)}: {_spread(value)}" for key, value in members.items()]
    return "{\n" + ",\n".join(lines) + "\n}\n"


def rate_khz(rate_hz: int) -> int | float:
    """48000 is 48, 44100 is 44.1, as people write them."""
    return rate_hz // 1000 if rate_hz % 1000 == 0 else rate_hz / 1000


def _compact(value: object) -> str:
    # Delete is the one control character that JSON may carry bare.
    return json.dumps(value, ensure_ascii=True).replace("\x7f", "\\u007f")


def _spread(value: object) -> str:
    """A list with each entry on a line; anything else on one."""
    if not isinstance(value, list) or not value:
        return _compact(value)
    return "[\n" + ",\n".join(f"    {_compact(entry)}" for entry in value) + "\n  ]"


def outcome_json(outcome: Outcome, currency: str) -> Json:
    """The members of an answer, the format left out."""
    if isinstance(outcome, Answered):
        return _answered(outcome, currency)
    if isinstance(outcome, Impossible):
        return {
            "status": "impossible",
            "reasons": list(outcome.reasons),
            "conflict": [_need(need, currency) for need in outcome.conflict],
            "changes": [change_json(change, currency) for change in outcome.changes],
        }
    return {"status": "out of time", "time_limit_s": outcome.seconds}


def change_json(change: Change, currency: str) -> Json:
    """Keys of the needs statement with the values to set, and what that costs in all."""
    return {
        "set": {KEYS[s.name]: as_json(s.name, s.now, currency) for s in change.settings},
        "total": None if change.total is None else to_text(change.total, currency),
    }


def _need(need: Need, currency: str) -> Json:
    return {"need": KEYS[need.name], "value": as_json(need.name, need.value, currency)}


def _answered(answer: Answered, currency: str) -> Json:
    rig = answer.rig
    paid_in: dict[str | None, str] = {order.seller: order.currency for order in rig.orders}
    return {
        "status": answer.status,
        "currency": currency,
        "total": to_text(rig.total, currency),
        "bound": to_text(answer.bound, currency),
        "rate_khz": rate_khz(rig.rate_hz),
        "units": [_unit(unit) for unit in rig.units],
        "links": [_link(link) for link in rig.links],
        "inputs": [_input(item) for item in rig.inputs],
        "purchases": [
            _purchase(line, paid_in.get(line.seller, currency)) for line in rig.purchases
        ],
        "orders": [_order(order, currency) for order in rig.orders],
        "clock_hops": rig.clock_hops,
    }


def _unit(unit: Unit) -> Json:
    return {
        "name": unit.name,
        "device": unit.device.id,
        "role": unit.role,
        "owned": unit.owned,
        "clock": _clock(unit.clock),
        "phantom_banks_on": list(unit.phantom_banks_on),
    }


def _clock(clock: ClockSetting) -> Json:
    if clock.source == "internal":
        return {"source": "internal"}
    return {"source": clock.source, "socket": clock.socket, "from": clock.from_unit}


def _link(link: Link) -> Json:
    return {
        "kind": link.kind,
        "from": link.from_unit,
        "from_socket": link.from_socket,
        "to": link.to_unit,
        "to_socket": link.to_socket,
        "channels": link.channels,
        "carries": list(link.carries),
        "cable": link.cable.id if link.cable else None,
    }


def _input(item: Input) -> Json:
    return {
        "computer_input": item.computer_input,
        "unit": item.unit,
        "channel": item.channel,
        "accepts": list(item.accepts),
        "phantom": item.phantom,
        "use": item.use,
        "source": item.source,
    }


def _purchase(line: Purchase, currency: str) -> Json:
    return {
        "item": line.item,
        "kind": line.kind,
        "seller": line.seller,
        "quantity": line.quantity,
        "unit_price": to_text(line.unit_price, currency),
        "total": to_text(line.total, currency),
        "currency": currency,
    }


def _order(order: Order, currency: str) -> Json:
    """Sums in the seller's currency, the total in the answer's."""
    return {
        "seller": order.seller,
        "currency": order.currency,
        "goods": to_text(order.goods, order.currency),
        "delivery": to_text(order.delivery, order.currency),
        "tax": to_text(order.tax, order.currency),
        "total": to_text(order.total, currency),
    }


def _owned(one: Tally) -> Json:
    return {
        "item": one.item,
        "kind": one.kind,
        "used": one.from_owned,
        "unused": one.unused,
    }
