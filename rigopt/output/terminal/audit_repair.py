"""A repair as text: what to buy, plug, move, take off and set. Nothing else changes."""

from __future__ import annotations

from typing import Final

from rigopt.answers.repair import NoRepair, Repaired
from rigopt.catalogue.types import Catalogue
from rigopt.output.terminal.layout import paragraph
from rigopt.output.words.phrases import INVENTED, priced
from rigopt.output.words.repair import reasons
from rigopt.output.words.repair_bill import (
    NOTHING_TO_DO,
    SHORT_OF_TIME,
    repair_cost,
    repair_told,
)
from rigopt.rig.wired import WiredRig

UNASKED: Final = "Where nobody needs them, say so with --needs."


def repair_text(before: WiredRig, repair: Repaired | NoRepair, catalogue: Catalogue) -> str:
    """The heading and the steps, or the reasons why there are none."""
    if isinstance(repair, NoRepair):
        lines = ["NO REPAIR THAT KEEPS THE UNITS", "No such repair was found, because:"]
        return "\n".join([*lines, *(paragraph(reason, "- ") for reason in reasons(repair))])
    lines = [f"REPAIR: {repair_cost(repair, catalogue)}", *_steps(before, repair, catalogue)]
    if repair.for_outputs:
        kept = priced(repair.for_outputs, catalogue)
        lines.append(paragraph(f"{kept} of it keeps line outputs fed. {UNASKED}"))
    if not repair.proven:
        lines.append(paragraph(SHORT_OF_TIME))
    if repair.money and catalogue.invented:
        lines.append(paragraph(INVENTED))
    return "\n".join(lines)


def _steps(before: WiredRig, repair: Repaired, catalogue: Catalogue) -> list[str]:
    steps = repair_told(before, repair, catalogue)
    if not steps:
        return [paragraph(NOTHING_TO_DO)]
    return [paragraph(text, f"{verb}:".ljust(10)) for verb, text in steps]
