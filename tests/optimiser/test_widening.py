"""A problem asked in growing parts ends with what the whole would have answered.

Rigs stand for themselves here: each has an objective, and from some limit on it is in the
part that is looked at, at the latest from its own objective on.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass, field
from types import SimpleNamespace
from typing import Any

import pytest

from rigopt.optimiser.problem.columns import Columns
from rigopt.optimiser.search.widening import Asked, Outlook, Widening, outlook
from rigopt.optimiser.solver.run import Result, TimeIsUpError

Rigs = Sequence[tuple[int, int]]
"""The objective of each, and from which limit on it is looked at."""

NOTHING = 10**6


@dataclass
class World:
    """All rigs, and what has been asked."""

    rigs: Rigs
    bound: int
    factor: int = 2
    look: float | None = None
    fine: bool = True
    settles: bool = False
    """Whether a part can be asked for what comes before a rig alone."""
    most: int = 99
    """So many parts are made before the time is up."""
    asked: list[int] = field(default_factory=list)
    unknown_from: int = 99
    """From which question on the solver has no time."""
    hard: tuple[int, ...] = ()
    """Which looks find no end: with a rig where there is one, the dearest."""
    looks: list[int] = field(default_factory=list)
    steps: tuple[int, ...] = ()
    """Objectives for which a part costs little."""
    below: dict[int, int] = field(default_factory=dict)
    """Of a part that was, the objective of the rig: of equal ones here it is the first."""

    def pose(self, upper: int) -> Asked[Rigs]:
        if len(self.asked) >= self.most:
            raise TimeIsUpError
        self.asked.append(upper)
        part = [rig for rig in self.rigs if rig[1] <= upper]
        return Asked(part, upper, self.bound, self.steps)

    def further(self, upper: int) -> int:
        return self.bound + self.factor * max(1, upper - self.bound)

    def before(self, posed: Rigs, _other: Rigs, known: Result, objective: int) -> None:
        assert known.value(None) == objective  # type: ignore[arg-type]
        self.below[id(posed)] = objective

    def solve(self, posed: Rigs, limit: int, effort: float | None) -> tuple[Result, int]:
        limit = min(limit, self.below.get(id(posed), NOTHING + 1) - 1)
        if len(self.asked) >= self.unknown_from:
            return Result("unknown", self.bound, lambda _: 0), 0
        if effort is not None:
            assert effort == self.look
            self.looks.append(limit)
            if len(self.looks) in self.hard:
                some = max((one for one, _ in posed if one <= limit), default=0)
                status = "feasible" if some else "unknown"
                return Result(status, self.bound, lambda _: some), some  # type: ignore[arg-type]
        best = min((one for one, _ in posed if one <= limit), default=None)
        if best is None:
            return Result("infeasible", 0, lambda _: 0), 0
        return Result("optimal", best, lambda _: best), best

    def best(self, first: int, limit: int = NOTHING) -> Result:
        settled = self.before if self.settles else None
        fine = self.fine and self.look is not None
        way = Widening(self.further, self.pose, self.solve, self.look, fine, settled)
        return way.best(self.pose(first), limit)[1]


def drawn(seed: int) -> World:
    draw = random.Random(seed)
    objectives = [draw.randint(20, 60) for _ in range(draw.randint(0, 4))]
    rigs = tuple((one, draw.randint(10, one)) for one in objectives)
    bound = draw.randint(0, min([20, *objectives]))
    hard = tuple(draw.sample(range(1, 8), draw.randint(0, 4)))
    steps = tuple(sorted(draw.sample(range(10, 70), draw.randint(0, 3))))
    look = draw.choice((None, 0.5))
    fine, settles = draw.random() < 0.5 and look is not None, draw.random() < 0.5
    factor = draw.randint(2, 4)
    return World(rigs, bound, factor, look, fine, settles, hard=hard, steps=steps)


@pytest.mark.parametrize("seed", range(300))
def test_the_best_of_the_parts_is_the_best_of_all(seed: int) -> None:
    world = drawn(seed)
    limit = random.Random(-seed).choice((NOTHING, 40, 20))
    result = world.best(world.bound + seed % 7, limit)
    least = min((one for one, _ in world.rigs if one <= limit), default=None)
    if least is None:
        assert result.status == "infeasible"
        assert world.asked[-1] >= limit
    else:
        assert (result.status, result.bound) == ("optimal", least)
        assert result.value(None) == least  # type: ignore[arg-type]
        assert world.settles or not result.first


def test_a_part_is_no_larger_than_it_need_be() -> None:
    """Found within what was allowed: done. Else what was found says what to look at."""
    assert (w := World(((30, 0),), 10)).best(30).bound == 30
    assert w.asked == [30]
    assert (w := World(((30, 0), (25, 22)), 10)).best(20).bound == 25
    assert w.asked == [20, 30]
    # Nothing there: the room above the bound grows by its factor, and by one at least.
    assert (w := World(((30, 30),), 10, factor=3)).best(12).bound == 30
    assert w.asked == [12, 16, 28, 64]
    assert (w := World(((12, 12),), 10, factor=2)).best(10).bound == 12
    assert w.asked == [10, 12]


def test_a_part_that_costs_little_is_asked_before_a_large_one() -> None:
    """For what it can prove alone, where a rig is known; and for any rig, where none is."""
    assert (w := World(((30, 0), (22, 22)), 10, steps=(15, 23, 26))).best(20).bound == 22
    assert w.asked == [20, 23]
    assert (w := World(((30, 0), (25, 22)), 10, steps=(23,))).best(20).bound == 25
    assert w.asked == [20, 23, 30]
    assert (w := World(((30, 0), (29, 28)), 10, steps=(23, 27, 31))).best(20).bound == 29
    assert w.asked == [20, 23, 27, 30]
    assert (w := World(((30, 30),), 10, factor=3, steps=(14,))).best(12).bound == 30
    assert w.asked == [12, 14, 22, 46]
    # A look with a limit to its effort takes the same way.
    assert (w := World(((30, 30),), 10, factor=3, look=0.5, steps=(14,))).best(12).bound == 30
    assert (w.asked, w.looks) == ([12, 14, 22, 46], [12, 14, 22, 46])
    far = ((100, 0), (33, 0), (25, 0))
    w = World(far, 10, factor=4, look=0.5, hard=(5,), steps=(20, 22))
    assert w.best(12).bound == 25
    assert (w.asked, w.looks) == ([12, 18, 20, 22, 58, 28], [12, 18, 20, 22, 58, 28])


def test_a_look_lets_in_nothing_that_is_dearer() -> None:
    """Rigs above what is looked at are not found, so each step goes on from the bound; and
    what a look finds without a proof is halved towards what is known to be too little."""
    far = ((100, 0), (33, 0), (25, 0))
    assert (w := World(far, 10, look=0.5)).best(12).bound == 25
    assert (w.asked, w.looks) == ([12, 14, 18, 26], [12, 14, 18, 26])
    # Up to 42 there are two, of which the dearer is found; between 27 and that there is none
    # that was not proven, so 30 is looked at.
    assert (w := World(far, 10, factor=4, look=0.5, hard=(3,))).best(12).bound == 25
    assert (w.asked, w.looks) == ([12, 18, 42, 26], [12, 18, 42, 26])
    # A look that finds nothing in its effort is the last: all are let in.
    assert (w := World(far, 10, look=0.5, hard=(1,))).best(12).bound == 25
    assert (w.asked, w.looks) == ([12, 25], [12])
    # After a rig was found, only what is no dearer.
    assert (w := World(((33, 0),), 10, factor=4, look=0.5, hard=(3, 4))).best(12).bound == 33
    assert (w.asked, w.looks) == ([12, 18, 42, 26, 33], [12, 18, 42, 26])
    # Where there is less than that, what is left is halved as well.
    assert (w := World(((33, 0),), 10, factor=4, look=0.5, hard=(3,))).best(12).bound == 33
    assert (w.asked, w.looks) == ([12, 18, 42, 26, 30, 32, 33], [12, 18, 42, 26, 30, 32])
    # So near to the limit, a look is not worth while.
    assert (w := World(((9995, 0),), 9000, look=0.5)).best(9991, 9999).bound == 9995
    assert (w.asked, w.looks) == ([9991, 9995], [])


def test_a_first_look_that_is_not_fine_is_for_any_rig() -> None:
    """With so much effort; if it does not end, all others are fine."""
    far = ((100, 0), (33, 0), (25, 0))
    easy = World(far, 10, look=0.5, fine=False)
    assert easy.best(12).bound == 25
    assert (easy.asked, easy.looks) == ([12, 25], [NOTHING])
    # The dearest is found: what is between the bound and that is halved.
    some = World(far, 10, look=0.5, fine=False, hard=(1,))
    assert some.best(12).bound == 25
    assert (some.asked, some.looks) == ([12, 55], [NOTHING, 55])
    # Nothing is found: from small steps on, of which the first is of the same part.
    none = World(((30, 30),), 10, factor=3, look=0.5, fine=False, hard=(1,))
    assert none.best(12).bound == 30
    assert (none.asked, none.looks) == ([12, 16, 28, 64], [NOTHING, 12, 16, 28, 64])
    # With a rig known by it, what a part can prove alone is to be solved to its end.
    known = World(((30, 0), (32, 24)), 10, look=0.5, fine=False, steps=(25,))
    assert known.best(20).bound == 30
    assert (known.asked, known.looks) == ([20, 25, 30], [NOTHING])
    # So is where all there is is in the part.
    whole = World(((30, 30),), 10, look=0.5, fine=False)
    assert whole.best(NOTHING).bound == 30
    assert not whole.looks


def test_without_a_word_no_look_is_fine() -> None:
    world = World(((30, 0), (25, 22)), 10, steps=(23,))
    way = Widening(world.further, world.pose, world.solve)
    assert way.best(world.pose(20), NOTHING)[1].bound == 25
    assert world.asked == [20, 23, 30]


def test_what_comes_before_a_rig_that_is_known_is_asked_for_alone() -> None:
    world = World(((30, 0), (28, 24)), 10, settles=True)
    found = world.best(20)
    assert (found.status, found.bound, found.first) == ("optimal", 28, False)
    assert (world.asked, list(world.below.values())) == ([20, 30], [30])
    world = World(((30, 0), (32, 24)), 10, settles=True)
    found = world.best(20)
    assert (found.status, found.bound, found.first) == ("optimal", 30, True)
    assert (world.asked, list(world.below.values())) == ([20, 30], [30])
    # A part that proves nothing of the whole is asked for all up to where it does.
    world = World(((30, 0), (32, 24)), 10, settles=True, steps=(25,))
    assert world.best(20).first
    assert (world.asked, list(world.below.values())) == ([20, 25, 30], [30])
    # A rig that was found at first is the first of its part at most.
    world = World(((30, 0), (32, 24)), 10, settles=True)
    assert not world.best(30).first


def test_a_rig_may_be_known_before_anything_is_asked() -> None:
    """It is what is left where nothing comes before it, and where time is up."""
    known: Any = [(30, 30)], Result("feasible", 10, lambda _: 30)
    for rigs, status, best, first in (
        (((30, 30), (32, 24)), "optimal", 30, True),
        (((30, 30), (28, 24)), "optimal", 28, False),
    ):
        world = World(rigs, 10, settles=True)
        way = Widening(world.further, world.pose, world.solve, None, False, world.before)
        found = way.best(world.pose(30), 30, known)[1]
        assert (found.status, found.value(None), found.first) == (status, best, first)  # type: ignore[arg-type]
        assert (world.asked, list(world.below.values())) == ([30], [30])
    late = World(((30, 30),), 10, unknown_from=1)
    way = Widening(late.further, late.pose, late.solve)
    assert way.best(late.pose(30), 30, known) == known


def test_so_near_a_rig_that_is_known_what_is_left_is_asked_at_once() -> None:
    """A look halves what may be between; without one, to halve it is a model for each bit."""
    world = World(((100_000, 10),), 90_000, look=0.5, fine=False, settles=True, hard=(1,))
    result = world.best(99_000)
    assert (result.status, result.value(None)) == ("optimal", 100_000)  # type: ignore[arg-type]
    # The next one would be 99 922, which is a thousandth from the end.
    halves = [95_000, 97_500, 98_750, 99_375, 99_688, 99_844]
    assert world.asked == [99_000, *halves, 100_000]


def test_a_rig_of_a_look_is_kept_when_time_is_up() -> None:
    """With the bound that the looks before it have left."""
    w = World(((33, 0), (25, 0)), 10, factor=4, look=0.5, hard=(3,), unknown_from=4)
    late = w.best(12)
    assert (late.status, late.bound, late.value(None)) == ("feasible", 19, 33)  # type: ignore[arg-type]
    w = World(((33, 0), (25, 0)), 10, factor=4, look=0.5, hard=(3,), most=3)
    late = w.best(12)
    assert (late.status, late.bound, late.value(None)) == ("feasible", 19, 33)  # type: ignore[arg-type]


def test_when_time_is_up_the_last_rig_is_given_and_what_is_known() -> None:
    found = World(((30, 0), (25, 22)), 10, most=1).best(20)
    assert (found.status, found.bound, found.value(None)) == ("feasible", 10, 30)  # type: ignore[arg-type]
    with pytest.raises(TimeIsUpError):
        World(((30, 30),), 10, most=1).best(20)
    late = World(((30, 0), (25, 22)), 10, unknown_from=2).best(20)
    assert (late.status, late.bound) == ("feasible", 10)
    # No rig costs 20 or less, says the first; of the second nothing is known.
    none = World(((90, 90),), 10, unknown_from=2).best(20)
    assert (none.status, none.bound) == ("unknown", 21)
    # Nothing up to the limit that was asked for is nothing at all.
    small = World(((90, 90),), 10)
    assert small.best(40, 40).status == "infeasible"
    assert small.asked == [40]
    first = World(((90, 90),), 10, unknown_from=1).best(20)
    assert (first.status, first.bound) == ("unknown", 10)


def test_what_is_known_of_a_part_is_no_more_than_its_limit() -> None:
    """Without time the solver's bound for the part holds for all as far as the part goes."""

    def stopped(_posed: Rigs, _limit: int, _effort: float | None) -> tuple[Result, int]:
        return Result("feasible", 50, lambda _: 60), 60

    world = World(((60, 0),), 10)
    way = Widening(world.further, world.pose, stopped)
    assert way.best(world.pose(20), NOTHING)[1].bound == 21
    assert way.best(world.pose(90), NOTHING)[1].bound == 50


def test_which_columns_a_rig_may_hold() -> None:
    """Those that cost no more above the bound than is left; of which nothing is known, all."""
    hosts: Any = ["cheap", "dear"]
    satellites: Any = ["known", "unknown"]
    counts = {
        name: SimpleNamespace(index=place) for place, name in enumerate((*hosts, "known"))
    }
    counts["unknown"] = SimpleNamespace(index=9)
    rig: Any = SimpleNamespace(columns=counts.items)
    known: Any = SimpleNamespace(bound=10, reduced_costs={0: 0, 1: 5, 2: -1})
    seen = outlook(Columns(hosts, satellites), rig, known)
    assert seen.near(9) == Columns([], ["known"])  # type: ignore[list-item]
    assert seen.near(10) == Columns(["cheap"], satellites)  # type: ignore[list-item]
    assert seen.near(14) == seen.near(10)
    assert seen.near(15) == Columns(hosts, satellites)
    assert Outlook(Columns(hosts, satellites), 0, {}).near(0) == Columns(hosts, satellites)
    assert Outlook(Columns(hosts, satellites), 0, {}).near(-1) == Columns([], [])


def test_an_outlook_knows_up_to_where_there_are_so_many_columns() -> None:
    """Some that cost nothing more, one 3 and one 7 above a bound of 10."""
    names: Any = ["free", "three", "seven"]
    seen: Any = SimpleNamespace(only=lambda wanted: [name for name in names if wanted(name)])
    view = Outlook(seen, 10, dict(zip(names, (0, 3, 7), strict=True)))
    assert [view.near(view.reaching(number)) for number in (1, 2, 3)] == [
        names[:1],
        names[:2],
        names,
    ]
