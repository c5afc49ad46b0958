"""How far above its bound a journey is looked for: 3 %, then 12 %, then 50 %, then at all."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from rigopt.optimiser.questions.growth.solve import Prospect
from rigopt.optimiser.solver.run import NO_END

PARTS = 4
TOP = 10_000


class Looked(Prospect):
    """A prospect whose models are what they were asked up to."""

    def within(self, upper: int) -> Any:
        return upper


def prospect(bound: int) -> Looked:
    """One that is known to cost so many quarters of a minor unit at least."""
    known: Any = SimpleNamespace(bound=bound)
    trip: Any = None
    return Looked(trip, (), known, PARTS, TOP, NO_END)


@pytest.mark.parametrize(("quarters", "bound"), [(-5, 0), (0, 0), (1, 1), (4, 1), (5, 2)])
def test_a_bound_in_parts_is_rounded_up(quarters: int, bound: int) -> None:
    assert prospect(quarters).bound == bound


@pytest.mark.parametrize(("bound", "upper"), [(3200, 3300), (64, 66), (10, 11), (0, TOP)])
def test_the_first_look_goes_a_32nd_beyond_the_bound(bound: int, upper: int) -> None:
    """One more at least; beyond nothing, that is far off already."""
    assert tuple(prospect(PARTS * bound).first()) == (upper, upper, bound, ())


def test_each_look_goes_four_times_as_far() -> None:
    assert [prospect(PARTS * 3200).further(upper) for upper in (3300, 3600, 3200)] == [
        3600,
        4800,
        3204,
    ]


@pytest.mark.parametrize(
    ("upper", "asked"), [(4800, 4800), (4801, TOP), (9000, TOP), (3300, 3300)]
)
def test_beyond_half_the_bound_all_is_looked_at(upper: int, asked: int) -> None:
    assert tuple(prospect(PARTS * 3200).up_to(upper)) == (asked, asked, 3200, ())


def test_nothing_is_looked_at_that_costs_more_than_is_of_interest() -> None:
    assert tuple(prospect(PARTS * 9990).up_to(11_000)) == (TOP, TOP, 9990, ())
