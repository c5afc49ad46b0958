"""A type stays in sight for one thing alone; the cheaper one beside it has all the rest."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from rigopt.answers.outcome import Answered
from rigopt.catalogue.types import Cable, Device, Extra
from rigopt.needs.types import Needs
from rigopt.optimiser.problem.columns import HostColumn
from rigopt.optimiser.problem.dominance import _Judge
from rigopt.optimiser.problem.ports import Hosting, Port
from rigopt.optimiser.problem.problem import state
from rigopt.optimiser.questions.plan import solve
from tests.world import DESK, HUB, catalogue, rig

CHEAP = Device("cheap", "", "expander", 10000, mic_line=8, optical_out=2)
"""Two outputs: one may carry the clock alone."""

WORD = replace(CHEAP, id="word", price=12000, word_out=1)
DEAF_HUB = replace(HUB, id="deaf", optical_out=0)
FOLLOWER = Device(
    "follower",
    "",
    "expander",
    5000,
    mic_line=8,
    optical_out=1,
    word_in=1,
    clock_in=("word",),
    internal_clock=False,
)
"""It locks to word clock and to nothing else."""


def test_for_one_kind_of_output_that_is_free() -> None:
    """250.00 + 120.00 + 50.00, two optical cables and one for word clock."""
    found = rig(DEAF_HUB, CHEAP, WORD, FOLLOWER, mic=16)
    assert {unit.device.id for unit in found.units} == {"deaf", "word", "follower"}
    assert found.total == 25000 + 12000 + 5000 + 2 * 600 + 900


def test_for_one_format_of_a_socket() -> None:
    """Only the dearer host takes the stereo that the small box sends."""
    pipe, both = replace(DESK, price=20000), replace(DESK, id="both", optical_stereo=1)
    small = Device(
        "small",
        "",
        "expander",
        4000,
        mic_line=2,
        optical_out=1,
        optical_1x=0,
        optical_stereo=1,
    )
    assert rig(pipe, both, small, mic=10).total == 30000 + 4000 + 600


PREAMP = Device("preamp-4", "", "preamp", 9000, mic=4, phantom_bank=4, direct_out=4)
LEAD = Cable("lead", "", "analogue", 1000, 500, ends=("jack", "jack"))
LINES = replace(DESK, id="lines", line=4)
BOX = Device("box", "", "di", 2000, inst=1, di_phantom=True)


def test_for_inputs_of_lines_that_no_source_asks_for() -> None:
    """Direct outs go into them; the cheaper host has inputs for instruments instead."""
    cheap = replace(DESK, id="cheap", price=29000, inst=4)
    found = rig(cheap, LINES, PREAMP, mic=12, cables=(LEAD,))
    assert found.total == 30000 + 9000 + 4 * 500


def test_for_inputs_of_microphones_that_no_source_asks_for() -> None:
    """A DI box goes into one; the cheaper host has inputs for lines instead."""
    cheap = replace(DESK, id="cheap", price=29000, mic_line=0, line=8, phantom_bank=0)
    found = rig(cheap, DESK, replace(BOX, di_phantom=False), instrument=1)
    assert found.total == 30000 + 2000


@pytest.mark.parametrize(
    ("boxes", "needs"), [([], {"mic": 2, "phantom": 2}), ([BOX], {"instrument": 1})]
)
def test_for_48_v_that_microphones_ask_for_or_di_boxes(
    boxes: list[Device], needs: dict[str, Any]
) -> None:
    """The cheaper host has none."""
    cheap = replace(DESK, id="cheap", price=29000, phantom_bank=0)
    assert rig(cheap, DESK, *boxes, **needs).total == 30000 + 2000 * len(boxes)


@pytest.mark.parametrize(("per", "column"), [("mains", "mains"), ("rack_unit", "rack_units")])
def test_for_room_that_is_paid_for_and_not_limited(per: Any, column: str) -> None:
    """The cheaper host takes one more plug, or one more rack unit, at 20.00 each."""
    small = replace(DESK, mains=1)
    more: dict[str, Any] = {column: 2}
    large = replace(small, id="large", price=29000, **more)
    extra = Extra("room", "", per, 2000)
    shop = replace(catalogue(small, large), extras={"room": extra})
    found = solve(shop, Needs(mic=8))
    assert isinstance(found, Answered)
    assert found.rig.total == 30000 + 2000


def test_for_being_required() -> None:
    """It has to be there, so it had better be the one that is joined."""
    wanted = replace(CHEAP, id="wanted", price=10100)
    found = rig(HUB, CHEAP, wanted, mic=8, require=("wanted",))
    assert found.total == 25000 + 10100 + 600


@pytest.mark.parametrize(
    ("better", "other", "does"),
    [((), (), True), ((), (1,), True), ((1,), (1,), True), ((1,), (), False)],
)
def test_a_host_whose_numbers_hang_on_its_links_replaces_only_one_of_the_same(
    better: tuple[int, ...], other: tuple[int, ...], does: bool
) -> None:
    """Told by how many sockets must hold a link of another format than their first."""
    port = Port("optical", "in", (("light-pipe", 8), ("other", 2)), True)
    nothing: Any = None
    at_rate: Any = SimpleNamespace(device=DESK)

    def host(held: tuple[int, ...]) -> HostColumn:
        ports = tuple((port, number) for number in held)
        return HostColumn(at_rate, 0, Hosting(8, ((port, 2),), ports), nothing, nothing)

    judge = _Judge(state(catalogue(DESK), Needs(mic=8)), 1, frozenset())
    assert judge._as_host(host(better), host(other)) is does
