"""One model asked more than once: with other prices, limits and spans."""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import replace

import pytest

from rigopt.needs.types import Needs
from rigopt.optimiser.model.model import columns
from rigopt.optimiser.problem.problem import Problem, state
from rigopt.optimiser.search.posed import Posed
from rigopt.optimiser.solver.linear import LARGEST, TooLargeError, amount
from rigopt.optimiser.solver.run import NO_END, Result, run
from tests.world import DESK, catalogue

TWIN = replace(DESK, id="twin")


def problem(price: int) -> Problem:
    """Two interfaces that do the same, one for 300.00, the other for `price`."""
    return state(catalogue(DESK, replace(TWIN, price=price)), Needs(mic=8))


def asked(posed: Posed, lower: int = 0, upper: int = LARGEST) -> Result:
    posed.ask((), {}, lower, upper)
    return run(posed.model, NO_END)


def test_the_prices_of_a_model_may_change() -> None:
    """Before it is asked, and after."""
    first = problem(40000)
    posed = Posed(first, columns(first, 0), ())
    for price, money in ((29000, 29000), (28000, 28000), (35000, 30000)):
        posed.priced(problem(price))
        found = asked(posed)
        assert amount(posed.rig.net(), found.value) == money
        # What is asked for is told by the new prices too.
        best = amount(posed.objective.terms, found.value)
        assert best == found.bound
        assert asked(posed, lower=best, upper=best).found
        assert not asked(posed, upper=best - 1).found


def goal(posed: Posed) -> dict[int, int]:
    """What each variable counts for, by its index."""
    parts = posed.model.proto.objective
    return dict(zip(parts.vars, parts.coeffs, strict=True))


def test_at_other_prices_it_is_the_model_that_they_would_make() -> None:
    posed = Posed(problem(30000), columns(problem(30000), 0), ())
    for price in (0, 50000, 30000):
        posed.priced(problem(price))
        anew = Posed(problem(price), columns(problem(price), 0), ())
        assert goal(posed) == goal(anew)
        assert posed.objective.money == anew.objective.money


def test_prices_become_too_large_where_those_of_a_new_model_would() -> None:
    posed = Posed(problem(30000), columns(problem(30000), 0), ())

    def too_large(price: int) -> bool:
        try:
            posed.priced(problem(price))
        except TooLargeError:
            return True
        return False

    def too_large_anew(price: int) -> bool:
        try:
            Posed(problem(price), columns(problem(price), 0), ())
        except TooLargeError:
            return True
        return False

    prices = range(2**60)
    most = bisect_left(prices, True, key=too_large)
    assert 2**30 < most < 2**60
    assert most == bisect_left(prices, True, key=too_large_anew)


@pytest.mark.parametrize(
    ("upper", "most"),
    [
        (29999, {}),
        (30000, {"desk-8": 1}),
        (39999, {"desk-8": 1}),
        (40000, {"desk-8": 1, "twin": 1}),
    ],
)
def test_up_to_an_objective_there_are_as_many_units_as_that_pays(
    upper: int, most: dict[str, int]
) -> None:
    posed = Posed(problem(40000), columns(problem(40000), 0), ())
    assert posed.most((upper + 1) * posed.objective.money - 1) == most


def test_what_a_relaxation_says_of_a_type_is_at_the_price_that_is_asked() -> None:
    """With one of the twins at 300.00, and what it costs, the other is not needed."""
    posed = Posed(problem(40000), columns(problem(40000), 0), ())
    posed.relax(NO_END, again=True)
    for price in (0, 10000, 40000):
        bound, bought = posed.outlook(problem(price), "twin", NO_END)
        assert bound // posed.objective.money == price
        assert bought == pytest.approx(1)
