"""A rig that is owned as one page: its faults drawn on it, the repair, and the rig after it."""

from __future__ import annotations

from collections.abc import Mapping

from rigopt.answers.repair import NoRepair, Repaired
from rigopt.answers.verdict import Verdict, examine
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.output.page.marking import fault_marks, removal_marks, repair_marks
from rigopt.output.page.parts import cable_parts, rig_parts
from rigopt.output.page.picture.marks import Marks
from rigopt.output.page.templates import template
from rigopt.output.words.audit import headline, needs_told, rate_told
from rigopt.output.words.audit_rules import change, sentence
from rigopt.output.words.phrases import INVENTED
from rigopt.output.words.repair import reasons
from rigopt.output.words.repair_bill import (
    NOTHING_TO_DO,
    SHORT_OF_TIME,
    repair_cost,
    repair_told,
)


def audit_page(
    verdict: Verdict,
    catalogue: Catalogue,
    needs: Needs | None,
    repair: Repaired | NoRepair | None = None,
) -> str:
    """The page as HTML text that ends with a line end."""
    rig, wired = verdict.as_rig(), verdict.rig
    answer = [("Rig", wired.title)] if wired.title else []
    answer.append(("Rate", rate_told(wired)))
    answer += [("Needs", needs_told(verdict, needs))] if needs else []
    bought = isinstance(repair, Repaired) and repair.money
    return template("audit.html.j2").render(
        title=headline(verdict),
        answer=answer,
        invented=INVENTED if bought and catalogue.invented else "",
        works=verdict.works,
        rig=rig_parts(rig, needs or Needs())
        if verdict.works
        else cable_parts(rig, _before(verdict, repair)),
        faults=[(sentence(found), found.rule, change(found)) for found in verdict.findings],
        reasons=reasons(repair) if isinstance(repair, NoRepair) else (),
        repair=_repaired(verdict, catalogue, needs, repair)
        if isinstance(repair, Repaired)
        else None,
    )


def _before(verdict: Verdict, repair: Repaired | NoRepair | None) -> Marks:
    """The faults, and what the repair takes from where it is."""
    marks = fault_marks(verdict.as_rig(), verdict.findings)
    if not isinstance(repair, Repaired):
        return marks
    gone = removal_marks(verdict.rig, repair)
    numbers = sorted({*marks.cables, *gone})
    return Marks(
        marks.units, {n: [*marks.cables.get(n, ()), *gone.get(n, ())] for n in numbers}
    )


def _repaired(
    verdict: Verdict, catalogue: Catalogue, needs: Needs | None, repair: Repaired
) -> Mapping[str, object]:
    """What the repair takes, and the rig after it."""
    before, after = verdict.rig, examine(repair.rig, needs).as_rig()
    steps = repair_told(before, repair, catalogue)
    return {
        "cost": repair_cost(repair, catalogue),
        "steps": steps,
        "notes": [
            *([] if steps else [NOTHING_TO_DO]),
            *([] if repair.proven else [SHORT_OF_TIME]),
        ],
        "rig": rig_parts(after, needs or Needs(), repair_marks(before, repair)),
    }
