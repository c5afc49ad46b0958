"""What `rigopt add` shows: a question, and the row that its answers make."""

from __future__ import annotations

from collections.abc import Iterable

from rigopt.catalogue.questions import Question
from rigopt.catalogue.types import Catalogue, Device
from rigopt.output.terminal.layout import paragraph
from rigopt.output.terminal.listing import block
from rigopt.output.words.rows import rows


def asked_text(question: Question) -> str:
    """The question, what Enter alone stands for and why it is asked; then a prompt."""
    default = question.shown or question.default
    brackets = "" if default is None else f" [{default}]"
    lines = ["", paragraph(f"{question.text}?{brackets}")]
    lines += [paragraph(question.why, "  ")] if question.why else []
    return "\n".join([*lines, "> "])


def read_back(device: Device, catalogue: Catalogue, unknown: Iterable[tuple[str, str]]) -> str:
    """The row as `rigopt list` shows it, and what is not known with what it would change."""
    row = next(row for row in rows(catalogue) if (row.kind, row.id) == ("device", device.id))
    parts = [block(row)]
    notes = [paragraph(f"{text}? {changes}", "- ") for text, changes in unknown]
    return "\n".join([*parts, *(["NOT KNOWN", *notes] if notes else [])])
