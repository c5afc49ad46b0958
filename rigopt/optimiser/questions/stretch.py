"""The most microphones for a budget: a search over counts, each answered as in a curve.

Since the price never falls as the count grows, two counts close the search in: one whose
cheapest rig is within the budget, and one that costs more or cannot be had. Between them
the price is guessed along a straight line; every fourth guess halves what is left, so that
it ends soon whatever the prices are.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Final

from rigopt.answers.outcome import Answered, Impossible, Outcome
from rigopt.answers.series import Point, Stretch
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.optimiser.problem.at_rate import DeviceAtRate
from rigopt.optimiser.problem.problem import state
from rigopt.optimiser.questions.curve import Series
from rigopt.optimiser.solver.run import Deadline

SHARES: Final = 4
"""A question gets a fourth of the time left: there are a handful of them."""

HALVING: Final = 4


def stretch(catalogue: Catalogue, needs: Needs, budget: int, deadline: Deadline) -> Stretch:
    """The most microphones for `budget`, in minor units.

    Raises:
        KeyboardInterrupt: When the user said stop before there was any rig within it.
    """
    return _Bracket(catalogue, replace(needs, budget=None), budget, deadline).closed()


def fewest(needs: Needs) -> int:
    """The fewest microphones that can be asked for: those with a wish for 48 V, or one."""
    return max(1, needs.phantom + needs.no_phantom)


def ceiling(hosts: Iterable[DeviceAtRate], needs: Needs) -> int:
    """More inputs than this reach the computer through none of these hosts."""
    return needs.max_hosts * max((host.visible.total for host in hosts), default=0)


class _Bracket:
    """`low` is known to be within the budget (or is no question), `high` is known not to be."""

    def __init__(
        self, catalogue: Catalogue, needs: Needs, budget: int, deadline: Deadline
    ) -> None:
        self.series = Series(catalogue, needs, deadline)
        self.budget, self.currency = budget, catalogue.currency
        self.first = fewest(needs)
        most = ceiling(state(catalogue, needs).hosts, needs)
        self.low, self.high = self.first - 1, max(self.first, most) + 1
        self.best: Answered | None = None
        self.step: Outcome | None = None
        self.proven = False
        self.turn = 0

    def closed(self) -> Stretch:
        """Ask until both are neighbours, or the user says stop."""
        try:
            while self.low + 1 < self.high and not self.series.stopped:
                self._ask(self._next())
            if self.step is None and not self.series.stopped:
                self._ask(self.high)
        except KeyboardInterrupt:
            if not self.series.stopped:
                raise
            # What was found before is told.
        if self.best is None and self.series.stopped:
            raise KeyboardInterrupt
        proven = self.proven and self.low + 1 == self.high
        best = None if self.best is None else Point(self.low, self.best)
        step = None if self.step is None else Point(self.high, self.step)
        return Stretch(self.budget, best, step, proven)

    def _ask(self, mic: int) -> None:
        self.series.deadline.watch.question(f"{mic} microphones", self.currency)
        outcome = self.series.at(mic, SHARES)
        if isinstance(outcome, Answered) and outcome.rig.total <= self.budget:
            self.low, self.best = mic, outcome
            return
        self.high, self.step = mic, outcome
        self.proven = isinstance(outcome, Impossible) or (
            isinstance(outcome, Answered) and outcome.bound > self.budget
        )

    def _next(self) -> int:
        """The next count to ask for, between `low` and `high`."""
        if self.best is None:
            return self.first
        room = self.series.room(self.low)
        if self.low < room < self.high:
            return room
        self.turn += 1
        if self.turn % HALVING == 0:
            return (self.low + self.high) // 2
        spent = self.best.rig.total
        if isinstance(self.step, Answered):
            more, price = self.high - self.low, self.step.rig.total - spent
        else:
            more, price = self.low, spent
        guess = self.low + (self.budget - spent) * more // max(1, price)
        return max(self.low + 1, min(guess, self.high - 1))
