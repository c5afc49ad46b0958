"""The verdict on a wired rig as JSON of the format `rigopt-audit/1`.

`units`, `links` and `inputs` are those of the rig as given, or as repaired if there is a
repair: the text can be audited again. Only ASCII is written, as in the answer of `plan`.
"""

from __future__ import annotations

from typing import Final

from rigopt.answers.repair import NoRepair, Repaired
from rigopt.answers.verdict import Verdict, examine
from rigopt.catalogue.types import Catalogue
from rigopt.facts import KINDS
from rigopt.money import to_text
from rigopt.needs.types import Needs
from rigopt.output.data.json_parts import (
    Json,
    document,
    input_json,
    link_json,
    order_json,
    purchases_json,
    rate_khz,
    unit_json,
)  # fmt: skip
from rigopt.output.terminal.audit_repair import steps
from rigopt.output.words.repair import reasons
from rigopt.rig.audit.finding import Finding
from rigopt.rig.audit.relock import free
from rigopt.rig.audit.wiring import Wiring

FORMAT: Final = "rigopt-audit/1"


def audit_json(
    verdict: Verdict,
    catalogue: Catalogue,
    needs: Needs | None,
    repair: Repaired | NoRepair | None = None,
) -> str:
    """The verdict as JSON text that ends with a line end; same rig, same bytes."""
    shown = examine(repair.rig, needs) if isinstance(repair, Repaired) else verdict
    rig = shown.rig
    members: Json = {
        "format": FORMAT,
        "status": _status(verdict, repair),
        "rate_khz": rate_khz(rig.rate_hz),
        "findings": [_finding(found) for found in verdict.findings],
        "warnings": [_finding(found) for found in verdict.warnings],
        **_repair(verdict, repair, catalogue),
        "units": [unit_json(unit) for unit in rig.units],
        "links": [link_json(link) for link in rig.links],
        "inputs": [input_json(item) for item in shown.inputs],
        "free_sockets": _free(shown),
        "clock_hops": shown.clock_hops,
    }
    return document(members)


def _status(verdict: Verdict, repair: Repaired | NoRepair | None) -> str:
    if verdict.works:
        return "works"
    if repair is None:
        return "does not work"
    return "repaired" if isinstance(repair, Repaired) else "no repair"


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
        return {"repair": {"reasons": list(reasons(repair))}}
    currency = catalogue.currency
    return {
        "repair": {
            "currency": currency,
            "total": to_text(repair.money, currency),
            "proven": repair.proven,
            "steps": [f"{verb}: {text}" for verb, text in steps(verdict.rig, repair)],
            "removed": [link_json(link) for link in repair.removed],
            "moved": [
                {"before": link_json(moved.before), "after": link_json(moved.after)}
                for moved in repair.moved
            ],
            "added": [link_json(link) for link in repair.added],
            "purchases": purchases_json(repair.purchases, repair.orders, currency),
            "orders": [order_json(order, currency) for order in repair.orders],
        }
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
