"""Mixes excluded one after another: what comes next is the cheapest of the rest.

OR-Tools 9.15.6755 gets these questions wrong when it looks for rows that others imply
while it simplifies a model: it then passes over a rig of 539.00 and calls one of 542.50
optimal. Both seeds are kept from a comparison of some 1,000 models with and without.
"""

from __future__ import annotations

import random

import pytest

from rigopt.catalogue import shipped
from rigopt.catalogue.read import read_folder
from rigopt.needs.types import SourceLine
from rigopt.optimiser.problem.problem import Problem, state
from rigopt.optimiser.search.fixing import Scope
from rigopt.optimiser.search.pooled import Best, Search
from rigopt.optimiser.search.ties import Mix
from rigopt.optimiser.solver.run import Deadline
from tests.tiers import few
from tests.world import asked


def question(draw: random.Random) -> Problem:
    """Twelve microphones, eight of them in pairs, with all kinds of wishes for 48 V."""
    sources = tuple(
        SourceLine(
            f"s{i}",
            pair=f"p{i // 2}" if i < 8 else None,
            phantom=draw.choice(["on", "off", "any"]),
        )
        for i in range(12)
    )
    return state(read_folder(shipped.demo_catalogue()), asked(sources))


def alone(problem: Problem, mix: Mix) -> int:
    """What the rig with these units costs when nothing else is asked."""
    search = Search(problem.only(mix.units, {cable.id for cable in problem.cables}))
    for item, units in mix.units.items():
        search.between(item, units, units)
    best = search.best(Deadline(None))
    assert isinstance(best, Best)
    return best.money


@pytest.mark.parametrize("seed", few([18, 1], now=0, slow=[1]))
def test_the_next_one_is_the_cheapest_of_the_rest(seed: int) -> None:
    problem, draw = question(random.Random(seed)), random.Random(seed)
    search, lower, found = Search(problem, ranks=14), 0, []
    for _ in range(12):
        best = search.best(Deadline(None), Scope(lower, ties="ids of packs"))
        assert isinstance(best, Best)
        assert best.money == alone(problem, best.mix), best.mix
        lower = best.objective
        found.append(best.money)
        (search.forbid if draw.random() < 0.4 else search.other_than)(best.mix)
    assert found == sorted(found)
