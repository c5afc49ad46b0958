"""Growth in stages in words: how sure it is, what it saves, and the rows of its table."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from rigopt.answers.growth import Grown, Growth, Most
from rigopt.catalogue.types import Catalogue
from rigopt.money import to_text
from rigopt.needs.types import Needs
from rigopt.output.facts.growth import Stage, saved, stages
from rigopt.output.words.answer import asked, filled_up, heard
from rigopt.output.words.phrases import count, priced, sources, together
from rigopt.rig.step import Step

NOTHING_THEN: Final = "Nothing: everything is there."


def heading(number: int) -> str:
    """What so many stages are called that have no title."""
    return f"Growth in {count(number, 'stage')}"


def stage_name(number: int, step: Step) -> str:
    """'Stage 2', or with a title of its own 'Stage 2: Concert'."""
    plain = step.title == f"Stage {number}"
    return f"Stage {number}" if plain else f"Stage {number}: {step.title}"


def stage_asked(number: int, step: Step, catalogue: Catalogue) -> str:
    """What is asked for then. What was bought before is there by then, and was not."""
    needs = step.needs if number == 1 else replace(step.needs, owned={}, resale={})
    return asked(needs, catalogue.currency)


def stage_rows(found: Grown, currency: str) -> tuple[list[str], list[list[str]]]:
    """Headers and rows: each stage with its outlay and the running total, both ways."""
    ahead = stages(found.together)
    alone = stages(found.one_by_one) if found.one_by_one else [None] * len(ahead)
    headers = ["Stage", "Rig then", f"Outlay {currency}", "So far", "One by one", "So far then"]
    rows = [
        [stage.title, together(stage.devices), *paid(stage, currency), *paid(other, currency)]
        for stage, other in zip(ahead, alone, strict=True)
    ]
    return headers, rows


def growth_proof(found: Grown, catalogue: Catalogue) -> str:
    """How sure it is that no way through the stages costs less."""
    return heard(_proof(found.together, catalogue) + filled_up(catalogue), found.second)


def _proof(growth: Growth, catalogue: Catalogue) -> str:
    if growth.proven:
        return "complete; no way through these stages with this catalogue costs less."
    least = priced(growth.bound, catalogue)
    return (
        "none yet; this is the best found in the time. No way with this catalogue costs less "
        f"than {least}."
    )


def beside(found: Grown, catalogue: Catalogue) -> str:
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


def paid(stage: Stage | None, currency: str) -> list[str]:
    """The outlay of a stage and all that was paid so far; without a stage nothing is known."""
    if stage is None:
        return ["-", "-"]
    return [to_text(stage.outlay, currency), to_text(stage.so_far, currency)]


def most_answer(found: Most, catalogue: Catalogue, needs: Needs) -> list[tuple[str, str]]:
    """How far the same money at each stage goes."""
    budget = priced(needs.budget or 0, catalogue)
    reached = [sources(step.needs.mic, "mic") for step in found.growth.steps]
    told = [
        ("Budget", f"{budget} at each stage; what is left over is not kept."),
        ("Most", ", then ".join(reached) or "no rig at all."),
    ]
    if found.ended != "reached":
        late = needs.stages[len(reached)].title
        why = "no rig can be had for it" if found.ended == "out of reach" else "time was up"
        told.append(("Ends", f"before the stage {late}: {why}."))
    if not all(found.proven):
        told.append(("Proof", "none yet; there may be more for the money."))
    return told


def most_rows(found: Most, currency: str) -> tuple[list[str], list[list[str]]]:
    """Headers and rows of its stages."""
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
    return headers, rows
