"""The most microphones at each stage for the same outlay, as text."""

from __future__ import annotations

from rigopt.answers.growth import Most
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.output.facts.growth import stages
from rigopt.output.terminal.grow import grow_title, stage_texts
from rigopt.output.terminal.head import line, notes
from rigopt.output.terminal.layout import table
from rigopt.output.words.growth import paid
from rigopt.output.words.phrases import priced, sources, together


def most_text(found: Most, catalogue: Catalogue, needs: Needs) -> str:
    """The stages in a table, then each with its purchases and its wiring."""
    parts = [_head(found, catalogue, needs)]
    if found.growth.steps:
        parts.append(_table(found, catalogue.currency))
    return "\n\n".join([*parts, *stage_texts(found.growth.steps, catalogue)]) + "\n"


def most_summary(found: Most, catalogue: Catalogue, needs: Needs) -> str:
    """How far the money goes, in a few lines."""
    return _head(found, catalogue, needs) + "\n"


def _head(found: Most, catalogue: Catalogue, needs: Needs) -> str:
    budget = priced(needs.budget or 0, catalogue)
    reached = [sources(step.needs.mic, "mic") for step in found.growth.steps]
    lines = [
        grow_title(needs, len(needs.stages)),
        line("Budget", f"{budget} at each stage; what is left over is not kept."),
        line("Most", ", then ".join(reached) or "no rig at all."),
    ]
    if found.ended != "reached":
        late = needs.stages[len(reached)].title
        why = "no rig can be had for it" if found.ended == "out of reach" else "time was up"
        lines.append(line("Ends", f"before the stage {late}: {why}."))
    if not all(found.proven):
        lines.append(line("Proof", "none yet; there may be more for the money."))
    return "\n".join([*lines, *notes(catalogue)])


def _table(found: Most, currency: str) -> str:
    headers = ["Stage", "Rig then", "Mics", f"Outlay {currency}", "So far", "Proven"]
    rows = [
        [
            stage.title,
            together(stage.devices),
            str(stage.mic),
            *paid(stage, currency),
            "yes" if sure else "no",
        ]
        for stage, sure in zip(stages(found.growth), found.proven, strict=True)
    ]
    right = "|".join(headers[2:5])
    return "THE STAGES\n" + table(headers, rows, "Stage|Rig then", right=right)
