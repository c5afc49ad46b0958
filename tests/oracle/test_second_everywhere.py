"""The second opinion on what is said beside a plan: the mixes that come next, prices and steps
of `why`, curves, and ways through stages; on random questions of every kind."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from typing import Final

import pytest

from rigopt.answers.growth import Grown
from rigopt.answers.outcome import Answered, Opinion
from rigopt.optimiser.questions.alternatives import alternatives
from rigopt.optimiser.questions.curve import curve
from rigopt.optimiser.questions.growth.grow import grow
from rigopt.optimiser.questions.growth.journey import journey
from rigopt.optimiser.questions.plan import solve
from rigopt.optimiser.questions.stretch import fewest
from rigopt.optimiser.questions.why.why import why
from rigopt.optimiser.solver.run import NO_END
from tests import opinions
from tests.growth import instances as stages
from tests.oracle.frozen import FOLDER, thaw
from tests.oracle.test_second_agrees import question
from tests.tiers import few

OTHERS: Final = 4
STEP: Final = 4


def next_mixes(seed: int) -> Opinion:
    asked = question(seed)
    found = solve(*asked)
    if not isinstance(found, Answered):
        return "agrees"
    told = alternatives(*asked, found.rig, OTHERS, NO_END)
    return opinions.of_alternatives(*asked, found.rig, told, NO_END)


def reasons(seed: int) -> Opinion:
    asked = question(seed)
    found = solve(*asked)
    if not isinstance(found, Answered):
        return "agrees"
    return opinions.of_why(*asked, why(*asked, found.rig, NO_END), NO_END)


def curves(seed: int) -> Opinion:
    catalogue, needs = question(seed)
    first = fewest(needs)
    counts = range(first, max(first, needs.mic) + STEP, 2)
    said = {
        opinions.of_outcome(point.outcome, catalogue, replace(needs, mic=point.mic), NO_END)
        for point in curve(catalogue, needs, counts, NO_END).points
    }
    return opinions.worst(said)


def ways(seed: int) -> Opinion:
    asked = stages.instance(seed)
    found = grow(*asked, NO_END)
    way = found.together if isinstance(found, Grown) else found
    return opinions.of_trip(journey(*asked), way, NO_END)


KINDS: Final[tuple[Callable[[int], Opinion], ...]] = (next_mixes, curves, ways, reasons)


def said(kind: Callable[[int], Opinion], seeds: range) -> Counter[Opinion]:
    found: Counter[Opinion] = Counter()
    for seed in seeds:
        one = kind(seed)
        assert one != "disagrees", seed
        found[one] += 1
    return found


@pytest.mark.parametrize("kind", few(KINDS, 2))
def test_no_end_is_doubted(kind: Callable[[int], Opinion]) -> None:
    assert said(kind, range(2))["agrees"]


@pytest.mark.full
@pytest.mark.parametrize("kind", KINDS[:3])
def test_no_other_end_is_doubted(kind: Callable[[int], Opinion]) -> None:
    assert said(kind, range(2, 6))["agrees"]


def test_a_curve_takes_the_cables_of_its_rig() -> None:
    """Not those that were the cheapest as long as hosts were pooled."""
    catalogue, needs, key = thaw(FOLDER / "curves" / "cables.json")
    assert key is not None
    found = curve(catalogue, needs, [needs.mic - 2, needs.mic], NO_END).points[-1].answer
    assert found is not None
    assert found.rig.total == key[0]


@pytest.mark.long
@pytest.mark.parametrize("first", range(70_000, 72_000, 50))
@pytest.mark.parametrize("kind", KINDS)
def test_no_end_of_2000_more_is_doubted(kind: Callable[[int], Opinion], first: int) -> None:
    assert said(kind, range(first, first + 50))["agrees"]
