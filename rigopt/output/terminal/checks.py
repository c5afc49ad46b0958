"""What to check before anything is paid, as text."""

from __future__ import annotations

from rigopt.answers.checks import Checks
from rigopt.output.terminal.layout import paragraph
from rigopt.output.words.checks import check_lines
from rigopt.output.words.phrases import Labels
from rigopt.rig.types import Rig


def checks_text(checks: Checks, rig: Rig, currency: str, labels: Labels) -> str:
    """A line for each thing that comes of a fact that is not so."""
    *told, last = check_lines(checks, rig, currency, labels)
    return "\n".join([*(paragraph(line, "- ", "  ") for line in told), paragraph(last)])
