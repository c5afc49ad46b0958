"""Any outcome of `plan` as text for a terminal of 80 columns."""

from __future__ import annotations

import datetime

from rigopt.answers.outcome import Answered, Choice, Impossible, Outcome, OutOfTime
from rigopt.catalogue.ends import has_ranges
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.output.terminal.advice import advice
from rigopt.output.terminal.bill import bill_text, sales_text
from rigopt.output.terminal.head import head, notes, question
from rigopt.output.terminal.inputs import whole_table
from rigopt.output.terminal.layout import paragraph
from rigopt.output.terminal.sketch import sketch
from rigopt.output.terminal.wiring import clock_lines, lines_table, links_table, units_table
from rigopt.output.words.answer import SECOND
from rigopt.output.words.bill import owned_lines
from rigopt.output.words.inputs import empty_line, gave_way_lines, silent_lines, spare
from rigopt.output.words.phrases import device_labels, seconds
from rigopt.output.words.regret import UPPER_ENDS
from rigopt.rig.figures import figures


def whole_text(
    choice: Choice,
    catalogue: Catalogue,
    needs: Needs,
    today: datetime.date | None = None,
    *,
    wiring: bool = False,
    steps: bool = False,
) -> str:
    """The outcome as `plan_text` has it, then what was asked of the choice behind it."""
    told = plan_text(choice.outcome, catalogue, needs, today, wiring=wiring, steps=steps)
    if choice == Choice(choice.outcome):
        return told
    # Here and not above, so that a plain answer does not wait for it.
    from rigopt.output.terminal.choice import choice_text  # noqa: PLC0415

    labels = device_labels(catalogue)
    if has_ranges(catalogue):
        told += f"\n{UPPER_ENDS}\n"
    return told + choice_text(choice, catalogue.currency, labels)


def plan_text(
    outcome: Outcome,
    catalogue: Catalogue,
    needs: Needs,
    today: datetime.date | None = None,
    *,
    wiring: bool = False,
    steps: bool = False,
) -> str:
    """The outcome as text that ends with a line end; prices of before `today` may be old.

    `wiring`: the cables are drawn as well; `steps`: the set-up is told step by step.
    """
    if isinstance(outcome, Answered):
        told = _answered(outcome, catalogue, needs, today, wiring)
        return told + _steps(outcome, needs) if steps else told
    if isinstance(outcome, Impossible):
        body = _impossible(outcome, catalogue, needs)
    else:
        body = _out_of_time(outcome)
    opening = "\n".join([question(needs, "No rig", catalogue.currency), *notes(catalogue)])
    return f"{opening}\n\n{body}\n"


def summary(outcome: Outcome, catalogue: Catalogue, needs: Needs) -> str:
    """The outcome in its first lines, for when the data goes to standard output."""
    if isinstance(outcome, Answered):
        return head(outcome, catalogue, needs, figures(outcome.rig)) + "\n"
    return plan_text(outcome, catalogue, needs)


def _answered(
    answer: Answered,
    catalogue: Catalogue,
    needs: Needs,
    today: datetime.date | None,
    wiring: bool,
) -> str:
    rig = answer.rig
    known = figures(rig)
    idle = [spare(known), *empty_line(rig), *silent_lines(rig)]
    owned = owned_lines(rig, catalogue, needs)
    sections = [
        ("Units", units_table(rig)),
        ("Digital cables", links_table(rig)),
        ("Analogue cables", lines_table(rig)),
        ("Wiring", sketch(rig) if wiring else ""),
        ("Clock: set each unit to", clock_lines(rig)),
        (
            "Inputs at the computer",
            whole_table(rig, needs, [*idle, *gave_way_lines(rig, needs.sources)]),
        ),
        ("To buy", "\n".join([bill_text(rig, catalogue, needs), *map(paragraph, owned)])),
        ("To sell", sales_text(rig, catalogue.currency)),
        ("Mind", advice(rig, today)),
    ]
    parts = [head(answer, catalogue, needs, known)]
    parts += [f"{name.upper()}\n{body}" for name, body in sections if body]
    return "\n\n".join(parts) + "\n"


def _steps(answer: Answered, needs: Needs) -> str:
    # Here and not above, so that a plain answer does not wait for it.
    from rigopt.output.terminal.steps import steps_text  # noqa: PLC0415

    return f"\nSET-UP, STEP BY STEP\n{steps_text(answer.rig, needs)}\n"


def _impossible(outcome: Impossible, catalogue: Catalogue, needs: Needs) -> str:
    # Here and not above, so that an answer does not wait for it.
    from rigopt.output.terminal.changes import changes_table  # noqa: PLC0415
    from rigopt.output.words.reasons import reasons  # noqa: PLC0415

    lines = ["No rig of this catalogue can meet these needs, because:"]
    lines += [paragraph(told, "- ") for told in reasons(outcome, catalogue.currency, needs)]
    if outcome.second:
        lines += ["", paragraph(f"A {SECOND[outcome.second]}")]
    if outcome.changes:
        lines += ["", "WHAT WOULD DO", changes_table(outcome, catalogue.currency, needs)]
    return "\n".join(lines)


def _out_of_time(outcome: OutOfTime) -> str:
    return paragraph(
        f"No rig was found within {seconds(outcome.seconds)}, and it is not proven that there "
        "is none. Allow more with --time-limit, or ask for less."
    )
