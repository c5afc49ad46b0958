"""A type stays in sight for one thing alone; the cheaper one beside it has all the rest."""

from __future__ import annotations

from dataclasses import replace

from rigopt.catalogue.types import Device
from tests.world import DESK, HUB, rig

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
