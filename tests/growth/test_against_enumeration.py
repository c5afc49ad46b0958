"""Growth is the cheapest there is: it agrees with enumeration, and never regrets."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings

from rigopt.answers.growth import Grown
from rigopt.answers.outcome import Answered, Impossible
from rigopt.optimiser.questions.growth.grow import grow
from rigopt.optimiser.questions.plan import solve
from rigopt.optimiser.solver.run import Deadline
from rigopt.output.words.findings import says
from tests.growth.brute import least_outlay
from tests.growth.instances import Question, instance, questions
from tests.growth.world import faults
from tests.tiers import few

QUIET = settings(
    max_examples=6, derandomize=True, deadline=None, suppress_health_check=list(HealthCheck)
)


def trouble(question: Question) -> str:
    """How growth differs from enumeration or breaks a rule; empty if it does not."""
    least = least_outlay(*question)
    found = grow(*question, Deadline(None))
    if not isinstance(found, Grown):
        assert found.status == "infeasible"
        return "" if least is None else f"impossible, but there is {least}"
    growth, alone = found.together, found.one_by_one
    assert growth.proven
    assert growth.bound == growth.total
    if (growth.total, growth.steps[0].outlay) != least:
        return f"found {growth.total}, {growth.steps[0].outlay} at first, not {least}"
    if alone is not None and alone.total < growth.total:
        return f"one by one costs {alone.total}, together {growth.total}"
    ways = [way for way in (growth, alone) if way is not None]
    return "; ".join(says(one) for way in ways for one in faults(way, *question))


@pytest.mark.parametrize("first", few(range(0, 40, 2), now=0, slow=range(6, 40)))
def test_agrees_with_enumeration(first: int) -> None:
    found = {seed: what for seed in (first, first + 1) if (what := trouble(instance(seed)))}
    assert not found


@pytest.mark.full
def test_the_cases_are_of_every_sort() -> None:
    found = [grow(*instance(seed), Deadline(None)) for seed in range(12)]
    ways = [one for one in found if isinstance(one, Grown)]
    assert 0 < len(ways) < len(found)
    saved = [w for w in ways if w.one_by_one and w.together.total < w.one_by_one.total]
    assert saved


@QUIET
@given(question=questions())
def test_agrees_on_anything(question: Question) -> None:
    assert not trouble(question)


@pytest.mark.long
@pytest.mark.parametrize("first", range(1000, 1300, 10))
def test_agrees_on_many(first: int) -> None:
    found = {
        seed: what for seed in range(first, first + 10) if (what := trouble(instance(seed)))
    }
    assert not found


@QUIET
@given(question=questions())
def test_a_single_stage_is_a_plan(question: Question) -> None:
    """At its own prices: the same money, units, links and hops."""
    catalogue, stages = question
    only = [stages[1].__class__("only", stages[1].needs)]
    found, plan = grow(catalogue, only, Deadline(None)), solve(catalogue, only[0].needs)
    if isinstance(plan, Impossible):
        assert not isinstance(found, Grown)
        return
    assert isinstance(plan, Answered)
    assert isinstance(found, Grown)
    rigs = [found.together.steps[0].rig, plan.rig]
    one, other = [(r.total, len(r.units), len(r.links), r.clock_hops) for r in rigs]
    assert one == other
