"""The verdict on a wired rig as JSON of the format `rigopt-audit/2`.

`units`, `links` and `inputs` are those of the rig as given, or as repaired if there is a
repair: the text can be audited again. Only ASCII is written, as in the answer of `plan`.
"""

from __future__ import annotations

from typing import Final

from rigopt.answers.repair import NoRepair, Repaired
from rigopt.answers.verdict import Verdict, examine
from rigopt.catalogue.types import Catalogue
from rigopt.money import to_text
from rigopt.needs.types import Needs
from rigopt.output.data.json_parts import (
    Json,
    bill_json,
    document,
    link_json,
    rate_khz,
    rig_json,
)
from rigopt.output.facts.repair import repair_steps
from rigopt.output.facts.sockets import free_sockets
from rigopt.output.words import findings
from rigopt.output.words.repair import reasons
from rigopt.output.words.repair_steps import step_words
from rigopt.rig.audit.finding import Finding
from rigopt.rig.wired import WiredRig

FORMAT: Final = "rigopt-audit/2"


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
        "status": (verdict if repair is None else repair).status,
        "rate_khz": rate_khz(rig.rate_hz),
        "findings": [_finding(found) for found in verdict.findings],
        "warnings": [_finding(found) for found in verdict.warnings],
        **_repair(verdict, repair, catalogue),
        **rig_json(rig.units, rig.links, shown.inputs),
        "free_sockets": _free(rig),
        "clock_hops": shown.clock_hops,
    }
    return document(members)


def _finding(found: Finding) -> Json:
    return {
        "rule": found.rule,
        "says": findings.says(found),
        "change": findings.change(found),
        "facts": findings.facts(found),
    }


def _repair(verdict: Verdict, repair: Repaired | NoRepair | None, catalogue: Catalogue) -> Json:
    if repair is None:
        return {}
    if isinstance(repair, NoRepair):
        return {"repair": {"reasons": list(reasons(repair))}}
    currency = catalogue.currency
    steps = map(step_words, repair_steps(verdict.rig, repair))
    return {
        "repair": {
            "currency": currency,
            "total": to_text(repair.money, currency),
            "for_outputs": to_text(repair.for_outputs, currency),
            "proven": repair.proven,
            "steps": [f"{verb}: {text}" for verb, text in steps],
            "removed": [link_json(link) for link in repair.removed],
            "moved": [
                {"before": link_json(moved.before), "after": link_json(moved.after)}
                for moved in repair.moved
            ],
            "added": [link_json(link) for link in repair.added],
            **bill_json(repair.purchases, repair.orders, currency),
        }
    }


def _free(rig: WiredRig) -> list[Json]:
    return [
        {"unit": one.unit, "kind": one.kind, "way": one.way, "sockets": list(one.free)}
        for one in free_sockets(rig.units, rig.links, rig.rate_hz)
        if one.free
    ]
