"""One model asked more than once: with other prices, limits and spans."""

from __future__ import annotations

from dataclasses import replace

from rigopt.needs.types import Needs
from rigopt.optimiser.model.model import columns
from rigopt.optimiser.problem.problem import Problem, state
from rigopt.optimiser.search.fixing import Posed
from rigopt.optimiser.solver.linear import LARGEST, amount
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
