"""Objectives as numbers with places, and what one of them is in the places of another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from ortools.sat.python import cp_model

from rigopt.catalogue.types import Device, Offer, Seller
from rigopt.needs.types import Needs
from rigopt.optimiser.model.model import build, columns, fits, objective_of, reweighed, weights
from rigopt.optimiser.model.orders import _cost
from rigopt.optimiser.problem.chosen import chosen
from rigopt.optimiser.problem.problem import Problem, state
from rigopt.optimiser.problem.supplies import OrderTerms
from rigopt.optimiser.solver.linear import LARGEST, TooLargeError, reach
from tests.world import DESK, HUB, PRE, catalogue

SHOP = replace(
    catalogue(DESK, PRE, HUB),
    offers=(Offer("opt-1m", "one", 500), Offer("opt-1m", "two", 550)),
    sellers={name: Seller(name, currency="GBP") for name in ("one", "two")},
)
LARGE = state(SHOP, Needs(mic=16))
SMALL = chosen(LARGE, {"desk-8": 1, "pre-8": 1}, {"opt-1m": (1, 0, 0)})


def in_places(parts: Sequence[int], problem: Problem) -> int:
    """Money, units, links, hops, missing channels, packs; what is left are orders."""
    *six, orders = parts
    return sum(n * one for n, one in zip(six, weights(problem), strict=True)) + orders


def most(problem: Problem) -> tuple[int, ...]:
    """The most there can be of what has a limit."""
    return (
        problem.max_units,
        problem.max_links + problem.max_leads,
        problem.needs.max_hops,
        problem.max_arriving,
        problem.max_packs,
    )


@pytest.mark.parametrize(
    "parts", [(50500, 2, 1, 1, 20, 1, 1), (7, 1, 0, 0, 20, 0, 0), (7, 0, 1, 0, 21, 1, 0)]
)
def test_an_objective_in_the_places_of_a_smaller_problem(parts: tuple[int, ...]) -> None:
    """What is missing is counted from what could arrive, of which there is less."""
    less = LARGE.max_arriving - SMALL.max_arriving
    assert 0 < less <= 20
    assert weights(LARGE) != weights(SMALL)
    there = [*parts[:4], parts[4] - less, *parts[5:]]
    assert reweighed(in_places(parts, LARGE), LARGE, SMALL) == in_places(there, SMALL)
    assert reweighed(in_places(there, SMALL), SMALL, LARGE) == in_places(parts, LARGE)


@pytest.mark.parametrize("place", range(1, 6))
def test_no_part_is_taken_for_the_one_before(place: int) -> None:
    """More of one than the smaller problem has room for is as much as there is."""
    parts = [10, 0, 0, 0, LARGE.max_arriving - SMALL.max_arriving, 0, 0]
    known = [10, 0, 0, 0, 0, 0, 0]
    room = most(SMALL)[place - 1]
    assert room < most(LARGE)[place - 1] or place == 3
    parts[place] += min(most(LARGE)[place - 1] - parts[place], room + 1)
    known[place] = min(room, parts[place] if place != 4 else room)
    assert reweighed(in_places(parts, LARGE), LARGE, SMALL) == in_places(known, SMALL)


def test_links_are_analogue_pieces_too() -> None:
    """There is room for five more of them than the smaller problem has digital links."""
    large, small = replace(LARGE, max_leads=9), replace(SMALL, max_leads=5)
    links = SMALL.max_links + 5
    parts = [10, 0, links, 0, LARGE.max_arriving - SMALL.max_arriving, 0, 0]
    known = [10, 0, links, 0, 0, 0, 0]
    assert reweighed(in_places(parts, large), large, small) == in_places(known, small)


def test_orders_are_no_more_than_there_are_sellers() -> None:
    parts = (10, 0, 0, 0, LARGE.max_arriving, 0, 2)
    alone = state(replace(SHOP, offers=(), sellers={}), Needs(mic=16))
    assert weights(alone).pack == 1
    there = (10, 0, 0, 0, alone.max_arriving, 0, 0)
    assert reweighed(in_places(parts, LARGE), LARGE, alone) == in_places(there, alone)


@pytest.mark.parametrize(("dropped", "left"), [(1, 5), (2, 4)])
def test_what_is_dropped_counts_nothing(dropped: int, left: int) -> None:
    few = replace(LARGE, dropped=dropped)
    assert [bool(one) for one in weights(few)] == [True] * left + [False] * (6 - left)
    parts = (50500, 2, 1, 1, 20, 1, 1)
    there = (*parts[:left], *(0 for _ in parts[left:]))
    assert reweighed(in_places(parts, LARGE), LARGE, few) == in_places(there, few)
    known = (*there[:4], there[4], 0, 0)
    assert reweighed(in_places(there, few), few, LARGE) == in_places(known, LARGE)


@pytest.mark.parametrize(("times", "right"), [(1, True), (10**12, False)])
def test_sums_are_exact_where_all_units_that_there_could_be_cost_little(
    times: int, right: bool
) -> None:
    dear: Any = [replace(box, price=(box.price or 0) * times) for box in (DESK, PRE, HUB)]
    problem = state(catalogue(*dear), Needs(mic=16))
    assert fits(problem, columns(problem, 0)) is right


def test_a_sum_that_is_too_large_is_told() -> None:
    """The largest price with which all variables together stay exact, and one more."""
    box: Any = Device("box", "", "host", 0, mic=8)

    def told(price: int) -> bool:
        problem = state(catalogue(replace(box, price=price)), Needs(mic=8))
        rig = build(cp_model.CpModel(), problem, columns(problem, 0))
        try:
            found = objective_of(rig)
        except TooLargeError:
            return True
        assert reach(found.terms) <= LARGEST
        return False

    least, most = 0, 2**62
    while most - least > 1:
        price = (least + most) // 2
        least, most = (least, price) if told(price) else (price, most)
    weight = weights(state(catalogue(box), Needs(mic=8))).money
    assert least * weight <= LARGEST < 2 * least * weight


@pytest.mark.parametrize(
    ("rate", "largest", "right"),
    [
        (Fraction(1), 2**60 - 1, True),
        (Fraction(1), 2**60, False),
        (Fraction(2), 2**59 - 1, True),
        (Fraction(2), 2**59, False),
        # What it comes to, rounded up, times 4 and what the rate is divided by.
        (Fraction(1, 2), 2**60 - 1, True),
        (Fraction(1, 2), 2**60, False),
        (Fraction(1, 17), 2**60 - 1, False),  # 2 more are a multiple of 17
        (Fraction(1, 17), 2**60 - 16, True),
    ],
)
def test_the_largest_order_that_is_rounded_exactly(
    rate: Fraction, largest: int, right: bool
) -> None:
    model, terms = cp_model.CpModel(), OrderTerms(rate)
    goods = model.new_int_var(0, 1, "goods")
    if not right:
        with pytest.raises(TooLargeError):
            _cost(model, terms, [(goods, 1)], largest)
        return
    ((paid, factor),) = _cost(model, terms, [(goods, 1)], largest)
    assert (paid is goods) is (rate.denominator == 1)
    assert factor == rate.numerator
