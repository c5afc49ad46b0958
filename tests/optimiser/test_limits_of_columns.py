"""How many units of a column there can be, and which links are long: by hand."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from ortools.sat.python import cp_model

from rigopt.catalogue.types import Catalogue, Device
from rigopt.needs.types import Needs
from rigopt.optimiser.model.model import columns
from rigopt.optimiser.model.sockets import _wants
from rigopt.optimiser.model.variables import RACK, Chain, ClockRoute, Moved, RigVars, upper_of
from rigopt.optimiser.problem.analogue import Inlet, Tap
from rigopt.optimiser.problem.ports import Use
from rigopt.optimiser.problem.problem import state
from rigopt.optimiser.problem.signatures import INTERNAL, ClockState, Lock
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


def test_what_is_wanted_of_the_sockets_of_one_host() -> None:
    """Links of its boxes, of which some are locked to; what is at other hosts is not."""
    names: Any = ["boxes", "locked", "elsewhere", "alone", "own", "routes", "chains", "far"]
    boxes, locked, elsewhere, alone, own, routes, chains, far = names
    into, out = Use("in", "adat", 8), Use("out", "adat")
    column = SimpleNamespace(uses=((into, 2), (out, 1)))
    states = {
        ClockState(Lock("alone", "word"), 1, 0): alone,
        ClockState(Lock("shared", "adat"), 1, 0): own,
        ClockState(INTERNAL, 0, 0): own,
    }
    rig: Any = SimpleNamespace(
        joined=lambda slot: [(column, boxes)] if slot == 1 else [],
        locked={(1, "adat", 8): [(locked, 1)], (0, "adat", 8): [(elsewhere, 1)]},
        at=lambda slot: [(None, states)] if slot == 1 else [],
        routes={
            ClockRoute("adat", 1, 0, 1, RACK): routes,
            ClockRoute("adat", 1, 0, RACK, 1): far,
            ClockRoute("adat", 1, 0, 0, 1): far,
        },
        chains={
            Chain(1, 0, 1, False, "switch"): chains,
            Chain(1, 0, RACK, True, "switch"): far,
        },
    )
    assert _wants(rig, 1) == {
        into: [(boxes, 2), (locked, -1)],
        Use("in", "adat", 8, locks=True): [(locked, 1)],
        out: [(boxes, 1), (routes, 1)],
        Use("in", "word", locks=True): [(alone, 1)],
        Use("out", "word"): [(chains, 1)],
    }


@pytest.mark.parametrize("sale", [0, 5])
def test_what_a_rig_costs(sale: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """What is paid less what could be sold; or the regret, where that is what counts."""
    problem: Any = SimpleNamespace(sale=sale)
    paid, one, regret = (cp_model.CpModel().new_int_var(0, 9, name) for name in "por")
    rig = RigVars(problem, one=one)
    monkeypatch.setattr(rig, "spent", lambda: [(paid, 3)])
    assert rig.net() == [(paid, 3), *([(one, -5)] if sale else [])]
    rig.counted = [(paid, 2)]
    assert rig.net() == [(paid, 2), *([(one, -5)] if sale else [])]
    rig.regret = regret
    assert rig.net() == [(regret, 1)]
