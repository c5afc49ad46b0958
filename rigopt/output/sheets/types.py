"""What a sheet consists of: steps of lines, each line naming what it speaks of.

Texts are plain. They hold unit names and labels as the files have them, so an output has
to clean or escape them like any other text from a file.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Topic = Literal[
    "down", "place", "computer", "cables", "power", "optical", "clock", "rate", "lock",
    "patch", "phantom", "monitor", "prove", "trouble",
]  # fmt: skip
"""Short name of a step; no sheet has two of one topic."""

Danger = Literal["manuals", "earth", "strips", "lifting", "phantom", "levels", "hearing"]
"""Short name of a caution."""


@dataclass(frozen=True, slots=True)
class Caution:
    """What could harm a person or a device, in a sentence or two."""

    danger: Danger
    text: str


@dataclass(frozen=True, slots=True)
class Line:
    """One thing to do or to look at.

    `units` are the names of the units it speaks of, `links` the numbers (from 1, in the
    order of the rig) of the cables.
    """

    text: str
    units: tuple[str, ...] = ()
    links: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the set-up: its lines in order, and what to be careful of in it."""

    topic: Topic
    title: str
    lines: tuple[Line, ...]
    cautions: tuple[Caution, ...] = ()
