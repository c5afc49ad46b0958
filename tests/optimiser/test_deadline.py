"""The deadline is heard wherever much is done: told by how often it is looked at, and by what
is still done once it is over."""

from __future__ import annotations

import time
from collections.abc import Callable
from itertools import pairwise
from typing import Any, Final

import pytest
from ortools.sat.python import cp_model

from rigopt.answers.choice import Need
from rigopt.answers.growth import Most
from rigopt.answers.outcome import Answered, Impossible, OutOfTime
from rigopt.answers.series import Scenario
from rigopt.api.series import ask_each
from rigopt.catalogue.read import read_folder
from rigopt.catalogue.shipped import demo_catalogue
from rigopt.needs.types import Needs, Stage
from rigopt.optimiser.model.model import build, columns
from rigopt.optimiser.problem.problem import state
from rigopt.optimiser.questions import curve as curves
from rigopt.optimiser.questions import plan as plans
from rigopt.optimiser.questions.conflict import blank_cells
from rigopt.optimiser.questions.conflict.explain import explained
from rigopt.optimiser.questions.conflict.probes import Probes
from rigopt.optimiser.questions.curve import curve
from rigopt.optimiser.questions.growth import journey
from rigopt.optimiser.questions.growth.grow import grow
from rigopt.optimiser.questions.growth.most import most_each
from rigopt.optimiser.questions.growth.obstacle import obstacle
from rigopt.optimiser.questions.plan import solve
from rigopt.optimiser.questions.why.why import why
from rigopt.optimiser.search import fixing, pooled, ties, wiring
from rigopt.optimiser.search.pooled import Best, Search
from rigopt.optimiser.solver import run
from rigopt.optimiser.solver.run import (
    MOMENT_S,
    Deadline,
    Result,
    TimeIsUpError,
)
from tests.benchmarks.instances import catalogue
from tests.benchmarks.rich import rich_catalogue

LEAST_MORE = 60
"""So many looks at most once it is over: each question that is left gives up at its first."""


class Looks(Deadline):
    """A deadline that is over once it has been looked at so often."""

    def __init__(self, most: int) -> None:
        super().__init__(None)
        self.most, self.looks = most, 0

    @property
    def left(self) -> float | None:
        """Seconds left: none, or no limit."""
        self.looks += 1
        return MOMENT_S if self.looks > self.most else None


class Shared(Looks):
    """The same, of which no part is a deadline of its own."""

    def share(self, parts: int) -> Deadline:
        """Itself."""
        assert parts
        return self


@pytest.fixture
def calls(monkeypatch: pytest.MonkeyPatch) -> list[bool]:
    """For each call of the solver whether the time was up."""
    late: list[bool] = []
    solver = run.run

    def noted(model: object, deadline: Deadline, *given: object, **more: object) -> run.Result:
        found = solver(model, deadline, *given, **more)  # type: ignore[arg-type]
        past = isinstance(deadline, Looks) and deadline.looks > deadline.most + 1
        late.append(past and found.status != "unknown")  # which is told at once, past it
        return found

    for module in (run, fixing, pooled, ties, wiring):
        monkeypatch.setattr(module, "run", noted, raising=False)
    return late


MONEY: Final[Any] = object()


@pytest.mark.parametrize(
    ("status", "stopped", "asked"),
    [
        ("unknown", True, 2),
        ("unknown", False, 1),
        ("optimal", True, 1),
        ("infeasible", True, 1),
    ],
)
def test_what_a_stop_cut_off_is_asked_once_more(
    status: Any, stopped: bool, asked: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The stop may have come while it was at work, and what is found would be lost."""
    ends = []

    def asked_once(_model: object, late: Deadline, money: object) -> Result:
        assert money is MONEY
        ends.append(late.left)
        deadline.watch.stopped = stopped
        return Result(status if len(ends) == 1 else "feasible", 0, lambda _: 0)

    monkeypatch.setattr(run, "run", asked_once)
    deadline = Deadline(None)
    found = run.run_late(cp_model.CpModel(), deadline, MONEY)
    assert found.status == ("feasible" if asked == 2 else status)
    assert ends[0] is None
    assert len(ends) == asked
    assert all(0 < (left or 0) <= run.STOPPED_S for left in ends[1:])


def test_it_is_looked_at_for_every_column() -> None:
    problem = state(rich_catalogue(1, 60), Needs(mic=32, max_hosts=2))
    deadline = Looks(10**9)
    assert isinstance(Search(problem).best(deadline), Best)
    assert deadline.looks > len(columns(problem, ranks=0)) > 100


@pytest.mark.parametrize("most", [0, 1, 30, 300, 900])
def test_a_search_ends_where_the_time_does(most: int) -> None:
    problem = state(rich_catalogue(1, 60), Needs(mic=32, max_hosts=2))
    deadline = Looks(most)
    found = Search(problem).best(deadline)
    assert not isinstance(found, Best)
    assert found.status == "unknown"
    assert deadline.looks < most + LEAST_MORE


@pytest.mark.parametrize("most", [0, 40])
def test_nothing_is_said_of_what_is_possible(most: int) -> None:
    problem = state(rich_catalogue(1, 60), Needs(mic=32, max_hosts=2))
    assert Search(problem).possible(Looks(most)).status == "unknown"


def test_an_explanation_that_has_no_time_claims_nothing() -> None:
    shop, needs = catalogue(1, 40), Needs(mic=256)
    assert isinstance(solve(shop, needs), Impossible)
    told = explained(shop, needs, Deadline(0.0))
    assert not told.minimal
    assert not told.changes


def test_prices_that_have_no_time_are_not_told(calls: list[bool]) -> None:
    shop, needs = catalogue(1, 40), Needs(mic=24)
    found = solve(shop, needs)
    assert isinstance(found, Answered)
    calls.clear()
    told = why(shop, needs, found.rig, Looks(400))
    assert not told.complete
    assert not any(calls)


@pytest.mark.parametrize("most", [0, 20, 200])
def test_growth_ends_where_the_time_does(most: int) -> None:
    stages = [Stage(f"{mic}", Needs(mic=mic)) for mic in (8, 16, 24)]
    deadline = Shared(most)
    found = grow(rich_catalogue(1, 40), stages, deadline)
    assert isinstance(found, Result)
    assert found.status == "unknown"
    assert deadline.looks < most + LEAST_MORE


def test_check_raises_only_when_it_is_over() -> None:
    Deadline(None).check()
    Deadline(60).check()
    with pytest.raises(TimeIsUpError):
        Deadline(0).check()


def test_a_little_is_left_to_make_a_rig_of_what_was_found() -> None:
    for seconds, reserve in ((2.0, 0.2), (10.0, 1.0), (100.0, 1.0)):
        early = Deadline(seconds).early().left
        assert early is not None
        assert seconds - reserve - 0.1 < early <= seconds - reserve
    assert Deadline(None).early().left is None
    assert Deadline(0).early().over


def test_what_is_found_is_wired_a_moment_longer(monkeypatch: pytest.MonkeyPatch) -> None:
    now = [100.0]
    monkeypatch.setattr(time, "monotonic", lambda: now[0])
    deadline = Deadline(5.0)
    for passed in (0.5, 4.5, 0.4):
        now[0] += passed
        deadline.late().check()
    now[0] += 0.2
    with pytest.raises(TimeIsUpError):
        deadline.late().check()


def test_after_a_stop_there_is_a_second_in_all(monkeypatch: pytest.MonkeyPatch) -> None:
    now = [100.0]
    monkeypatch.setattr(time, "monotonic", lambda: now[0])
    deadline = Deadline(None)
    deadline.late().check()
    deadline.watch.stopped = True
    for passed in (0.5, 0.9):
        now[0] += passed
        deadline.late().check()
    now[0] += 0.2
    with pytest.raises(TimeIsUpError):
        deadline.late().check()
    assert deadline.share(2).late().over


def test_it_is_looked_at_inside_the_rules() -> None:
    """A rule of a model of hosts apart may state tens of thousands of constraints."""
    problem = state(rich_catalogue(1, 8), Needs(mic=8, max_hosts=2)).apart()
    model, stated = cp_model.CpModel(), [0]
    build(
        model,
        problem,
        columns(problem),
        beat=lambda: stated.append(len(model.proto.constraints)),
    )
    stated.append(len(model.proto.constraints))
    assert stated[-1] > 2_000
    assert max(b - a for a, b in pairwise(stated)) < stated[-1] // 5


@pytest.fixture
def narrowed(monkeypatch: pytest.MonkeyPatch) -> list[Needs]:
    """The needs to which a catalogue was narrowed for a curve, stages or blank cells."""
    asked: list[Needs] = []

    def noted(shop: Any, needs: Needs, *more: Any) -> Any:
        asked.append(needs)
        return state(shop, needs, *more)

    for module in (curves, journey, blank_cells):
        monkeypatch.setattr(module, "state", noted)
    return asked


STAGES = [Stage(f"{mic}", Needs(mic=mic)) for mic in (8, 16, 24)]
SHOP = catalogue(1, 40)


@pytest.mark.parametrize(
    "ask",
    [
        lambda deadline: grow(SHOP, STAGES, deadline),
        lambda deadline: most_each(SHOP, STAGES, 100_000, deadline),
        lambda deadline: obstacle(SHOP, STAGES, deadline),
        lambda deadline: curve(SHOP, Needs(), range(8, 32, 8), deadline),
    ],
)
def test_no_catalogue_is_narrowed_past_it(
    ask: Callable[[Deadline], object], narrowed: list[Needs]
) -> None:
    found = ask(Shared(0))
    assert not narrowed
    if isinstance(found, Most):
        assert (found.ended, found.proven) == ("time", ())


def test_growth_narrows_no_stage_past_it(narrowed: list[Needs]) -> None:
    found = grow(SHOP, STAGES, Shared(2))
    assert isinstance(found, Result)
    assert len(narrowed) == 2


def test_a_count_past_it_is_not_asked_for(narrowed: list[Needs]) -> None:
    series = curves.Series(SHOP, Needs(), Shared(400))
    first = series.at(8)
    asked = len(narrowed)
    assert isinstance(series.at(16), OutOfTime)
    assert isinstance(series.at(24), OutOfTime)
    assert len(narrowed) <= asked + 1
    assert isinstance(first, Answered | OutOfTime)


def test_blank_cells_narrow_the_catalogue_once(narrowed: list[Needs]) -> None:
    shop, needs, conflict = catalogue(1, 8), Needs(mic=256), [Need("mic", 256)]
    blank_cells.blank_cells(Probes(shop, Deadline(None)), needs, conflict)
    assert len(narrowed) == 1
    assert not blank_cells.blank_cells(Probes(shop, Deadline(0)), needs, conflict)


def test_any_rig_of_many_hosts_is_told_of_few_units(monkeypatch: pytest.MonkeyPatch) -> None:
    """Pooled, any rig that is found may hold hundreds of units that it has no use for."""
    sizes: list[int] = []
    solver = pooled.run

    def noted(model: cp_model.CpModel, *given: Any, **more: Any) -> Result:
        sizes.append(len(model.proto.variables))
        return solver(model, *given, **more)

    monkeypatch.setattr(pooled, "run", noted)
    shop = read_folder(demo_catalogue())
    needs = Needs(mic=200, max_hosts=8, max_hops=4, host_to_rack_mm=0, within_rack_mm=0)
    assert Search(state(shop, needs)).possible(Deadline(None)).found
    assert max(sizes) < 10_000


def test_a_column_of_a_comparison_past_it_is_not_asked_for(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    asked: list[Needs] = []

    def noted(shop: Any, needs: Needs) -> Any:
        asked.append(needs)
        return state(shop, needs)

    monkeypatch.setattr(plans, "state", noted)
    found = ask_each([Scenario("", SHOP, Needs(mic=n)) for n in (8, 16)], MOMENT_S / 10)
    assert [type(column.outcome) for column in found.columns] == [OutOfTime, OutOfTime]
    assert not asked


@pytest.mark.full
def test_many_microphones_in_one_unit_are_explained() -> None:
    told = explained(read_folder(demo_catalogue()), Needs(mic=200, units=1), Deadline(None))
    assert told.minimal
    assert {need.name for need in told.conflict} == {"mic", "max_hosts"}
    assert told.changes
