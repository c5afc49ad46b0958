"""Prices at which an answer changes, by hand: lines of what rigs cost, and where they cross."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from types import SimpleNamespace
from typing import Any

import pytest

from rigopt.needs.types import Needs
from rigopt.optimiser.questions.conflict.probes import TimeUpError
from rigopt.optimiser.questions.why.market import Line, Market
from rigopt.optimiser.search.ties import Mix
from rigopt.optimiser.solver.run import TimeIsUpError

MIX = Mix(Counter(box=2), {})


def line(rest: int, bought: int = 0) -> Line:
    return Line(rest, bought, MIX)


def market(**fields: Any) -> Any:
    """What is looked at of one; a minor unit weighs 10, and a rig with n boxes has bought n."""
    plain = {"budget": None, "minor": 10, "item": "box", "deadline": None, "among": None}
    return SimpleNamespace(**{**plain, "_bought": lambda units: 10 * units, **fields})


def test_only_what_is_not_owned_is_bought() -> None:
    self = market(needs=Needs(owned={"box": 2}))
    assert [Market._bought(self, units) for units in (0, 2, 3, 5)] == [0, 0, 10, 30]


def test_two_lines_cross_after_the_last_price_at_which_the_first_is_not_dearer() -> None:
    one, other = line(100, 3), line(109, 1)
    price = Market.crossing(market(), one, other)
    assert price == 4
    assert one.objective(4) <= other.objective(4)
    assert one.objective(5) > other.objective(5)
    assert Market.crossing(market(), one, line(110, 1)) == 5, "not dearer at 5"


@pytest.mark.parametrize(("budget", "most"), [(None, None), (50, 19), (12, 0), (11, -1)])
def test_what_a_rig_may_cost_with_a_budget(budget: int | None, most: int | None) -> None:
    """12 minor units for the rest, and two boxes."""
    assert Market.affordable(market(budget=budget), line(123, 20)) == most


@pytest.mark.parametrize(
    ("budget", "other", "price"),
    [
        (None, None, None),
        (99, None, 100),
        (0, None, 1),
        (None, line(109, 10), 11),
        (None, line(110, 10), 12),
        (99, line(109, 10), 11),
        (5, line(109, 10), 6),
    ],
)
def test_a_price_that_is_too_dear(
    budget: int | None, other: Line | None, price: int | None
) -> None:
    """Two boxes weigh 20 for each minor unit, and one in the other rig 10."""
    assert Market.too_dear(market(budget=budget), other, 2) == price


Outlook = Callable[[int], tuple[float, float]]


def near(outlook: Outlook, rest: int = 1000, bound: int = 990, minor: int = 10) -> int | None:
    """The price to begin at; what the relaxation tells of a price is made up."""
    among = SimpleNamespace(bound=bound, outlook=lambda price, *_: outlook(price))
    self = market(among=among, _at=lambda price: price, minor=minor)
    return Market.near(self, line(rest))


@pytest.mark.parametrize(
    ("outlook", "price"),
    [
        (lambda price: (400 + 20 * price, 2.0), 29),  # 980 is as near as is sure
        (lambda _: (1001, 2.0), None),
        (lambda price: (1000 + price, 2.0), 0),
        (lambda _: (400, 0.4), 0),
        (lambda price: (980 if price == 116 else 400, 0.5), 116),
        (lambda _: (975, 2.0), 0),  # no whole step is left
        (lambda price: (400 if price < 29 else 1001, 2.0), 29),
        (lambda price: (400 + 10 * price, 2.0), 57),
    ],
)
def test_a_price_to_begin_at(outlook: Outlook, price: int | None) -> None:
    assert near(outlook) == price


def test_a_relaxation_that_was_not_off_leaves_little_room() -> None:
    """2 are left: of 10 that are missing 8, and a minor unit weighs 1."""
    seen = []

    def outlook(price: int) -> tuple[float, float]:
        seen.append(price)
        return 990 + price, 1.0

    assert near(outlook, bound=1000, minor=1) == 8
    assert seen == [0, 8]


def test_without_all_rigs_in_one_model_it_begins_at_nothing() -> None:
    assert Market.near(market(), line(1000)) == 0


def test_a_relaxation_out_of_time_tells_nothing() -> None:
    def late(_: int) -> tuple[float, float]:
        raise TimeIsUpError

    with pytest.raises(TimeUpError):
        near(late)


@pytest.mark.parametrize(
    ("found", "budget", "units"),
    [(None, None, 0), (line(100, 20), None, 2), (line(100, 20), 20, 2), (line(100, 20), 19, 0)],
)
def test_how_many_are_used_within_a_budget(
    found: Line | None, budget: int | None, units: int
) -> None:
    """At 5 the rig comes to 20 minor units."""
    self = market(first=lambda *_: found, budget=budget)
    self._within_budget = lambda objective: Market._within_budget(self, objective)
    assert Market.used(self, 5) == units


def test_a_line_is_that_of_the_rig_at_any_price() -> None:
    best: Any = SimpleNamespace(objective=170, mix=MIX)
    assert Market.line(market(), best, 5) == line(70, 20)
    assert line(70, 20).objective(5) == 170
