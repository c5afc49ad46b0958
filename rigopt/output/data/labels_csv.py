"""The labels of cables and units as CSV, for a program that prints labels."""

from __future__ import annotations

from typing import Final

from rigopt.output.data.csv import csv_text
from rigopt.output.words.labels import LINES, labels
from rigopt.rig.types import Rig

COLUMNS: Final = ("kind", "name", *(f"line_{number}" for number in range(1, LINES + 1)))


def labels_csv(rig: Rig) -> str:
    """A row for each label."""
    return csv_text(
        COLUMNS,
        (
            [label.kind, label.name, *label.lines, *[""] * (LINES - len(label.lines))]
            for label in labels(rig)
        ),
    )
