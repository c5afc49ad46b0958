"""The most microphones at each stage for the same outlay.

First the most at the first stage; of all ways to reach that, those with the most at the
second, and so on: what is bought early is chosen so that it serves later. Each question is
a journey: the stages before with their counts, and one more.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final, Literal

from rigopt.answers.growth import Growth, Most
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Stage
from rigopt.optimiser.questions.growth.grow import together
from rigopt.optimiser.questions.growth.journey import journey
from rigopt.optimiser.questions.stretch import ceiling, fewest
from rigopt.optimiser.search.pooled import NOTHING_YET
from rigopt.optimiser.solver.run import Deadline, Result, TimeIsUpError
from rigopt.rig.figures import figures

SHARES: Final = 4
"""A question gets a fourth of its stage's share of the time left."""


def most_each(
    catalogue: Catalogue, stages: Sequence[Stage], budget: int, deadline: Deadline
) -> Most:
    """The most microphones at each stage for an outlay of `budget` minor units at each.

    Ends before the first stage that the money is not enough for.
    """
    asked = [replace(s, needs=replace(s.needs, budget=budget), budget=budget) for s in stages]
    fixed: list[Stage] = []
    found, proven = Growth((), 0, proven=True), []
    try:
        trip = journey(catalogue, asked, deadline.check)
    except TimeIsUpError:
        return Most(found, (), "time")
    most = [ceiling(problem.hosts, problem.needs) for problem in trip.problems]
    ended: Literal["reached", "out of reach", "time"] = "reached"
    for number, stage in enumerate(asked):
        shared = deadline.share(len(asked) - number)
        reach = _Reach(catalogue, fixed, stage, most[number], shared)
        reach.close()
        if reach.best is None:
            ended = "out of reach" if reach.proven else "time"
            break
        found = reach.best
        fixed.append(reach.at(reach.low))
        proven.append(reach.proven)
    settled = _together(catalogue, fixed, deadline) if fixed else NOTHING_YET
    found = settled if isinstance(settled, Growth) else found
    return Most(found, tuple(proven), ended)


def _together(
    catalogue: Catalogue, stages: Sequence[Stage], deadline: Deadline, settle: bool = True
) -> Growth | Result:
    """The cheapest way through `stages`, if there is time for it."""
    try:
        trip = journey(catalogue, stages, deadline.check)
    except TimeIsUpError:
        return NOTHING_YET
    return together(trip, None, deadline, settle)


class _Reach:
    """The most microphones at one stage after others: `low` can be had, `high` cannot.

    `proven`: that `high` cannot.
    """

    def __init__(
        self,
        catalogue: Catalogue,
        before: Sequence[Stage],
        stage: Stage,
        most: int,
        deadline: Deadline,
    ) -> None:
        self.catalogue, self.before, self.stage = catalogue, before, stage
        self.deadline = deadline
        self.low = fewest(stage.needs) - 1
        self.high = max(self.low, most) + 1
        self.best: Growth | None = None
        self.proven = True
        self.room = 0

    def at(self, mic: int) -> Stage:
        """The stage with so many microphones."""
        return replace(self.stage, needs=replace(self.stage.needs, mic=mic))

    def close(self) -> None:
        """Ask until the two are neighbours; the fewest first."""
        self._ask(self.low + 1)
        while self.best is not None and self.low + 1 < self.high:
            self._ask(self._next())

    def _next(self) -> int:
        """As many as the rig found has room for; if it has no more, the middle."""
        if self.low < self.room:
            return min(self.room, self.high - 1)
        return (self.low + self.high) // 2

    def _ask(self, mic: int) -> None:
        stages = [*self.before, self.at(mic)]
        found = _together(self.catalogue, stages, self.deadline.share(SHARES), settle=False)
        if isinstance(found, Growth):
            self.low, self.best = mic, found
            last = found.steps[-1]
            microphones = figures(last.rig).kinds[0]
            self.room = microphones.used + microphones.spare
        else:
            # What it costs to use them, or their banks, forbids to fill the room.
            self.high, self.room = mic, 0
            self.proven = found.status == "infeasible"
