"""Growth in stages, as text for a terminal of 80 columns, as JSON and as CSV."""

from __future__ import annotations

import csv
import io
from typing import Final

from rigopt.answers.growth import Grown, Growth, OutOfReach, Step
from rigopt.answers.outcome import Answered, OutOfTime
from rigopt.catalogue.types import Catalogue
from rigopt.money import to_text
from rigopt.needs.types import Needs
from rigopt.output.data.answer_json import answered_json, out_of_time_json
from rigopt.output.data.json_parts import Json, document, rate_khz
from rigopt.output.data.shopping import COLUMNS, harmless, purchase_rows
from rigopt.output.facts.records import mix, said
from rigopt.output.terminal.bill import bill_text
from rigopt.output.terminal.head import asked, notes
from rigopt.output.terminal.layout import cut, paragraph, table, width
from rigopt.output.terminal.patch import inputs_table
from rigopt.output.terminal.wiring import clock_lines, links_table, units_table
from rigopt.output.words.phrases import count, priced
from rigopt.output.words.reasons import in_the_way

FORMAT: Final = "rigopt-growth/1"

Found = Grown | OutOfReach | OutOfTime


def grow_text(found: Found, catalogue: Catalogue, needs: Needs) -> str:
    """The stages in a table, then each with its purchases and its wiring."""
    if not isinstance(found, Grown):
        return _without(found, catalogue, needs)
    growth = found.together
    parts = [_head(found, catalogue, needs), stages_table(found, catalogue)]
    parts += [
        stage_text(number, step, catalogue) for number, step in enumerate(growth.steps, start=1)
    ]
    return "\n\n".join(parts) + "\n"


def grow_summary(found: Found, catalogue: Catalogue, needs: Needs) -> str:
    """What all stages come to, in a few lines."""
    if not isinstance(found, Grown):
        return _without(found, catalogue, needs)
    return _head(found, catalogue, needs) + "\n"


def _without(found: OutOfReach | OutOfTime, catalogue: Catalogue, needs: Needs) -> str:
    """Why there is no way through the stages."""
    opening = "\n".join([*title(needs, len(needs.stages)), *notes(catalogue)])
    if isinstance(found, OutOfTime):
        body = paragraph(
            f"No way through these stages was found within {found.seconds:g} s, and it is not "
            "proven that there is none. Allow more with --time-limit, or ask for less."
        )
    else:
        reasons = [paragraph(told, "- ") for told in in_the_way(found, catalogue.currency)]
        body = "\n".join(["There is no way through these stages, because:", *reasons])
    return f"{opening}\n\n{body}\n"


def _head(found: Grown, catalogue: Catalogue, needs: Needs) -> str:
    growth = found.together
    lines = title(needs, len(growth.steps))
    lines.append(paragraph(priced(growth.total, catalogue), "Total:  "))
    lines.append(paragraph(_proof(growth, catalogue), "Proof:  "))
    lines.append(paragraph(_beside(found, catalogue), "Ahead:  "))
    return "\n".join([*lines, *notes(catalogue)])


def title(needs: Needs, stages: int) -> list[str]:
    """The title of the needs, or the number of stages, underlined."""
    lines = cut(needs.title if needs.title.strip() else f"Growth in {count(stages, 'stage')}")
    return [*lines, "=" * max(map(width, lines))]


def _proof(growth: Growth, catalogue: Catalogue) -> str:
    if growth.proven:
        return "complete; no way through these stages costs less."
    least = priced(growth.bound, catalogue)
    return f"none yet; this is the best found in the time. No way costs less than {least}."


def _beside(found: Grown, catalogue: Catalogue) -> str:
    """What looking ahead saves against buying one stage after the other."""
    if found.known == "stuck":
        return "bought one after the other, the stages cannot all be reached."
    if found.one_by_one is None:
        return "what the stages cost bought one after the other was not found in the time."
    alone = found.one_by_one.total
    saved = alone - found.together.total
    text = f"bought one after the other, the stages cost {priced(alone, catalogue)}"
    if found.known == "found":
        text += " as far as was found in the time"
    if saved <= 0:
        return f"{text}; looking ahead saves nothing here."
    return f"{text}; looking ahead saves {priced(saved, catalogue)}."


def stages_table(found: Grown, catalogue: Catalogue) -> str:
    """Each stage with its outlay and the running total, both ways."""
    money = catalogue.currency
    steps = found.together.steps
    headers = ["Stage", "Rig then", f"Outlay {money}", "So far", "One by one", "So far then"]
    beside = found.one_by_one.steps if found.one_by_one is not None else (None,) * len(steps)
    rows, so_far, other = [], 0, 0
    for step, alone in zip(steps, beside, strict=True):
        so_far += step.outlay
        row = [step.title, said(mix(step.rig.units))]
        row += [to_text(step.outlay, money), to_text(so_far, money)]
        if alone is None:
            row += ["-", "-"]
        else:
            other += alone.outlay
            row += [to_text(alone.outlay, money), to_text(other, money)]
        rows.append(row)
    return "THE STAGES\n" + table(headers, rows, "Stage|Rig then", right="|".join(headers[2:]))


def stage_text(number: int, step: Step, catalogue: Catalogue) -> str:
    """One stage: what is asked and bought then, and how the rig stands afterwards."""
    plain = step.title == f"Stage {number}"
    name = f"STAGE {number}" if plain else paragraph(f"STAGE {number}: {step.title}")
    bill = bill_text(step.rig, catalogue, step.needs)
    if not step.rig.purchases:
        bill = "Nothing: everything is there."
    parts = [
        f"{name}\n{paragraph(asked(step.needs), 'Asked:  ')}",
        f"TO BUY THEN\n{bill}",
        f"UNITS\n{units_table(step.rig)}",
        f"DIGITAL CABLES\n{links_table(step.rig) if step.rig.links else 'None is needed.'}",
        f"CLOCK: SET EACH UNIT TO\n{clock_lines(step.rig)}",
        f"INPUTS AT THE COMPUTER\n{inputs_table(step.rig)}",
    ]
    return "\n\n".join(parts)


def grow_json(found: Found, catalogue: Catalogue) -> str:
    """The stages, each with a rig as `plan` gives it, and the way one by one beside them."""
    members: Json = {"format": FORMAT}
    if isinstance(found, OutOfTime):
        return document({**members, **out_of_time_json(found)})
    if isinstance(found, OutOfReach):
        reasons = list(in_the_way(found, catalogue.currency))
        members |= {"status": found.status, "reasons": reasons, "conflict": [], "changes": []}
        return document(members)
    growth, money = found.together, catalogue.currency
    alone = found.one_by_one
    members |= {
        "status": found.status,
        "currency": money,
        "total": to_text(growth.total, money),
        "bound": to_text(growth.bound, money),
        "one_by_one": None if alone is None else to_text(alone.total, money),
        "stages": steps_json(growth, catalogue),
    }
    return document(members)


def steps_json(growth: Growth, catalogue: Catalogue) -> list[Json]:
    """Each stage with its outlay, and its rig and purchases as in the answer of a plan."""
    stages: list[Json] = []
    for step in growth.steps:
        answer = Answered(step.rig, step.outlay, proven=growth.proven)
        rig = answered_json(answer, catalogue.currency)
        for name in ("status", "bound", "total", "currency", "rate_khz"):
            rig.pop(name)
        stages.append(
            {
                "title": step.title,
                "mic": step.needs.mic,
                "rate_khz": rate_khz(step.needs.rate_hz),
                "outlay": to_text(step.outlay, catalogue.currency),
                **rig,
            }
        )
    return stages


def grow_csv(growth: Growth, catalogue: Catalogue) -> str:
    """The shopping list, its first column the stage, with a total for each stage."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(("stage", *COLUMNS))
    for step in growth.steps:
        for row in purchase_rows(step.rig, catalogue):
            writer.writerow([harmless(cell) for cell in (step.title, *row)])
    return out.getvalue()
