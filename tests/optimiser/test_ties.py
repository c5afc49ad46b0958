"""Which of several equal answers is given: by ids, and by the order of sockets."""

from __future__ import annotations

from dataclasses import replace

from rigopt.catalogue.types import Device
from rigopt.optimiser.search.ties import Mix, place
from tests.world import DESK, HUB, PRE, rig


def test_more_of_the_first_id_comes_first() -> None:
    mixes = [
        Mix({"a": 2}, {}),
        Mix({"a": 1, "b": 2}, {}),
        Mix({"a": 1, "b": 1, "c": 1}, {}),
        Mix({"b": 2}, {}),
        Mix({"c": 3}, {}),
    ]
    for number, one in enumerate(mixes):
        for later in mixes[number + 1 :]:
            assert place(one, later) < place(later, one)


def test_of_equal_hosts_the_first_by_id_are_taken() -> None:
    """Of one host, and of two that are wired apart from each other."""
    twins = [replace(DESK, id=name) for name in ("twin-b", "twin-a", "twin-c")]
    assert [unit.device.id for unit in rig(*twins, mic=8).units] == ["twin-a"]
    two = rig(*twins, mic=16, max_hosts=2)
    assert [unit.device.id for unit in two.units] == ["twin-a", "twin-a"]


def test_a_link_for_the_clock_alone_takes_the_last_input() -> None:
    """One hop at most: host and expander both hang on the generator."""
    generator = Device("star", "", "clock", 5000, optical_out=1, word_out=1)
    hub = replace(HUB, internal_clock=False)
    follower = replace(PRE, optical_in=0, word_in=1, clock_in=("word",), internal_clock=False)
    found = rig(generator, hub, follower, mic=8, max_hops=1)
    into = {link.carries: link.to_socket for link in found.links if link.to_unit == "host-1"}
    assert into == {("audio",): 1, ("clock",): 4}
