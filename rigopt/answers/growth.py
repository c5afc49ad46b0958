"""Growth: stages of a rig, what is bought at each, and what they come to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from rigopt.answers.outcome import ANSWERED, IMPOSSIBLE, OUT_OF_TIME, Impossible, Opinion
from rigopt.needs.types import Stage
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
    found in the time; `stuck`, some stage cannot be reached; or time was up. `second`: the
    second opinion on the money of the former, where one was asked for.
    """

    together: Growth
    one_by_one: Growth | None
    known: Known = "proven"
    second: Opinion | None = None

    exit_status: ClassVar = ANSWERED

    @property
    def status(self) -> Literal["proven cheapest", "best found"]:
        """The word for it, as for a plan."""
        return "proven cheapest" if self.together.proven else "best found"


@dataclass(frozen=True, slots=True)
class Obstacle:
    """The first stage that is out of reach.

    `money`: only because of budgets. `alone`: why there is no rig for it at all, whatever
    is spent; None if there is one, by itself.
    """

    stage: Stage
    money: bool
    alone: Impossible | None = None


@dataclass(frozen=True, slots=True)
class OutOfReach:
    """Proven: there is no way through the stages.

    `obstacle` is None where the time was up before it was clear which stage is one.
    """

    obstacle: Obstacle | None

    status: ClassVar = Impossible.status
    exit_status: ClassVar = IMPOSSIBLE


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

    @property
    def status(self) -> str:
        """The word for how it ended."""
        return self.ended

    @property
    def exit_status(self) -> int:
        """0 if any stage is reached, else whether that is for want of time."""
        if self.growth.steps:
            return ANSWERED
        return OUT_OF_TIME if self.ended == "time" else IMPOSSIBLE
