"""How many units of a column there can be, and which links are long: by hand."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from rigopt.catalogue.types import Catalogue, Device
from rigopt.needs.types import Needs
from rigopt.optimiser.model.model import columns
from rigopt.optimiser.model.variables import RACK, ClockRoute, upper_of
from rigopt.optimiser.problem.problem import state
from tests.world import DESK, HUB, PRE, catalogue

TWO = replace(PRE, id="two", mic_line=16, optical_out=2, optical_2x=2, line_out=0)
"""Both of its links to the host bring audio."""


def most(shop: Catalogue, item: str, known: dict[str, int] | None = None, **needs: Any) -> int:
    """The most units of a type, in the column with the most links."""
    problem = state(shop, Needs(mic=8, **needs))
    if known is not None:
        problem = replace(problem, most=known)
    found = columns(problem, 0).satellites
    one = max((c for c in found if c.device.id == item), key=lambda c: c.wiring.links)
    return upper_of(problem, one)


@pytest.mark.parametrize(
    ("box", "known", "needs", "right"),
    [
        # The hub has four sockets.
        (PRE, None, {}, 4),
        (TWO, None, {}, 2),
        # The rig is not so large.
        (PRE, None, {"units": 3}, 3),
        # Only so many are there.
        (replace(PRE, price=None), None, {"owned": {"pre-8": 3}}, 3),
        (replace(TWO, price=None), None, {"owned": {"two": 3}}, 2),
        # It is known how many.
        (PRE, {"hub-4": 1, "pre-8": 2}, {}, 2),
        (PRE, {"hub-4": 1, "pre-8": 9}, {}, 4),
        (PRE, {"hub-4": 1}, {}, 0),
    ],
)
def test_no_more_than_sockets_and_units(
    box: Device, known: dict[str, int] | None, needs: dict[str, Any], right: int
) -> None:
    assert most(catalogue(HUB, DESK, box), box.id, known, **needs) == right


def test_a_link_for_the_clock_is_long_between_a_host_and_another_unit() -> None:
    def far(sender: int, receiver: int) -> bool:
        return ClockRoute("adat", 1, 0, sender, receiver).to_rack

    assert far(0, RACK)
    assert far(RACK, 1)
    assert not far(0, 1)
    assert not far(RACK, RACK)
