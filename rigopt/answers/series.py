"""Answers to several questions at once: scenarios, a curve over counts, a stretch of money."""

from __future__ import annotations

from dataclasses import dataclass

from rigopt.answers.outcome import (
    ANSWERED,
    IMPOSSIBLE,
    OUT_OF_TIME,
    WORDS,
    Answered,
    Impossible,
    NotAsked,
    Outcome,
    OutOfTime,
    together,
)
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs


@dataclass(frozen=True, slots=True)
class Scenario:
    """A question with a title that tells it from the others."""

    title: str
    catalogue: Catalogue
    needs: Needs


@dataclass(frozen=True, slots=True)
class Column:
    """A scenario with its outcome."""

    scenario: Scenario
    outcome: Outcome | NotAsked


@dataclass(frozen=True, slots=True)
class Comparison:
    """Scenarios side by side, each with its outcome, in the order in which they are asked."""

    columns: tuple[Column, ...]

    @property
    def status(self) -> str:
        """The word for how all together ended."""
        return WORDS[self.exit_status]

    @property
    def exit_status(self) -> int:
        """The exit status of all together."""
        return together(column.outcome for column in self.columns)


@dataclass(frozen=True, slots=True)
class Point:
    """The outcome for one number of microphones."""

    mic: int
    outcome: Outcome

    @property
    def answer(self) -> Answered | None:
        """The outcome if it is a rig."""
        return self.outcome if isinstance(self.outcome, Answered) else None


@dataclass(frozen=True, slots=True)
class Curve:
    """Outcomes for ascending `counts` of microphones, up to the first that is impossible.

    `between`: counts between these, for a picture of them all: the cheapest rigs that are
    proven, and of the impossible ones the first.
    """

    counts: tuple[int, ...]
    points: tuple[Point, ...]
    between: tuple[Point, ...] = ()

    @property
    def end(self) -> Point | None:
        """The point from which on there is no rig; None if there is no such point."""
        last = self.points[-1] if self.points else None
        return last if last is not None and isinstance(last.outcome, Impossible) else None

    @property
    def status(self) -> str:
        """The word for how all together ended."""
        return WORDS[self.exit_status]

    @property
    def exit_status(self) -> int:
        """The exit status of all together."""
        return together(point.outcome for point in self.points)

    @property
    def unasked(self) -> tuple[int, ...]:
        """Counts whose turn did not come because the user said stop."""
        return () if self.end is not None else self.counts[len(self.points) :]


@dataclass(frozen=True, slots=True)
class Stretch:
    """The most microphones for `budget` (minor units), and the next step up.

    `best` is the cheapest rig for that many; None if even the fewest cost more. `step` is
    the fewest microphones that are known to cost more, or that no rig can have. `proven`:
    `step` is the very next count.
    """

    budget: int
    best: Point | None
    step: Point | None
    proven: bool

    @property
    def status(self) -> str:
        """The word for how it ended."""
        if self.best is not None:
            return self.best.outcome.status
        return Impossible.status if self.proven else OutOfTime.status

    @property
    def exit_status(self) -> int:
        """The exit status that goes with it."""
        if self.best is not None:
            return ANSWERED
        return IMPOSSIBLE if self.proven else OUT_OF_TIME
