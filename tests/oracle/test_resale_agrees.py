"""Used gear sold: the optimiser agrees with enumeration, which counts what is not got for it.

A price is drawn for most of what is owned, from next to nothing to more than a new one. The
enumeration knows no sales, only what owned pieces in use would bring; all that could be sold is
taken off here.
"""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from rigopt.answers.outcome import Answered, Impossible
from rigopt.optimiser.questions.plan import solve
from rigopt.rig.audit import audit
from tests.oracle.brute import brute_best
from tests.oracle.instances import instance
from tests.oracle.keys import key_of
from tests.oracle.mip import milp_key
from tests.oracle.rich import rich
from tests.oracle.test_solver_agrees import Key, Question, name, rig_of
from tests.tiers import few

PRICES = (1, 500, 5_000, 20_000, 40_000)
SEEDS = [range(first, first + 5) for first in range(0, 300, 5)]


def question(seed: int) -> Question:
    """A question of a seed with more that is owned, with prices, and a budget that is net."""
    draw = random.Random(seed)
    catalogue, needs = rich(seed) if seed % 2 else instance(seed)
    items = [*catalogue.devices, *catalogue.cables]
    owned = {**needs.owned, **{i: draw.randint(1, 3) for i in items if draw.random() < 0.4}}
    resale = {item: draw.choice(PRICES) for item in owned if draw.random() < 0.8}
    budget = needs.budget
    if budget is not None:
        budget = max(0, budget - draw.randint(0, 30_000))
    return catalogue, replace(needs, owned=owned, resale=resale, budget=budget)


def opinion(asked: Question) -> Key | None:
    """The least key by enumeration, its money net."""
    catalogue, needs = asked
    budget = None if needs.budget is None else needs.budget + needs.sale
    key = brute_best(catalogue, replace(needs, budget=budget))
    return None if key is None else (key[0] - needs.sale, *key[1:])


def trouble(seed: int) -> str:
    asked = question(seed)
    outcome, key = solve(*asked), opinion(asked)
    if not isinstance(outcome, Answered):
        assert isinstance(outcome, Impossible)
        return "" if key is None else f"seed {seed}: impossible, but there is {key}"
    own = key_of(outcome.rig)
    sound = outcome.proven and outcome.bound == outcome.rig.total
    if key is None or own is None or own[: len(key)] != key or not sound:
        return f"seed {seed}: optimiser {own}, bound {outcome.bound}, opinion {key}"
    return "".join(f"seed {seed}: {found}" for found in audit(outcome.rig, *asked))


@pytest.mark.parametrize("seeds", few(SEEDS, slow=SEEDS[10:]), ids=name)
def test_agrees_with_enumeration(seeds: range) -> None:
    assert not "".join(map(trouble, seeds))


@pytest.mark.parametrize("seeds", few([range(3), range(3, 9), range(10, 20)]), ids=name)
def test_the_two_opinions_agree(seeds: range) -> None:
    for seed in seeds:
        asked = question(seed)
        assert milp_key(*asked) == opinion(asked), f"seed {seed}"


@pytest.mark.long
@pytest.mark.parametrize("first", range(1000, 2000, 50))
def test_agrees_with_the_linear_model_on_1000_more(first: int) -> None:
    for seed in range(first, first + 50):
        asked = question(seed)
        assert key_of(rig_of(asked)) == milp_key(*asked), f"seed {seed}"


@pytest.mark.full
def test_the_cases_are_of_every_sort() -> None:
    ends = [solve(*question(seed)) for seed in range(20)]
    rigs = [end.rig for end in ends if isinstance(end, Answered)]
    assert any(rig.total < 0 for rig in rigs)
    assert any(line.kind == "cable" for rig in rigs for line in rig.to_sell)
    assert any(rig.purchases and rig.to_sell for rig in rigs)
    assert any(unit.owned for rig in rigs for unit in rig.units)
    assert len(rigs) < len(ends)
