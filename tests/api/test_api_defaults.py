"""What is asked where nothing is said, and what is no proof."""

from __future__ import annotations

import inspect
from dataclasses import replace

import pytest

import rigopt
from rigopt.answers import growth, outcome, series
from rigopt.api import telling
from rigopt.api.ask import ask_plan
from rigopt.api.growth import ask_growth, ask_most_each
from rigopt.api.results import Told
from rigopt.api.series import ask_curve
from rigopt.needs import types
from tests.api.api_world import RIG
from tests.growth.world import shop as plain_shop
from tests.growth.world import stage


def test_only_what_is_asked_is_answered() -> None:
    shop = plain_shop()
    choice = ask_plan(shop, types.Needs(mic=8))
    assert isinstance(choice.outcome, outcome.Answered)
    assert choice.outcome.second is None
    assert (choice.alternatives, choice.why, choice.checks, choice.more) == (None,) * 4
    line = ask_curve(shop, types.Needs(), [8, 16])
    assert [point.mic for point in line.points] == [8, 16]
    assert line.between == ()
    grown = ask_growth(shop, [stage(8), stage(16)])
    assert isinstance(grown, growth.Grown)
    assert grown.second is None


def test_a_curve_goes_by_eights_to_64() -> None:
    counts = inspect.signature(rigopt.curve).parameters["counts"].default
    assert list(counts) == [8, 16, 24, 32, 40, 48, 56, 64]


def test_most_counts_that_the_time_ended_are_no_proof() -> None:
    shop, stages = plain_shop(), [stage(1), stage(2)]
    found = ask_most_each(shop, stages, 21_000)
    needs = types.Needs()
    assert telling.grown(found, shop, needs).proven
    late = telling.grown(replace(found, ended="time"), shop, needs)
    assert isinstance(late, rigopt.Grown)
    assert not late.proven
    unsure = replace(found, proven=(*found.proven[:-1], False))
    assert not telling.grown(unsure, shop, needs).proven


def test_one_column_without_a_proof_leaves_a_comparison_without() -> None:
    shop = plain_shop()
    scenario = series.Scenario("", shop, types.Needs(mic=1))
    sure = ask_plan(shop, scenario.needs).outcome
    assert isinstance(sure, outcome.Answered)
    unsure = replace(sure, proven=False)
    columns = tuple(series.Column(scenario, end) for end in (sure, unsure))
    assert telling.compared(series.Comparison(columns[:1])).proven
    assert not telling.compared(series.Comparison(columns)).proven
    assert not telling.compared(series.Comparison(columns[1:])).proven


@pytest.mark.parametrize("stages_proven", [True, False])
def test_out_of_time_is_no_proof(stages_proven: bool) -> None:
    told = Told(text=str, data=str, proven=stages_proven)
    assert not telling._without(outcome.OutOfTime(1.0), told).proven
    assert telling._without(outcome.Impossible(minimal=False), told).proven


def test_a_rig_that_says_no_rate_is_audited_at_that_of_its_needs(
    shop: rigopt.Catalogue,
) -> None:
    with open("no-rate.toml", "w", encoding="utf-8") as file:
        file.write(RIG.format(host="optical 1").replace("rate_khz = 48", ""))
    fast = rigopt.audit("no-rate.toml", shop, rigopt.Needs(mic=10, rate_khz=96))
    slow = rigopt.audit("no-rate.toml", shop, rigopt.Needs(mic=16, rate_khz=48))
    assert (slow.to_dict()["rate_khz"], fast.to_dict()["rate_khz"]) == (48, 96)
