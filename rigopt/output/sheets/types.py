"""What a sheet consists of: steps of lines.

Texts are plain. They hold unit names and labels as the files have them, so an output has
to clean or escape them like any other text from a file.
"""

from __future__ import annotations

from typing import NamedTuple


class Step(NamedTuple):
    """One step of the set-up: what to do or to look at, in order; what to be careful of."""

    title: str
    lines: tuple[str, ...]
    cautions: tuple[str, ...] = ()
