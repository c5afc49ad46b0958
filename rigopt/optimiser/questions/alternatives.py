"""The next cheapest mixes of devices.

A mix that holds all of a cheaper one is no alternative: the rest of it is not needed.

All rigs are divided into parts, by how many units of some types they have, and of each
part the first mix is known. The first of these is the next one; then its part is divided
by its types into those rigs with too few of one or the other. So a mix is looked for once,
among few rigs, and nothing that was found has to be ruled out in one model after another.

Mixes of equal cost come in the order of ids. They are found in any order, which is quick,
and sorted when all of that cost are there. If there are more of the last cost than are
asked for, those are found once more, one by one in their order.
"""

from __future__ import annotations

import heapq
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final, Literal, NamedTuple

from rigopt.answers.outcome import Alternatives, Answered
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.optimiser.problem.problem import Problem, state
from rigopt.optimiser.questions.plan import OTHER_MIXES, answered
from rigopt.optimiser.search.fixing import Scope
from rigopt.optimiser.search.pooled import Best, Incumbent, Search, exactly
from rigopt.optimiser.search.posed import Limits
from rigopt.optimiser.search.ties import Mix
from rigopt.optimiser.solver.linear import LARGEST
from rigopt.optimiser.solver.run import Deadline, Result
from rigopt.rig.types import Rig

ANY_OF_EQUAL: Final = "ids of packs"
"""Of mixes that come to the same, any will do until they are sorted."""


def alternatives(
    catalogue: Catalogue, needs: Needs, rig: Rig, count: int, deadline: Deadline
) -> Alternatives:
    """The `count` mixes that come after the one of `rig`, or as many as there are.

    Raises:
        TooLargeError: When money, units, links and hops alone are too large.
    """
    problem = state(catalogue, needs)
    return exactly(problem, lambda asked: _alternatives(asked, rig, count, deadline))


def _alternatives(problem: Problem, rig: Rig, count: int, deadline: Deadline) -> Alternatives:
    after = _After(problem, rig, count, deadline)
    while len(after.found) < count and after.step():
        pass
    if len(after.found) == count and count:
        last = after.found[-1].best.objective
        if after.more(last):
            after.forget(last)
            while len(after.found) < count and after.step_by_ids(last):
                pass
    return Alternatives(tuple(after.in_order()), after.ended)


@dataclass(frozen=True, slots=True)
class _Other:
    """An alternative, and how many cuts there were before it was excluded."""

    best: Best
    answer: Answered
    cuts: int


class Part(NamedTuple):
    """Rigs within limits, and the first of them as far as it is known: not yet, with hosts
    pooled, or as it is."""

    lower: int
    """No rig of the part has a lower objective."""
    number: int
    """The order in which parts were made."""
    search: Search
    first: Incumbent | Best | None


class _After:
    """The mixes that come after the one of a rig, as far as they are found."""

    def __init__(self, problem: Problem, rig: Rig, count: int, deadline: Deadline) -> None:
        self.found: list[_Other] = []
        self.ended: Literal["asked", "no more", "time"] = "asked"
        self._whole = Search(problem, ranks=count + 1 + OTHER_MIXES)
        self._parts: list[Part] = []
        self._count = count
        self._made = self._split = 0
        self._currency, self._deadline = problem.catalogue.currency, deadline
        self._may_split = rig.split_pairs
        mix = Mix(Counter(unit.device.id for unit in rig.units), {})
        self._undivided: tuple[Search, Mix, int] | None = (self._whole.part({}), mix, 0)
        self._whole.forbid(mix)

    def step(self) -> bool:
        """Find one more of those that come next; False if that is the end of it."""
        self._question()
        if not self._divide_last():
            return self._end("time")
        while self._parts:
            part = heapq.heappop(self._parts)
            if part.first is None:
                in_time = self._look(part.search, part.lower)
            elif (held := _held(part.first.mix, self._mixes())) is not None:
                in_time = self._divide(part.search, held, part.lower)
            else:
                in_time = self._settle(part, part.first)
            if not in_time:
                return self._end("time")
            if self._undivided is not None:
                return True
        return self._end("no more")

    def more(self, objective: int) -> bool:
        """Whether there is one more with that objective."""
        self._divide_last(upper=objective)
        if not self._parts or self._parts[0].lower > objective:
            return False
        scope = Scope(objective, objective, "nothing")
        return isinstance(self._whole.best(self._deadline, scope), Best)

    def forget(self, objective: int) -> None:
        """Take back those with that objective."""
        while self.found and self.found[-1].best.objective == objective:
            del self._whole.cuts[self.found.pop().cuts :]

    def step_by_ids(self, lower: int) -> bool:
        """Find the next in the order of ids as well; False if that is the end of it."""
        self._question()
        best = self._whole.best(self._deadline, Scope(lower))
        if not (isinstance(best, Best) and best.proven):
            none = not isinstance(best, Best) and best.status == "infeasible"
            return self._end("no more" if none else "time")
        if not self._take(best) and self._split > OTHER_MIXES:
            return self._end("time")
        return True

    def in_order(self) -> list[Answered]:
        """Those that are found, sorted by objective and ids."""
        items = sorted({item for other in self.found for item in other.best.mix.units})

        def place(other: _Other) -> tuple[int, ...]:
            units = other.best.mix.units
            return (other.best.objective, *(-units.get(item, 0) for item in items))

        return [other.answer for other in sorted(self.found, key=place)]

    def _question(self) -> None:
        self._deadline.watch.question(f"alternative {len(self.found) + 1}", self._currency)

    def _end(self, how: Literal["no more", "time"]) -> bool:
        self.ended = how
        return False

    def _mixes(self) -> list[Mix]:
        return [other.best.mix for other in self.found]

    def _settle(self, part: Part, first: Incumbent | Best) -> bool:
        """Take the first rig of the part if it is what it seemed; False if time is up."""
        best: Best | Result
        if isinstance(first, Best):
            best = first
        else:
            scope = Scope(part.lower, ties=ANY_OF_EQUAL)
            best = part.search.best(self._deadline, scope, first)
        if isinstance(best, Result):
            return best.status == "infeasible"
        if not best.proven:
            return False
        if best.objective > part.lower:
            self._put(best.objective, part.search, best)
        elif self._take(best):
            self._undivided = part.search, best.mix, best.objective
        else:
            part.search.other_than(best.mix)
            return self._split <= OTHER_MIXES and self._look(part.search, best.objective)
        return True

    def _take(self, best: Best) -> bool:
        """Put it where it belongs; False if it cannot seat all pairs, and the rig could."""
        answer = answered(self._whole.problem, best, self._deadline)
        if answer.rig.split_pairs and not self._may_split:
            self._whole.other_than(best.mix)  # as a plan does
            self._split += 1
            return False
        self.found.append(_Other(best, answer, len(self._whole.cuts)))
        self._whole.forbid(best.mix)
        return True

    def _divide_last(self, upper: int | None = None) -> bool:
        """Divide the part of the one found last; False if time is up."""
        if self._undivided is None:
            return True
        search, mix, lower = self._undivided
        self._undivided = None
        return self._divide(search, mix, lower, upper)

    def _divide(self, search: Search, mix: Mix, lower: int, upper: int | None = None) -> bool:
        """Make parts of all rigs but those that hold `mix`; False if time is up."""
        parts = _fewer(search.limits, mix, search.problem)
        return all(self._look(search.part(limits), lower, upper) for limits in parts)

    def _look(self, search: Search, lower: int, upper: int | None = None) -> bool:
        """Find the first rig of a part, or that it comes later; False if time is up."""
        if upper is None:
            upper = enough(self._parts, self._mixes(), self._count)
        first = search.first(self._deadline, Scope(lower, upper, ANY_OF_EQUAL))
        if isinstance(first, Incumbent):
            if first.proven:
                self._put(first.objective, search, first)
            return first.proven
        if first.status == "infeasible" and upper < LARGEST:
            self._put(upper + 1, search, None)
        return first.status == "infeasible"

    def _put(self, lower: int, search: Search, first: Incumbent | Best | None) -> None:
        self._made += 1
        heapq.heappush(self._parts, Part(lower, self._made, search, first))


def enough(parts: Iterable[Part], found: Sequence[Mix], count: int) -> int:
    """An objective within which there are `count` mixes with those found, most likely."""
    known = list(found)
    for part in sorted(parts):
        if part.first is not None and _held(part.first.mix, known) is None:
            known.append(part.first.mix)
            if len(known) == count:
                return part.lower
    return LARGEST


def _held(mix: Mix, others: Iterable[Mix]) -> Mix | None:
    """One of the others of which `mix` holds all."""
    for other in others:
        if all(mix.units.get(item, 0) >= n for item, n in other.units.items()):
            return other
    return None


def _fewer(limits: Limits, mix: Mix, problem: Problem) -> Iterator[Limits]:
    """Limits for the rigs within `limits` that lack some of `mix`, each rig in one part.

    Hosts come first: what is in a part is then mostly of one host.
    """
    hosts = {device.id for device in problem.hosts}
    held = dict(limits)
    for item in sorted(mix.units, key=lambda item: (item not in hosts, item)):
        lower, upper = held.get(item, (0, problem.max_units))
        number = mix.units[item]
        if lower < number:
            yield {**held, item: (lower, min(upper, number - 1))}
        held[item] = (max(lower, number), upper)
