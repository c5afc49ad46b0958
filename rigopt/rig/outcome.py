"""How a question can end: with a rig, without one for a reason, or out of time."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from rigopt.rig.types import Rig


@dataclass(frozen=True, slots=True)
class Answered:
    """A rig, and what is known of it. `bound` is the least any rig can cost."""

    rig: Rig
    bound: int
    proven: bool

    @property
    def status(self) -> Literal["proven cheapest", "best found"]:
        """The contractually fixed word for it."""
        return "proven cheapest" if self.proven else "best found"


@dataclass(frozen=True, slots=True)
class Impossible:
    """Proven: no rig of this catalogue meets the needs."""

    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OutOfTime:
    """The time limit came before any rig was found, or a proof that there is none."""

    seconds: float


Outcome = Answered | Impossible | OutOfTime
