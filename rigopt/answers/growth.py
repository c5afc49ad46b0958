"""Growth: stages of a rig, what is bought at each, and what they come to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from rigopt.rig.step import Step

Known = Literal["proven", "found", "stuck", "time"]


@dataclass(frozen=True, slots=True)
class Growth:
    """All stages; `bound` is the least that any way through them can cost."""

    steps: tuple[Step, ...]
    bound: int
    proven: bool

    @property
    def total(self) -> int:
        """What all stages come to."""
        return sum(step.outlay for step in self.steps)


@dataclass(frozen=True, slots=True)
class Grown:
    """The cheapest growth, beside the same stages bought one after the other.

    `known` of the latter: each stage is proven the cheapest that follows the one before;
    found in the time; `stuck`, some stage cannot be reached; or time was up.
    """

    together: Growth
    one_by_one: Growth | None
    known: Known = "proven"


@dataclass(frozen=True, slots=True)
class Most:
    """The most microphones at each stage for the same outlay.

    `growth` is the cheapest way through these counts. `proven`: for each of its stages,
    whether there cannot be more. `ended`: whether all stages are reached; if not, whether
    the next one is out of reach, or was not found in the time.
    """

    growth: Growth
    proven: tuple[bool, ...]
    ended: Literal["reached", "out of reach", "time"]
