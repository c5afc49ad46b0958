"""The parts of which every JSON document is made.

Only ASCII is written: whatever a label holds arrives exactly, and escaped, so that the
text is safe on a terminal and in any locale.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence

from rigopt.money import to_text
from rigopt.output.facts.bill import paid_in
from rigopt.output.words.bill import unit_price
from rigopt.rig.types import ClockSetting, Input, Link, Order, Purchase, Sale, Unit

Json = dict[str, object]


def document(members: Json) -> str:
    """One object as text that ends with a line end; a list has a line for each entry."""
    lines = [f"  {_compact(key)}: {_spread(value)}" for key, value in members.items()]
    return "{\n" + ",\n".join(lines) + "\n}\n"


def rate_khz(rate_hz: int) -> int | float:
    """48000 is 48, 44100 is 44.1, as people write them."""
    khz = rate_hz / 1000
    return int(khz) if khz.is_integer() else khz


def _compact(value: object) -> str:
    # Delete is the one control character that JSON may carry bare.
    return json.dumps(value, ensure_ascii=True).replace("\x7f", "\\u007f")


def _spread(value: object) -> str:
    """A list with each entry on a line; anything else on one."""
    if not isinstance(value, list) or not value:
        return _compact(value)
    return "[\n" + ",\n".join(f"    {_compact(entry)}" for entry in value) + "\n  ]"


def rig_json(units: Iterable[Unit], links: Iterable[Link], inputs: Iterable[Input]) -> Json:
    """Units, links and inputs, as `rigopt audit` reads them."""
    return {
        "units": [unit_json(unit) for unit in units],
        "links": [link_json(link) for link in links],
        "inputs": [input_json(item) for item in inputs],
    }


def unit_json(unit: Unit) -> Json:
    """A unit, as `rigopt audit` reads it."""
    return {
        "name": unit.name,
        "device": unit.device.id,
        "role": unit.role,
        "owned": unit.owned,
        "clock": _clock(unit.clock),
        "phantom_banks_on": list(unit.phantom_banks_on),
    }


def _clock(clock: ClockSetting | None) -> Json | None:
    if clock is None:
        return None
    if clock.source == "internal":
        return {"source": "internal"}
    return {"source": clock.source, "socket": clock.socket, "from": clock.from_unit}


def link_json(link: Link) -> Json:
    """A link, as `rigopt audit` reads it."""
    return {
        "kind": link.kind,
        "format": link.format.id if link.kind in ("optical", "trunk") else None,
        "from": link.from_unit,
        "from_socket": link.from_socket,
        "to": link.to_unit,
        "to_socket": link.to_socket,
        "channels": link.channels,
        "carries": list(link.carries),
        "back": link.back,
        "cable": link.cable.id if link.cable else None,
        "after": link.after,
        "tee": link.tee.id if link.tee else None,
        "terminator": link.terminator.id if link.terminator else None,
        "piece": link.piece,
    }


def input_json(item: Input) -> Json:
    """An input, as `rigopt audit` reads it."""
    return {
        "computer_input": item.computer_input,
        "unit": item.unit,
        "channel": item.channel,
        "accepts": list(item.accepts),
        "phantom": item.phantom,
        "use": item.use,
        "source": item.source,
        "path": list(item.path),
    }


def amount(minor: int | None, currency: str) -> str | None:
    """Decimal text, or nothing where there is no amount."""
    return None if minor is None else to_text(minor, currency)


def bill_json(lines: Iterable[Purchase], orders: Sequence[Order], currency: str) -> Json:
    """Purchases, each in its seller's currency, and orders; without an order in `currency`."""
    return {
        "purchases": purchases_json(lines, orders, currency),
        "orders": [_order(order, currency) for order in orders],
    }


def purchases_json(
    lines: Iterable[Purchase], orders: Sequence[Order], currency: str
) -> list[Json]:
    """The lines of a bill, each in its seller's currency; without an order in `currency`."""
    return [_purchase(line, paid_in(line, orders, currency)) for line in lines]


def _purchase(line: Purchase, currency: str) -> Json:
    return {
        "item": line.item,
        "kind": line.kind,
        "seller": line.seller,
        "quantity": line.quantity,
        "unit_price": unit_price(line, currency, "-") if line.known else None,
        "total": to_text(line.total, currency) if line.known else None,
        "currency": currency,
    }


def sales_json(lines: Iterable[Sale], currency: str) -> list[Json]:
    """What is to be sold."""
    return [
        {
            "item": line.item,
            "kind": line.kind,
            "quantity": line.quantity,
            "unit_price": to_text(line.unit_price, currency),
            "total": to_text(line.total, currency),
        }
        for line in lines
    ]


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
