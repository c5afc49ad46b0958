"""Growth in stages, as text for a terminal of 80 columns."""

from __future__ import annotations

from collections.abc import Sequence

from rigopt.answers.growth import Grown, OutOfReach
from rigopt.answers.outcome import OutOfTime
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.output.terminal.bill import bill_text, sales_text
from rigopt.output.terminal.head import line, notes, range_notes, title
from rigopt.output.terminal.inputs import whole_table
from rigopt.output.terminal.layout import paragraph, table
from rigopt.output.terminal.wiring import clock_lines, lines_table, links_table, units_table
from rigopt.output.words.answer import titled
from rigopt.output.words.growth import (
    NOTHING_THEN,
    beside,
    growth_proof,
    heading,
    stage_asked,
    stage_name,
    stage_rows,
)
from rigopt.output.words.phrases import priced, seconds
from rigopt.output.words.reasons import in_the_way, would_do
from rigopt.rig.step import Step

Found = Grown | OutOfReach | OutOfTime


def grow_text(found: Found, catalogue: Catalogue, needs: Needs) -> str:
    """The stages in a table, then each with its purchases and its wiring."""
    if not isinstance(found, Grown):
        return _without(found, catalogue, needs)
    growth = found.together
    parts = [_head(found, catalogue, needs), _table(found, catalogue.currency)]
    return "\n\n".join([*parts, *stage_texts(growth.steps, catalogue)]) + "\n"


def grow_summary(found: Found, catalogue: Catalogue, needs: Needs) -> str:
    """What all stages come to, in a few lines."""
    if not isinstance(found, Grown):
        return _without(found, catalogue, needs)
    return _head(found, catalogue, needs) + "\n"


def _without(found: OutOfReach | OutOfTime, catalogue: Catalogue, needs: Needs) -> str:
    """Why there is no way through the stages."""
    opening = "\n".join([grow_title(needs, len(needs.stages)), *notes(catalogue)])
    if isinstance(found, OutOfTime):
        body = paragraph(
            f"No way through these stages was found within {seconds(found.seconds)}, and it is "
            "not proven that there is none. Allow more with --time-limit, or ask for less."
        )
    else:
        reasons = [paragraph(told, "- ") for told in in_the_way(found, catalogue.currency)]
        body = "\n".join(["There is no way through these stages, because:", *reasons])
        if ways := would_do(found, catalogue.currency):
            body += f"\n\n{paragraph(ways)}"
    return f"{opening}\n\n{body}\n"


def _head(found: Grown, catalogue: Catalogue, needs: Needs) -> str:
    growth = found.together
    lines = [
        grow_title(needs, len(growth.steps)),
        line("Total", priced(growth.total, catalogue)),
        line("Proof", growth_proof(found, catalogue)),
        line("Ahead", beside(found, catalogue)),
    ]
    return "\n".join([*lines, *notes(catalogue), *range_notes(catalogue)])


def grow_title(needs: Needs, number: int) -> str:
    """The title of the needs, or the number of stages, underlined."""
    return title(titled(needs, heading(number)))


def _table(found: Grown, currency: str) -> str:
    """Each stage with its outlay and the running total, both ways."""
    headers, rows = stage_rows(found, currency)
    return "THE STAGES\n" + table(headers, rows, "Stage|Rig then", right="|".join(headers[2:]))


def stage_texts(steps: Sequence[Step], catalogue: Catalogue) -> list[str]:
    """Each stage: what is asked and bought then, and how the rig stands afterwards."""
    return [_stage(number, step, catalogue) for number, step in enumerate(steps, start=1)]


def _stage(number: int, step: Step, catalogue: Catalogue) -> str:
    name = paragraph(stage_name(number, step).replace("Stage", "STAGE", 1))
    bill = bill_text(step.rig, catalogue, step.needs)
    if not step.rig.purchases:
        bill = NOTHING_THEN
    sold = sales_text(step.rig, catalogue.currency)
    parts = [
        f"{name}\n{line('Asked', stage_asked(number, step, catalogue))}",
        f"TO BUY THEN\n{bill}",
        *([f"TO SELL THEN\n{sold}"] if sold else []),
        f"UNITS\n{units_table(step.rig)}",
        f"DIGITAL CABLES\n{links_table(step.rig)}",
        *([f"ANALOGUE CABLES\n{leads}"] if (leads := lines_table(step.rig)) else []),
        f"CLOCK: SET EACH UNIT TO\n{clock_lines(step.rig)}",
        f"INPUTS AT THE COMPUTER\n{whole_table(step.rig, step.needs)}",
    ]
    return "\n\n".join(parts)
