"""The second opinion on random questions of every kind; what ever disagrees is a fault."""

from __future__ import annotations

import pytest

from rigopt.answers.outcome import Answered, Impossible
from rigopt.optimiser.questions.plan import solve
from rigopt.optimiser.questions.second import second_opinion
from rigopt.optimiser.solver.run import Deadline
from tests.oracle.rich import rich
from tests.tiers import few

STEP = 10


def disagreeing(seeds: range) -> list[int]:
    """The seeds on which the two solvers are not of one mind; some pair may leave it open."""
    found = []
    for seed in seeds:
        catalogue, needs = rich(seed)
        told = second_opinion(solve(catalogue, needs), catalogue, needs, Deadline(None))
        assert isinstance(told, Answered | Impossible)
        pairs = any(line.pair for line in needs.sources)
        if told.second not in ("agrees", *(["no opinion"] if pairs else [])):
            found.append(seed)
    return found


@pytest.mark.parametrize("first", few(range(0, 60, STEP)))
def test_two_solvers_are_of_one_mind(first: int) -> None:
    assert not disagreeing(range(first, first + STEP))


@pytest.mark.long
@pytest.mark.parametrize("first", range(50_000, 60_000, 100))
def test_two_solvers_are_of_one_mind_on_10000_more(first: int) -> None:
    assert not disagreeing(range(first, first + 100))
