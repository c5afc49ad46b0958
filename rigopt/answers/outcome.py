"""How a question can end: with a rig, without one for a reason, or out of time."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from rigopt.rig.types import Rig

if TYPE_CHECKING:
    from rigopt.answers.choice import Change, Fact, Need, Why


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
    """Proven: no rig of this catalogue meets the needs.

    `conflict`: needs that no rig meets together, though without any one of them some rig
    does; `minimal` is False if the time was up before that last part was known. `facts`
    explain it. `changes` would each make the needs possible. `reasons` say the conflict in
    sentences.
    """

    reasons: tuple[str, ...] = ()
    conflict: tuple[Need, ...] = ()
    facts: tuple[Fact, ...] = ()
    changes: tuple[Change, ...] = ()
    minimal: bool = True


@dataclass(frozen=True, slots=True)
class OutOfTime:
    """The time limit came before any rig was found, or a proof that there is none."""

    seconds: float


Outcome = Answered | Impossible | OutOfTime


@dataclass(frozen=True, slots=True)
class Alternatives:
    """The next cheapest mixes of devices, cheapest first, and why there are no more."""

    found: tuple[Answered, ...]
    ended: Literal["asked", "no more", "time"]


@dataclass(frozen=True, slots=True)
class Choice:
    """An outcome with what was asked of the choice behind it."""

    outcome: Outcome
    alternatives: Alternatives | None = None
    why: Why | None = None
