"""Growth with used gear sold agrees with enumeration."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from rigopt.needs.types import Needs
from tests.growth.instances import Question, instance
from tests.growth.test_against_enumeration import trouble
from tests.tiers import few

PRICES = (1, 500, 5_000, 20_000, 40_000)


def question(seed: int) -> Question:
    """A question of a seed with things owned, most of them with a price.

    Now and then the second stage owns more or less, or asks less for them, or the first has no
    prices yet.
    """
    draw = random.Random(seed)
    catalogue, (first, second) = instance(seed)
    items = [*catalogue.devices, *catalogue.cables, *catalogue.extras]
    owned = {i: draw.randint(1, 2) for i in items if draw.random() < 0.45}
    owned = {**first.needs.owned, **owned}
    prices = {item: draw.choice(PRICES) for item in owned if draw.random() < 0.8}
    later, cheaper = dict(owned), dict(prices)
    if draw.random() < 0.3:
        for item in owned:
            if draw.random() < 0.4:
                later[item] = draw.randint(0, 3)
            if item in prices and draw.random() < 0.3:
                cheaper[item] = draw.randint(1, prices[item])
    if draw.random() < 0.1:
        prices = {}
    stages = (
        replace(first, needs=holding(first.needs, owned, prices)),
        replace(second, needs=holding(second.needs, later, cheaper)),
    )
    return catalogue, stages


def holding(needs: Needs, owned: dict[str, int], prices: dict[str, int]) -> Needs:
    there = {item: pieces for item, pieces in owned.items() if pieces}
    return replace(needs, owned=there, resale={i: n for i, n in prices.items() if i in there})


@pytest.mark.parametrize("first", few(range(0, 40, 2), now=0, slow=range(6, 40)))
def test_agrees_with_enumeration(first: int) -> None:
    found = {seed: what for seed in (first, first + 1) if (what := trouble(question(seed)))}
    assert not found
