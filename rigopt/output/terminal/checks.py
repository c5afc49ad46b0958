"""What to check before anything is paid, as text."""

from __future__ import annotations

from rigopt.answers.checks import Checks
from rigopt.output.terminal.layout import paragraph
from rigopt.output.terminal.why import Labels
from rigopt.output.words.checks import ALL_ELSE, NONE, NOT_ALL, must_line, musts
from rigopt.rig.types import Rig


def checks_text(checks: Checks, rig: Rig, currency: str, labels: Labels) -> str:
    """A line for each thing that comes of a fact that is not so."""
    if not any(line.kind == "device" for line in rig.purchases):
        return NONE
    told = [must_line(must, labels) for must in musts(checks, rig.total, currency)]
    return "\n".join(
        [
            *(paragraph(line, "- ", "  ") for line in told),
            paragraph(ALL_ELSE if checks.complete else NOT_ALL),
        ]
    )
