"""How a question can end: with a rig, without one for a reason, or out of time.

Each end has a word for it, its `status`, and the `exit_status` of the command that tells it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar, Final, Literal

from rigopt.rig.types import Rig

if TYPE_CHECKING:
    from rigopt.answers.checks import Checks
    from rigopt.answers.choice import Alternative, BlankCell, Change, Fact, Need, Why
    from rigopt.answers.more import More

ANSWERED: Final = 0
IMPOSSIBLE: Final = 3
OUT_OF_TIME: Final = 4

WORDS: Final = {ANSWERED: "answered", IMPOSSIBLE: "impossible", OUT_OF_TIME: "out of time"}
"""The status of several questions together, by their exit status."""


Opinion = Literal["agrees", "disagrees", "no opinion"]
"""What a solver of another kind says of a proof; no opinion: it came to no end in the time."""


@dataclass(frozen=True, slots=True)
class Regret:
    """What a rig costs at most more than the best one, whatever the true prices are.

    `most` in minor units; no rig has less than `bound`. `worst`: the prices at which it is so
    much more, by item; other prices have no say in it.
    """

    most: int
    bound: int
    worst: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Answered:
    """A rig, and what is known of it. `bound` is the least any rig can cost; `second`: the
    second opinion on its money, where one was asked for.

    `regret`: where prices are ranges; the rig is then the one with the least, and `bound`
    the least that any rig can cost at any prices. `alternative` says which one it is, if it
    was asked for in place of the cheapest.
    """

    rig: Rig
    bound: int
    proven: bool
    second: Opinion | None = None
    regret: Regret | None = None
    alternative: Alternative | None = None

    exit_status: ClassVar = ANSWERED

    @property
    def status(self) -> Literal["proven cheapest", "least regret", "best found", "alternative"]:
        """The contractually fixed word for it."""
        if self.alternative is not None:
            return "alternative"
        if not self.proven:
            return "best found"
        return "least regret" if self.regret and self.regret.most else "proven cheapest"


@dataclass(frozen=True, slots=True)
class Impossible:
    """Proven: no rig of this catalogue meets the needs.

    `conflict`: needs that no rig meets together, though without any one of them some rig
    does; `minimal` is False if the time was up before that last part was known. `facts`
    explain it. `changes` would each make the needs possible, and so would each of `blanks`.
    `second`: the second opinion on there being none, where one was asked for.
    """

    conflict: tuple[Need, ...] = ()
    facts: tuple[Fact, ...] = ()
    changes: tuple[Change, ...] = ()
    minimal: bool = True
    second: Opinion | None = None
    blanks: tuple[BlankCell, ...] = ()

    status: ClassVar = WORDS[IMPOSSIBLE]
    exit_status: ClassVar = IMPOSSIBLE


@dataclass(frozen=True, slots=True)
class OutOfTime:
    """The time limit came before any rig was found, or a proof that there is none."""

    seconds: float

    status: ClassVar = WORDS[OUT_OF_TIME]
    exit_status: ClassVar = OUT_OF_TIME


@dataclass(frozen=True, slots=True)
class NotAsked:
    """The user said stop before the turn of this question came."""

    status: ClassVar = "not asked"


Outcome = Answered | Impossible | OutOfTime


def second_on(outcome: Outcome | NotAsked) -> Opinion | None:
    """The second opinion on an outcome, where there is one."""
    return outcome.second if isinstance(outcome, Answered | Impossible) else None


def together(outcomes: Iterable[Outcome | NotAsked]) -> int:
    """The exit status of several: one answer is enough, and so is one that may be left."""
    seen = list(outcomes)
    if any(isinstance(outcome, Answered) for outcome in seen):
        return ANSWERED
    proven = all(isinstance(outcome, Impossible) for outcome in seen)
    return IMPOSSIBLE if proven else OUT_OF_TIME


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
    checks: Checks | None = None
    more: More | None = None
