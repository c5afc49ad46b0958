"""Growth in stages, as text for a terminal of 80 columns."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from rigopt.answers.growth import Grown, Growth, OutOfReach
from rigopt.answers.outcome import OutOfTime
from rigopt.catalogue.types import Catalogue
from rigopt.money import to_text
from rigopt.needs.types import Needs
from rigopt.output.facts.growth import Stage, saved, stages
from rigopt.output.terminal.bill import bill_text, sales_text
from rigopt.output.terminal.head import line, notes, range_notes, title
from rigopt.output.terminal.inputs import whole_table
from rigopt.output.terminal.layout import paragraph, table
from rigopt.output.terminal.wiring import clock_lines, lines_table, links_table, units_table
from rigopt.output.words.answer import asked, filled_up, heard, titled
from rigopt.output.words.phrases import count, priced, seconds, together
from rigopt.output.words.reasons import in_the_way
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
    return f"{opening}\n\n{body}\n"


def _head(found: Grown, catalogue: Catalogue, needs: Needs) -> str:
    growth = found.together
    lines = [
        grow_title(needs, len(growth.steps)),
        line("Total", priced(growth.total, catalogue)),
        line("Proof", heard(_proof(growth, catalogue) + filled_up(catalogue), found.second)),
        line("Ahead", _beside(found, catalogue)),
    ]
    return "\n".join([*lines, *notes(catalogue), *range_notes(catalogue)])


def grow_title(needs: Needs, number: int) -> str:
    """The title of the needs, or the number of stages, underlined."""
    return title(titled(needs, f"Growth in {count(number, 'stage')}"))


def _proof(growth: Growth, catalogue: Catalogue) -> str:
    if growth.proven:
        return "complete; no way through these stages with this catalogue costs less."
    least = priced(growth.bound, catalogue)
    return (
        "none yet; this is the best found in the time. No way with this catalogue costs less "
        f"than {least}."
    )


def _beside(found: Grown, catalogue: Catalogue) -> str:
    """What looking ahead saves against buying one stage after the other."""
    if found.known == "stuck":
        return "bought one after the other, the stages cannot all be reached."
    if found.one_by_one is None:
        return "what the stages cost bought one after the other was not found in the time."
    alone = priced(found.one_by_one.total, catalogue)
    text = f"bought one after the other, the stages cost {alone}"
    if found.known == "found":
        text += " as far as was found in the time"
    less = priced(saved(found), catalogue) if saved(found) > 0 else "nothing here"
    return f"{text}; looking ahead saves {less}."


def _table(found: Grown, currency: str) -> str:
    """Each stage with its outlay and the running total, both ways."""
    ahead = stages(found.together)
    beside = stages(found.one_by_one) if found.one_by_one else [None] * len(ahead)
    headers = ["Stage", "Rig then", f"Outlay {currency}", "So far", "One by one", "So far then"]
    rows = [
        [stage.title, together(stage.devices), *paid(stage, currency), *paid(alone, currency)]
        for stage, alone in zip(ahead, beside, strict=True)
    ]
    return "THE STAGES\n" + table(headers, rows, "Stage|Rig then", right="|".join(headers[2:]))


def paid(stage: Stage | None, currency: str) -> list[str]:
    """The outlay of a stage and all that was paid so far; without a stage nothing is known."""
    if stage is None:
        return ["-", "-"]
    return [to_text(stage.outlay, currency), to_text(stage.so_far, currency)]


def stage_texts(steps: Sequence[Step], catalogue: Catalogue) -> list[str]:
    """Each stage: what is asked and bought then, and how the rig stands afterwards."""
    return [_stage(number, step, catalogue) for number, step in enumerate(steps, start=1)]


def _stage(number: int, step: Step, catalogue: Catalogue) -> str:
    plain = step.title == f"Stage {number}"
    name = f"STAGE {number}" if plain else paragraph(f"STAGE {number}: {step.title}")
    bill = bill_text(step.rig, catalogue, step.needs)
    if not step.rig.purchases:
        bill = "Nothing: everything is there."
    sold = sales_text(step.rig, catalogue.currency)
    # What was bought before is there by then, and was not asked for.
    needs = step.needs if number == 1 else replace(step.needs, owned={}, resale={})
    parts = [
        f"{name}\n{line('Asked', asked(needs, catalogue.currency))}",
        f"TO BUY THEN\n{bill}",
        *([f"TO SELL THEN\n{sold}"] if sold else []),
        f"UNITS\n{units_table(step.rig)}",
        f"DIGITAL CABLES\n{links_table(step.rig)}",
        *([f"ANALOGUE CABLES\n{leads}"] if (leads := lines_table(step.rig)) else []),
        f"CLOCK: SET EACH UNIT TO\n{clock_lines(step.rig)}",
        f"INPUTS AT THE COMPUTER\n{whole_table(step.rig, step.needs)}",
    ]
    return "\n\n".join(parts)
