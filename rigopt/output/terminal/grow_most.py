"""The most microphones at each stage for the same outlay, as text and as JSON."""

from __future__ import annotations

from rigopt.answers.growth import Most
from rigopt.catalogue.types import Catalogue
from rigopt.money import to_text
from rigopt.needs.types import Needs
from rigopt.output.data.json_parts import Json, document
from rigopt.output.facts.records import mix, said
from rigopt.output.terminal.grow import FORMAT, stage_text, steps_json, title
from rigopt.output.terminal.head import notes
from rigopt.output.terminal.layout import paragraph, table
from rigopt.output.words.phrases import priced, sources


def most_text(found: Most, catalogue: Catalogue, needs: Needs) -> str:
    """The stages in a table, then each with its purchases and its wiring."""
    parts = [most_summary(found, catalogue, needs).rstrip("\n")]
    steps = found.growth.steps
    if steps:
        parts.append(_table(found, catalogue))
    parts += [stage_text(number, step, catalogue) for number, step in enumerate(steps, start=1)]
    return "\n\n".join(parts) + "\n"


def most_summary(found: Most, catalogue: Catalogue, needs: Needs) -> str:
    """How far the money goes, in a few lines."""
    lines = title(needs, len(needs.stages))
    budget = priced(needs.budget or 0, catalogue)
    lines.append(
        paragraph(f"{budget} at each stage; what is left over is not kept.", "Budget: ")
    )
    reached = [sources(step.needs.mic, "mic") for step in found.growth.steps]
    lines.append(paragraph(", then ".join(reached) or "no rig at all.", "Most:   "))
    if found.ended != "reached":
        late = needs.stages[len(reached)].title
        why = "no rig can be had for it" if found.ended == "out of reach" else "time was up"
        lines.append(paragraph(f"before the stage {late}: {why}.", "Ends:   "))
    if not all(found.proven):
        lines.append(paragraph("none yet; there may be more for the money.", "Proof:  "))
    return "\n".join([*lines, *notes(catalogue)]) + "\n"


def _table(found: Most, catalogue: Catalogue) -> str:
    money = catalogue.currency
    headers = ["Stage", "Rig then", "Mics", f"Outlay {money}", "So far", "Proven"]
    rows, so_far = [], 0
    for step, sure in zip(found.growth.steps, found.proven, strict=True):
        so_far += step.outlay
        rows.append(
            [
                step.title, said(mix(step.rig.units)), str(step.needs.mic),
                to_text(step.outlay, money), to_text(so_far, money), "yes" if sure else "no",
            ]
        )  # fmt: skip
    right = f"Mics|Outlay {money}|So far"
    return "THE STAGES\n" + table(headers, rows, "Stage|Rig then", right=right)


def most_json(found: Most, catalogue: Catalogue, needs: Needs) -> str:
    """The stages that can be reached, each with a rig as `plan` gives it."""
    stages = steps_json(found.growth, catalogue)
    for stage, sure in zip(stages, found.proven, strict=True):
        stage["proven"] = sure
    members: Json = {
        "format": FORMAT,
        "currency": catalogue.currency,
        "budget_per_stage": to_text(needs.budget or 0, catalogue.currency),
        "total": to_text(found.growth.total, catalogue.currency),
        "ended": found.ended,
        "stages": stages,
    }
    return document(members)
