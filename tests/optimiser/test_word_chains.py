"""Word clock from unit to unit: which cables a chain takes, and what is at its end."""

from __future__ import annotations

from dataclasses import replace

from rigopt.catalogue.types import Cable, Device
from tests.world import HUB, OPT, PRE, impossible, rig

SHORT = Cable("short", "word clock 1 m", "word", 1000, 100)
LONG = Cable("long", "word clock 4 m", "word", 4000, 5000)
TEE, END = Cable("tee", "", "tee", 0, 300), Cable("end", "", "terminator", 0, 200)
CABLES = (replace(OPT, length_mm=4000), SHORT, LONG, TEE, END)

HOST = Device(
    "host",
    "8 preamps",
    "host",
    10000,
    mic_line=8,
    optical_in=1,
    word_in=1,
    word_out=1,
    clock_in=("word",),
)
BOX = replace(PRE, id="box", optical_in=0, word_in=1, clock_in=("word",), internal_clock=False)
ONE = replace(HUB, optical_in=3, optical_out=0, word_out=1, clock_in=())
FAR = {"host_to_rack_mm": 3000, "within_rack_mm": 500, "max_hops": 1, "max_hosts": 2}
NEAR = {"host_to_rack_mm": 500, "within_rack_mm": 3000}


def test_an_open_end_has_a_terminator_though_others_need_none() -> None:
    """The type with a switch is there to choose, and costs more than a T-piece and an end."""
    opened, ended = replace(BOX, word_end="none"), replace(BOX, id="ended", price=20600)
    found = rig(ONE, opened, ended, mic=8, cables=CABLES)
    assert found.total == 25000 + 20000 + 600 + 100 + 300 + 200
    for missing in (TEE, END):
        cables = tuple(cable for cable in CABLES if cable != missing)
        assert impossible(ONE, opened, mic=8, cables=cables)
        found = rig(ONE, opened, ended, mic=8, cables=cables)
        assert found.total == 25000 + 20600 + 600 + 100


def test_one_of_each_end() -> None:
    """Only the last may be open, and needs the two pieces; the one before takes a T-piece."""
    opened, fixed = replace(BOX, word_end="none"), replace(BOX, id="fixed", word_end="fixed")
    found = rig(ONE, opened, mic=16, cables=CABLES)
    assert found.total == 25000 + 2 * (20000 + 600 + 100) + 2 * 300 + 200
    found = rig(ONE, opened, fixed, mic=16, cables=CABLES)
    assert found.total == 25000 + 2 * (20000 + 600 + 100) + 300
    assert impossible(ONE, fixed, mic=16, cables=CABLES)
    # The open one goes before the other, and then wants no terminator; one of its own would.
    ended = replace(BOX, id="ended", price=20600)
    found = rig(
        replace(ONE, word_out=2), opened, ended, mic=16, require=("ended",), cables=CABLES
    )
    assert found.total == 25000 + 20000 + 20600 + 2 * (600 + 100) + 300


def test_who_could_listen_need_not() -> None:
    """The host, or any of three: one is the master."""
    assert rig(HOST, BOX, mic=16, cables=CABLES).total == 10000 + 20000 + 600 + 100
    few = {"max_hosts": 3, "max_hops": 1}
    assert rig(HOST, mic=24, cables=CABLES, **few).total == 3 * 10000 + 2 * 100 + 300


def test_from_host_to_host_takes_the_run_within_the_rack() -> None:
    """No unit of the rack stands between, whatever would be cheaper."""
    found = rig(HOST, replace(BOX, word_out=1), mic=16, max_hosts=2, cables=CABLES, **NEAR)
    assert found.total == 2 * 10000 + 5000
    assert [unit.role for unit in found.units] == ["host", "host"]


def test_from_host_to_host_round_by_a_box_that_is_there() -> None:
    """Two short runs and a T-piece for one long run."""
    many = {"mic": 24, "max_hosts": 2, **NEAR}
    boxes = 2 * 10000 + 20000 + 600
    assert rig(HOST, BOX, cables=CABLES, **many).total == boxes + 2 * 100 + 300
    # A host last has no end of its own; before the box there would be a long run.
    opened = replace(HOST, word_end="none")
    assert rig(opened, BOX, cables=CABLES, **many).total == boxes + 2 * (100 + 300) + 200
    # One input on an output: no way round.
    both = replace(HOST, word_out=2)
    found = rig(both, BOX, word_inputs=1, cables=CABLES, max_hops=1, **many)
    assert found.total == boxes + 5000 + 100


def test_from_a_host_by_a_host_to_the_rack() -> None:
    """One run to the rack, the other between hosts; the last is the box."""
    found = rig(HOST, BOX, mic=24, cables=CABLES, **FAR)
    assert found.total == 2 * 10000 + 20000 + 600 + 5000 + 100 + 300


def test_round_by_the_rack_if_only_a_host_can_be_last() -> None:
    fixed = replace(HOST, word_end="fixed")
    found = rig(fixed, BOX, mic=24, cables=CABLES, **FAR)
    assert found.total == 2 * 10000 + 20000 + 600 + 2 * 5000 + 300


def test_as_many_inputs_as_an_output_feeds() -> None:
    """Three boxes want three inputs of one output; a host with two feeds two and one."""
    assert impossible(ONE, BOX, mic=24, word_inputs=2, cables=CABLES)
    found = rig(ONE, BOX, mic=24, word_inputs=3, cables=CABLES)
    assert found.total == 25000 + 3 * (20000 + 600 + 100) + 2 * 300
    two = replace(ONE, word_out=2)
    assert rig(two, BOX, mic=24, word_inputs=2, cables=CABLES).total == found.total - 300
    assert impossible(two, BOX, mic=24, word_inputs=1, cables=CABLES)
    assert rig(two, BOX, mic=16, word_inputs=1, cables=CABLES).total == 25000 + 2 * 20700
