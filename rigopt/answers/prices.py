"""Which prices are worth looking up, as data."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from rigopt.answers.outcome import ANSWERED, Answered

Why = Literal["every", "could"]
"""It is in every rig that could still be cheapest; or it is in the one that is, if all that is
not known costs as little as it can."""


@dataclass(frozen=True, slots=True)
class Ask:
    """A price to look up."""

    item: str
    why: Why


@dataclass(frozen=True, slots=True)
class Prices:
    """The prices to look up next; none is left once it is `done`.

    `regret`: what the best choice with what is known may cost more than the best rig, in
    minor units; None while there is no end to it. `unknown`: prices that are not known; once
    it is done they never mattered. `blank`: items of the answer among these, which every rig
    buys. `answer`: the rig, once it is done.
    """

    ask: tuple[Ask, ...]
    regret: int | None
    unknown: int
    answer: Answered | None = None
    blank: tuple[str, ...] = ()

    exit_status: ClassVar = ANSWERED

    @property
    def done(self) -> bool:
        """Whether no price is worth looking up any more."""
        return self.answer is not None

    @property
    def status(self) -> str:
        """The word for it."""
        return "answered" if self.done else "prices wanted"
