"""Where a ribbon microphone may be plugged in."""

from __future__ import annotations

from collections.abc import Iterable

from rigopt.output.words.phrases import runs
from rigopt.rig.types import Input


def ribbon_line(inputs: Iterable[Input]) -> str:
    """The computer's inputs with a microphone and without 48 V; '' where none takes any."""
    able = [
        item
        for item in inputs
        if item.use == "mic" or (item.use is None and "mic" in item.accepts)
    ]
    off = [item.computer_input for item in able if not item.phantom]
    if not able:
        return ""
    if not off:
        return "No microphone may be a ribbon one: 48 V is on at all of them."
    if len(off) == len(able):
        return "Any microphone may be a ribbon one: 48 V is off at all of them."
    where = "input" if len(off) == 1 else "inputs"
    return f"A ribbon microphone may be on {where} {runs(off)} alone, where 48 V is off."
