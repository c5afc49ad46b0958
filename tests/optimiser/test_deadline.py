"""The deadline is heard wherever much is done: told by how often it is looked at, and by what
is still done once it is over."""

from __future__ import annotations

import pytest

from rigopt.answers.outcome import Answered, Impossible
from rigopt.needs.types import Needs, Stage
from rigopt.optimiser.model.model import columns
from rigopt.optimiser.problem.problem import state
from rigopt.optimiser.questions.conflict.explain import explained
from rigopt.optimiser.questions.growth.grow import grow
from rigopt.optimiser.questions.plan import solve
from rigopt.optimiser.questions.why.why import why
from rigopt.optimiser.search import fixing, pooled, ties, wiring
from rigopt.optimiser.search.pooled import Best, Search
from rigopt.optimiser.solver import run
from rigopt.optimiser.solver.run import MOMENT_S, Deadline, Result, TimeIsUpError
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
        late.append(isinstance(deadline, Looks) and deadline.looks > deadline.most + 1)
        return found

    for module in (run, fixing, pooled, ties, wiring):
        monkeypatch.setattr(module, "run", noted, raising=False)
    return late


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
