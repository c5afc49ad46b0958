"""The most microphones at each stage for the same outlay."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings

from rigopt.answers.growth import Growth
from rigopt.api.growth import ask_most_each
from rigopt.catalogue.types import Extra
from rigopt.needs.types import Stage
from rigopt.optimiser.questions.growth import most as module
from rigopt.optimiser.questions.growth import solve as solving
from rigopt.optimiser.questions.growth.journey import Journey
from rigopt.optimiser.questions.growth.most import most_each
from rigopt.optimiser.search.pooled import NOTHING_YET
from rigopt.optimiser.solver.run import Deadline, Result
from tests.growth.brute import least_outlay
from tests.growth.instances import Question, instance, questions
from tests.growth.world import DESK, NO_END, PLAIN, outlays, shop, stage
from tests.tiers import few


def counts(question: Question, budget: int) -> list[int]:
    """The counts, all proven."""
    found = ask_most_each(*question, budget)
    assert all(found.proven)
    assert found.ended == ("reached" if len(found.proven) == 2 else "out of reach")
    assert found.growth.proven
    return [step.needs.mic for step in found.growth.steps]


def possible(question: Question, budget: int, *mics: int) -> bool:
    """Whether there is a way through these counts, by enumeration; one stage or both."""
    catalogue, stages = question
    way = [_at(stage, mic, budget) for stage, mic in zip(stages, mics, strict=False)]
    # What stands already can stand again.
    way += [replace(way[0], title="again")] * (2 - len(way))
    return least_outlay(catalogue, way) is not None


def _at(stage: Stage, mic: int, budget: int) -> Stage:
    return replace(stage, needs=replace(stage.needs, mic=mic, budget=budget), budget=budget)


@pytest.mark.parametrize("seed", few(range(6), slow=range(4, 6)))
def test_agrees_with_enumeration(seed: int) -> None:
    """Each count can be had after the ones before it, and one more cannot."""
    question = instance(seed)
    budget = 12_000 + 9000 * (seed % 5)
    reached = counts(question, budget)
    for number in range(len(question[1])):
        before, needs = reached[:number], question[1][number].needs
        if number < len(reached):
            assert possible(question, budget, *before, reached[number])
            assert not possible(question, budget, *before, reached[number] + 1)
        else:
            least = max(1, needs.phantom + needs.no_phantom)
            assert not possible(question, budget, *before, least)
            break


@settings(
    max_examples=2, derandomize=True, deadline=None, suppress_health_check=list(HealthCheck)
)
@given(question=questions())
def test_more_money_never_reaches_less(question: Question) -> None:
    """At the first stage; the second depends on what was taken at the first."""
    reached = [counts(question, budget)[:1] for budget in (15_000, 40_000)]
    assert reached == sorted(reached)


def test_what_is_bought_first_serves_later() -> None:
    """Both interfaces have eight inputs; for later stages the larger one is bought."""
    found = most_each(shop(), [stage(1), stage(1, title="later")], 30_000, NO_END)
    assert [step.needs.mic for step in found.growth.steps] == [8, 16]
    assert outlays(found.growth) == [30_000, 20_600]
    assert found.proven == (True, True)


def test_inputs_that_cannot_be_used_for_the_money_do_not_count() -> None:
    """Eight inputs are there, and money for five leads: not eight microphones but five."""
    leads = Extra("lead", "lead", "mic", 1000)
    catalogue = shop(extras=(leads,))
    found = most_each(catalogue, [stage(1), stage(1, title="later")], 25_500, NO_END)
    assert [step.needs.mic for step in found.growth.steps] == [5, 8]
    assert found.proven == (True, True)


def test_a_stage_out_of_reach_ends_it() -> None:
    later = stage(1, title="other rate", rate_hz=192_000)
    found = most_each(shop(), [stage(1), later], 20_000, NO_END)
    assert [step.needs.mic for step in found.growth.steps] == [8]
    assert found.ended == "out of reach"
    none = most_each(shop(), [stage(1)], 100, NO_END)
    assert (none.growth.steps, none.ended, none.proven) == ((), "out of reach", ())


def test_a_host_that_was_bought_counts_where_nothing_is_bought() -> None:
    later = stage(1, title="later", owned_only=True)
    found = most_each(shop(devices=(PLAIN, DESK)), [stage(1), later], 30_000, NO_END)
    assert [step.needs.mic for step in found.growth.steps] == [8, 8]


@pytest.mark.usefixtures("no_time")
def test_without_time_nothing_is_said_to_be_out_of_reach() -> None:
    found = most_each(shop(), [stage(1)], 60_000, NO_END)
    assert (found.growth.steps, found.ended) == ((), "time")


def test_time_that_ends_on_the_way_leaves_it_unproven(monkeypatch: pytest.MonkeyPatch) -> None:
    real, asked = module.together, []

    def slow(*args: object, **more: object) -> Growth | Result:
        asked.append(1)
        return real(*args, **more) if len(asked) < 2 else NOTHING_YET  # type: ignore[arg-type]

    monkeypatch.setattr(module, "together", slow)
    found = most_each(shop(), [stage(1)], 60_000, NO_END)
    assert found.proven == (False,)
    assert found.growth.steps[0].needs.mic == 1
    assert found.ended == "reached"


def test_no_time_is_left_to_settle_ties(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Deadline, "over", property(lambda _: True))
    monkeypatch.setattr(Deadline, "check", lambda _: None)
    found = most_each(shop(), [stage(1)], 20_000, NO_END)
    assert [step.needs.mic for step in found.growth.steps] == [8]


def test_the_answer_is_the_way_whose_ties_are_settled(monkeypatch: pytest.MonkeyPatch) -> None:
    real, settled = module.together, []

    def seen(trip: Journey, known: Growth | None, end: Deadline, settle: bool) -> object:
        found = real(trip, known, end, settle)
        settled.extend([found] * settle)
        return found

    monkeypatch.setattr(module, "together", seen)
    found = most_each(shop(), [stage(1)], 20_000, NO_END)
    assert [id(found.growth)] == [id(one) for one in settled]


@pytest.mark.parametrize("settle", [True, False])
def test_which_of_equal_ways_is_taken_is_settled_where_that_matters(
    settle: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[bool] = []
    known = solving._settled

    def settled(*given: Any) -> solving.Solved:
        seen.append(True)
        return known(*given)

    monkeypatch.setattr(solving, "_settled", settled)
    way = module._together(shop(), (stage(8), stage(16)), NO_END, settle)
    assert isinstance(way, Growth)
    assert way.proven
    assert seen == [True] * settle
