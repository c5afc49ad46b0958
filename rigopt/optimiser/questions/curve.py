"""The cheapest rig for one number of microphones after another, all other needs equal.

A rig for more microphones also serves fewer: what is asked for fewer is asked for more as
well. So along rising counts the order of the objectives never falls, and what is known of one
count is of use for others:

- a rig with inputs to spare is the answer for as many microphones as these can take: it
  works for them, and for fewer it is already the first in the order of the objectives;
- where there is no rig, there is none for more;
- a rig that is not proven cheapest is no longer of interest once a larger one costs less;
- no count costs less than a smaller one costs at least.

Extras bought by the microphone cost the same for every rig of a count, so they do not
change this; unless they share an order with other things, or instruments in DI boxes count
as microphones too. Then no rig is handed on as the cheapest for another count.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from rigopt.answers.outcome import Answered, Impossible, Outcome, OutOfTime
from rigopt.answers.series import Curve, Point
from rigopt.catalogue.types import Catalogue, Per
from rigopt.needs.types import Group, Needs
from rigopt.optimiser.problem.outlines import Listing
from rigopt.optimiser.problem.problem import Problem, state
from rigopt.optimiser.questions.plan import answered
from rigopt.optimiser.search.pooled import Best, Search
from rigopt.optimiser.search.ties import Mix
from rigopt.optimiser.solver.run import GRACE_S, Deadline
from rigopt.rig.figures import figures


@dataclass(frozen=True, slots=True)
class _Known:
    """What was found for a count; `room`: microphones for which its rig has inputs."""

    mix: Mix
    answer: Answered
    room: int


class Series:
    """Answers for growing numbers of microphones that learn from each other."""

    def __init__(self, catalogue: Catalogue, needs: Needs, deadline: Deadline) -> None:
        self.catalogue, self.needs, self.deadline = catalogue, needs, deadline
        self._known: dict[int, _Known] = {}
        self._never: tuple[int, Impossible] | None = None
        self._columns: dict[frozenset[Group], tuple[int, dict[bool, Listing]]] = {}

    @property
    def stopped(self) -> bool:
        """Whether the user said stop."""
        return self.deadline.watch.stopped

    @property
    def _alike(self) -> bool:
        """Whether things bought by the microphone or source leave the orders alone."""
        ordered = {offer.item for offer in self.catalogue.offers}
        # An instrument in a box takes an extra in one rig that it does not take in another.
        boxed = {"mic"} if self.needs.instrument else set[Per]()
        extras = self.catalogue.extras.values()
        counted = [extra for extra in extras if extra.per in ("mic", "source")]
        return not any(extra.id in ordered or extra.per in boxed for extra in counted)

    def at(self, mic: int, parts: int = 1) -> Outcome:
        """The outcome for `mic` microphones, the time left shared by `parts` questions.

        Raises:
            KeyboardInterrupt: When the user said stop before there was a rig.
        """
        if self._never is not None and mic >= self._never[0]:
            return self._never[1]
        if self.deadline.over:
            return self._late()
        for count, known in self._known.items():
            if count <= mic <= known.room and known.answer.proven and self._alike:
                again = self.again(count, mic, 0)
                if again is not None:
                    return again
        return self._search(mic, self.deadline.share(parts))

    def room(self, mic: int) -> int:
        """How many microphones the rig found for `mic` has inputs for."""
        return self._known[mic].room

    def again(self, count: int, mic: int, bound: int) -> Answered | None:
        """The rig found for `count` as the answer for `mic`; None if it does not serve.

        `bound` is what a rig for `mic` costs at least, where this one is not proven.
        """
        known, problem = self._known[count], self._problem(mic)
        search = Search(problem.only(known.mix.units, known.mix.packs))
        for item, units in known.mix.units.items():
            search.between(item, units, units)
        # Asked of what is there, so that it is quick; and even late, for what is known by then.
        left = self.deadline.late().left
        seconds = GRACE_S if left is None else min(GRACE_S, left)
        found = search.best_exact(Deadline(seconds, self.deadline.watch))
        if not isinstance(found, Best):
            return None
        proven = known.answer.proven and count <= mic and self._alike
        best = replace(found, bound=found.money if proven else bound, proven=proven)
        return self._keep(mic, problem, best)

    def _problem(self, mic: int) -> Problem:
        return state(self.catalogue, replace(self.needs, mic=mic))

    def _search(self, mic: int, deadline: Deadline) -> Outcome:
        problem = self._problem(mic)
        # The columns of a problem serve all others with more of the same kinds of demand.
        kinds = frozenset(problem.needs.groups)
        least, shared = self._columns.get(kinds, (mic, {}))
        if mic < least:
            least, shared = mic, {}
        self._columns[kinds] = least, shared
        found = Search(problem, listed=shared).best_exact(deadline)
        if isinstance(found, Best):
            return self._keep(mic, problem, found)
        if found.status == "infeasible":
            self._never = mic, Impossible(minimal=False)
            return self._never[1]
        return self._late()

    def _late(self) -> OutOfTime:
        """That there was no time.

        Raises:
            KeyboardInterrupt: When the user said stop.
        """
        if self.stopped:
            raise KeyboardInterrupt
        return OutOfTime(self.deadline.seconds or 0.0)

    def _keep(self, mic: int, problem: Problem, best: Best) -> Answered:
        answer = answered(problem, best, self.deadline)
        microphones = figures(answer.rig).kinds[0]
        room = microphones.used + microphones.spare - problem.needs.spare
        self._known[mic] = _Known(best.mix, answer, room)
        self.deadline.watch.kept = True
        return answer


def curve(
    catalogue: Catalogue,
    needs: Needs,
    counts: Sequence[int],
    deadline: Deadline,
    every: bool = False,
) -> Curve:
    """Outcomes for `counts`, which ascend, up to the first that is impossible.

    `every`: and for those between, which are asked for last and never change the others.

    Raises:
        KeyboardInterrupt: When the user said stop before there was any rig.
    """
    series = Series(catalogue, needs, deadline)
    points: list[Point] = []
    for place, mic in enumerate(counts):
        left = len(counts) - place
        deadline.watch.question(f"{mic} microphones, {left} to go", catalogue.currency)
        try:
            outcome = None if series.stopped else series.at(mic, left)
        except KeyboardInterrupt:
            if not series.stopped:
                raise
            outcome = None
        if outcome is None:
            break
        points.append(Point(mic, outcome))
        if isinstance(outcome, Impossible):
            break
    if series.stopped and not any(point.answer for point in points):
        raise KeyboardInterrupt
    found = Curve(tuple(counts), tuple(_raised(_lowered(series, points))))
    return replace(found, between=tuple(_between(series, counts))) if every else found


def _between(series: Series, counts: Sequence[int]) -> Iterator[Point]:
    """The counts between that are proven, up to the first that is impossible."""
    left = [mic for mic in range(counts[0], counts[-1]) if mic not in counts]
    for place, mic in enumerate(left):
        if series.stopped or series.deadline.over:
            return
        series.deadline.watch.question(
            f"{mic} microphones, for the picture", series.catalogue.currency
        )
        try:
            outcome = series.at(mic, len(left) - place)
        except KeyboardInterrupt:
            if not series.stopped:
                raise
            return
        if isinstance(outcome, Impossible) or (
            isinstance(outcome, Answered) and outcome.proven
        ):
            yield Point(mic, outcome)
        if isinstance(outcome, Impossible):
            return


def _lowered(series: Series, points: Sequence[Point]) -> list[Point]:
    """No point without a proof costs more than a larger one; from the last to the first."""
    done: list[Point] = []
    for point in reversed(points):
        above = done[-1] if done else None
        if above is not None and above.answer is not None and _dearer(point, above.answer):
            bound = -series.needs.sale if point.answer is None else point.answer.bound
            again = series.again(above.mic, point.mic, bound)
            done.append(point if again is None else Point(point.mic, again))
        else:
            done.append(point)
    return done[::-1]


def _dearer(point: Point, above: Answered) -> bool:
    if point.answer is None:
        return isinstance(point.outcome, OutOfTime)
    return not point.answer.proven and point.answer.rig.total > above.rig.total


def _raised(points: Sequence[Point]) -> list[Point]:
    """No bound lies below that of a smaller count."""
    bound: int | None = None
    done: list[Point] = []
    for point in points:
        answer = point.answer
        if answer is not None:
            bound = answer.bound if bound is None else max(bound, answer.bound)
            proven = answer.proven or bound >= answer.rig.total
            answer = replace(answer, bound=min(bound, answer.rig.total), proven=proven)
        done.append(point if answer is None else Point(point.mic, answer))
    return done
