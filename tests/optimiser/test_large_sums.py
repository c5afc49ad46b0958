"""Sums too large for all that decides between equal rigs: some that decides least is dropped.

Prices so many times as high, with nothing else changed, cost so many times as much.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from ortools.sat.python import cp_model

from rigopt.answers.outcome import Answered
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.optimiser.problem.problem import state
from rigopt.optimiser.questions.alternatives import alternatives
from rigopt.optimiser.questions.curve import curve
from rigopt.optimiser.questions.plan import solve
from rigopt.optimiser.questions.stretch import stretch
from rigopt.optimiser.search.pooled import Search
from rigopt.optimiser.solver.linear import TooLargeError, reach, rise, smallest
from rigopt.optimiser.solver.run import Deadline
from tests.world import DESK, HUB, PRE, catalogue

TIMES = 10**7
ASKED = Needs(mic=16)
SHOP = catalogue(DESK, HUB, PRE, replace(PRE, id="pre-b", price=300_00))


def dear(shop: Catalogue, times: int = TIMES) -> Catalogue:
    return replace(
        shop,
        devices={k: replace(d, price=(d.price or 0) * times) for k, d in shop.devices.items()},
        cables={k: replace(c, price=(c.price or 0) * times) for k, c in shop.cables.items()},
    )


DEAR = dear(SHOP)


def of(answer: object) -> int:
    assert isinstance(answer, Answered)
    assert answer.proven
    return answer.rig.total


def test_some_sums_are_too_large() -> None:
    """Or the others here would try nothing."""
    with pytest.raises(TooLargeError):
        Search(state(DEAR, ASKED)).best(Deadline(None))


def test_a_plan() -> None:
    assert of(solve(DEAR, ASKED)) == TIMES * of(solve(SHOP, ASKED))


def test_a_curve() -> None:
    found = [curve(shop, ASKED, range(8, 25, 4), Deadline(None)) for shop in (DEAR, SHOP)]
    far, near = ([of(point.outcome) for point in each.points] for each in found)
    assert far == [TIMES * money for money in near]


def test_what_a_budget_stretches_to() -> None:
    budget = of(solve(SHOP, ASKED))
    found = [
        stretch(shop, ASKED, budget * times, Deadline(None))
        for shop, times in ((DEAR, TIMES), (SHOP, 1))
    ]
    assert [each.best.mic for each in found if each.best] == [16, 16]


def test_alternatives() -> None:
    found = []
    for shop in (DEAR, SHOP):
        first = solve(shop, ASKED)
        assert isinstance(first, Answered)
        found.append(alternatives(shop, ASKED, first.rig, 3, Deadline(None)))
    far, near = ([of(answer) for answer in each.found] for each in found)
    assert near
    assert far == [TIMES * money for money in near]


def test_hosts_and_hops_that_make_sums_large_are_named() -> None:
    most = dear(SHOP, 10**12)
    with pytest.raises(TooLargeError, match="exactly; use smaller ones, or rates"):
        solve(most, ASKED)
    with pytest.raises(TooLargeError, match=r"with up to 12 hosts; .* fewer hosts, or"):
        solve(most, replace(ASKED, max_hosts=12))
    with pytest.raises(TooLargeError, match=r"12 hosts and up to 8 hops .* hosts or hops,"):
        solve(most, replace(ASKED, max_hosts=12, max_hops=8))


def test_how_far_sums_go() -> None:
    """Of x from 0 to 10 and y from -3 to 4."""
    model = cp_model.CpModel()
    x, y = model.new_int_var(0, 10, "x"), model.new_int_var(-3, 4, "y")
    assert reach([(x, 2), (y, -5)]) == 20 + 20
    assert rise([(x, 2), (y, 5)]) == 20 + 20
    assert smallest([(x, 2), (y, -5)]) == -20
    assert smallest([(y, 5)]) == -15
