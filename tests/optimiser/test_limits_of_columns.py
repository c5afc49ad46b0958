"""How many units of a column there can be, and which links are long: by hand."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from rigopt.catalogue.types import Catalogue, Device
from rigopt.needs.types import Needs
from rigopt.optimiser.model.model import columns
from rigopt.optimiser.model.variables import RACK, ClockRoute, Moved, RigVars, upper_of
from rigopt.optimiser.problem.analogue import Inlet, Tap
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


def test_channels_for_microphones_that_come_and_go_by_leads(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Two arrive, four times; one that takes a microphone comes by a direct out, and such a
    one, or one for line alone, is occupied."""
    nothing: Any = None
    rig = RigVars(nothing)
    names: Any = ["own", "comes", "takes", "line"]
    own, comes, takes, line = names
    columns_of: Any = [SimpleNamespace(microphones=2), SimpleNamespace(microphones=0)]
    monkeypatch.setattr(RigVars, "columns", lambda _: [(one, own) for one in columns_of])
    inlet = Inlet("jack", host=True)
    rig.moved = {
        Moved(None, ("mic", Tap("jack", 1)), False): comes,
        Moved(None, ("mic_line", inlet), False): takes,
        Moved(None, ("line", inlet), False): line,
    }
    assert rig.microphones() == [(own, 2), (comes, 1), (takes, -1)]
