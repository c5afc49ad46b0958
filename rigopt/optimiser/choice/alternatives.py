"""The next cheapest mixes of devices.

A mix that holds all of a cheaper one is no alternative: the rest of it is not needed.

Mixes of equal cost come in the order of ids. They are found in any order, which is quick,
and sorted when all of that cost are there. If there are more of the last cost than are
asked for, those are found once more, one by one in their order.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import Literal

from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.optimiser.narrow import Scope, Ties
from rigopt.optimiser.problem import state
from rigopt.optimiser.run import Deadline
from rigopt.optimiser.search import Best, Search
from rigopt.optimiser.solve import OTHER_MIXES, answered
from rigopt.optimiser.ties import Mix
from rigopt.rig.outcome import Alternatives, Answered
from rigopt.rig.types import Rig


def alternatives(
    catalogue: Catalogue, needs: Needs, rig: Rig, count: int, deadline: Deadline
) -> Alternatives:
    """The `count` mixes that come after the one of `rig`, or as many as there are."""
    after = _After(catalogue, needs, rig, count, deadline)
    while len(after.found) < count and after.step("ids of packs"):
        pass
    if len(after.found) == count and count:
        last = after.found[-1].best.cost
        more = after.search.best(deadline, Scope(last, last, "nothing"))
        if isinstance(more, Best):
            after.forget(last)
            while len(after.found) < count and after.step("ids"):
                pass
    return Alternatives(tuple(after.in_order()), after.ended)


@dataclass(frozen=True, slots=True)
class _Other:
    """An alternative, and how many wishes there were before it was put aside."""

    best: Best
    answer: Answered
    wishes: int


class _After:
    """The mixes that come after the one of a rig, as far as they are found."""

    def __init__(
        self, catalogue: Catalogue, needs: Needs, rig: Rig, count: int, deadline: Deadline
    ) -> None:
        self.found: list[_Other] = []
        self.ended: Literal["asked", "no more", "time"] = "asked"
        self.search = Search(state(catalogue, needs), ranks=count + 1 + OTHER_MIXES)
        self.search.forbid(Mix(Counter(unit.device.id for unit in rig.units), {}))
        self._currency, self._deadline = catalogue.currency, deadline
        self._may_split = rig.split_pairs
        self._least = self._split = 0

    def step(self, ties: Ties) -> bool:
        """Find one more; False if that is the end of it."""
        self._deadline.watch.question(f"alternative {len(self.found) + 1}", self._currency)
        best = self.search.best(self._deadline, Scope(least=self._least, ties=ties))
        if not (isinstance(best, Best) and best.proven):
            none = not isinstance(best, Best) and best.status == "infeasible"
            self.ended = "no more" if none else "time"
            return False
        self._least = best.cost
        answer = answered(self.search.problem, best)
        if answer.rig.split_pairs and not self._may_split:
            self.search.other_than(best.mix)  # as a plan does, see `solve`
            self._split += 1
            self.ended = "time" if self._split > OTHER_MIXES else "asked"
            return self._split <= OTHER_MIXES
        self.found.append(_Other(best, answer, len(self.search.wishes)))
        self.search.forbid(best.mix)
        return True

    def forget(self, cost: int) -> None:
        """Take back those that cost as much."""
        while self.found and self.found[-1].best.cost == cost:
            del self.search.wishes[self.found.pop().wishes :]

    def in_order(self) -> list[Answered]:
        """Those that are found, sorted by cost and ids."""
        items = sorted({item for other in self.found for item in other.best.mix.units})

        def place(other: _Other) -> tuple[int, ...]:
            units = other.best.mix.units
            return (other.best.cost, *(-units.get(item, 0) for item in items))

        return [other.answer for other in sorted(self.found, key=place)]
