"""The verdict on a wired rig as JSON of the format `rigopt-audit/1`.

`units`, `links` and `inputs` are those of the rig as given, or as repaired if there is a
repair: the text can be audited again. Only ASCII is written, as in the answer of `plan`.
"""

from __future__ import annotations

import json
from typing import Final

from rigopt.catalogue.types import Catalogue
from rigopt.facts import KINDS
from rigopt.money import to_text
from rigopt.needs.types import Needs
from rigopt.output.answer_json import rate_khz
from rigopt.output.audit_repair import steps
from rigopt.rig.audit.finding import Finding
from rigopt.rig.audit.relock import free
from rigopt.rig.audit.wiring import Wiring
from rigopt.rig.mending import NoRepair, Repaired
from rigopt.rig.types import ClockSetting, Input, Link, Purchase, Unit
from rigopt.rig.verdict import Verdict, examine

FORMAT: Final = "rigopt-audit/1"

Json = dict[str, object]


def audit_json(
    verdict: Verdict,
    catalogue: Catalogue,
    needs: Needs | None,
    repair: Repaired | NoRepair | None = None,
) -> str:
    """The verdict as JSON text that ends with a line end; same rig, same bytes."""
    shown = examine(repair.rig, needs) if isinstance(repair, Repaired) else verdict
    rig = shown.rig
    document: Json = {
        "format": FORMAT,
        "status": _status(verdict, repair),
        "rate_khz": rate_khz(rig.rate_hz),
        "findings": [_finding(found) for found in verdict.findings],
        "warnings": [_finding(found) for found in verdict.warnings],
        **_repair(verdict, repair, catalogue),
        "units": [_unit(unit) for unit in rig.units],
        "links": [_link(link) for link in rig.links],
        "inputs": [_input(item) for item in shown.inputs],
        "free_sockets": _free(shown),
        "clock_hops": shown.clock_hops,
    }
    members = [f"  {_compact(key)}: {_spread(value)}" for key, value in document.items()]
    return "{\n" + ",\n".join(members) + "\n}\n"


def _status(verdict: Verdict, repair: Repaired | NoRepair | None) -> str:
    if verdict.works:
        return "works"
    if repair is None:
        return "does not work"
    return "repaired" if isinstance(repair, Repaired) else "no repair"


def _compact(value: object) -> str:
    # Delete is the one control character that JSON may carry bare.
    return json.dumps(value, ensure_ascii=True).replace("\x7f", "\\u007f")


def _spread(value: object) -> str:
    """A list with each entry on a line; anything else on one."""
    if not isinstance(value, list) or not value:
        return _compact(value)
    return "[\n" + ",\n".join(f"    {_compact(entry)}" for entry in value) + "\n  ]"


def _finding(found: Finding) -> Json:
    return {
        "rule": found.rule,
        "says": str(found),
        "change": found.change,
        "facts": dict(found.facts),
    }


def _repair(verdict: Verdict, repair: Repaired | NoRepair | None, catalogue: Catalogue) -> Json:
    if repair is None:
        return {}
    if isinstance(repair, NoRepair):
        return {"repair": {"reasons": list(repair.reasons)}}
    currency = catalogue.currency
    return {
        "repair": {
            "currency": currency,
            "total": to_text(repair.money, currency),
            "proven": repair.proven,
            "steps": [f"{verb}: {text}" for verb, text in steps(verdict.rig, repair)],
            "removed": [_link(link) for link in repair.removed],
            "moved": [
                {"before": _link(moved.before), "after": _link(moved.after)}
                for moved in repair.moved
            ],
            "added": [_link(link) for link in repair.added],
            "purchases": [_purchase(line, repair, currency) for line in repair.purchases],
            "orders": [
                {
                    "seller": order.seller,
                    "currency": order.currency,
                    "goods": to_text(order.goods, order.currency),
                    "delivery": to_text(order.delivery, order.currency),
                    "tax": to_text(order.tax, order.currency),
                    "total": to_text(order.total, currency),
                }
                for order in repair.orders
            ],
        }
    }


def _purchase(line: Purchase, repair: Repaired, currency: str) -> Json:
    """A line in the seller's currency."""
    for order in repair.orders:
        currency = order.currency if order.seller == line.seller else currency
    return {
        "item": line.item,
        "kind": line.kind,
        "seller": line.seller,
        "quantity": line.quantity,
        "currency": currency,
        "unit_price": to_text(line.unit_price, currency),
        "total": to_text(line.total, currency),
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


def _free(verdict: Verdict) -> list[Json]:
    rig = verdict.rig
    wiring = Wiring(rig.units, rig.links, rig.rate_hz)
    return [
        {"unit": unit.name, "kind": kind, "way": way, "sockets": sockets}
        for unit in rig.units
        for kind in KINDS
        for way in ("input", "output")
        if (sockets := free(wiring, unit, kind, way))
    ]
