"""The set-up step by step, for a terminal of 80 columns."""

from __future__ import annotations

from rigopt.needs.types import Needs
from rigopt.output.sheets.steps import steps
from rigopt.output.terminal.layout import paragraph
from rigopt.rig.types import Rig


def steps_text(rig: Rig, needs: Needs) -> str:
    """Every step with its number, what to be careful of before what to do."""
    found = enumerate(steps(rig, needs), start=1)
    return "\n\n".join(
        "\n".join(
            [
                paragraph(step.title, f"{number}. "),
                *(paragraph(f"Caution: {text}", "   ! ") for text in step.cautions),
                *(paragraph(text, "   - ") for text in step.lines),
            ]
        )
        for number, step in found
    )
