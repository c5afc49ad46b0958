"""What the audit says of locks: to which socket, of which cable, and how it is put."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from rigopt.catalogue.types import SocketRef
from rigopt.output.words.findings import change, says
from rigopt.rig.audit import audit_wiring
from rigopt.rig.audit.finding import Rule
from rigopt.rig.audit.locks import check_carries, check_lowest
from rigopt.rig.audit.trees import check_trees
from rigopt.rig.audit.wiring import Wiring
from rigopt.rig.types import ClockSetting, Link, Unit
from tests.rig import link_worlds as worlds
from tests.rig.link_worlds import BOTH, HUB, STAGE, STILL
from tests.rig.rig_builders import (
    INTERNAL,
    OPT,
    TICK,
    WORD,
    World,
    locked,
    master,
    with_device,
    with_link,
    with_unit,
)
from tests.wires import link


def told(world: World, rule: Rule) -> list[str]:
    rig = world.rig
    found = audit_wiring(rig.units, rig.links, rig.rate_hz)
    return [f"{says(one)}: {change(one)}" for one in found if one.rule == rule]


CABLE = "trunk both-12 expander-1 1 -> host-1 2"


@pytest.mark.parametrize("end", ["host-1", "expander-1"])
def test_who_is_locked_to_a_cable_that_is_said_to_carry_no_clock(end: str) -> None:
    world = worlds.staged()
    if end == "host-1":
        world = with_unit(world, "expander-1", clock=INTERNAL)
        world = with_unit(world, "host-1", clock=ClockSetting("trunk", 2, "expander-1"))
    assert told(with_link(world, 0, carries=("audio",)), "carries-clock") == [
        f"the cable {CABLE} is said to carry no clock; {end} is locked to it:"
        f" put 'clock' in what it carries, or change what {end} is locked to"
    ]


def test_nobody_is_locked_to_a_cable_that_is_said_to_carry_clock() -> None:
    world = with_unit(worlds.staged(), "expander-1", clock=INTERNAL)
    assert told(world, "carries-clock") == [
        f"the cable {CABLE} is said to carry clock; host-1 is not locked to it:"
        " leave out 'clock' in what it carries, or change what host-1 is locked to"
    ]


def test_over_a_cable_both_ways_the_setting_says_from_whom_the_clock_comes() -> None:
    """The host at the same socket says that it hangs on another unit."""
    units = [
        locked("host-1", HUB, "host", "trunk", 2, "host-2"),
        master("host-2", HUB),
        locked("expander-1", STAGE, "expander", "trunk", 1, "host-1"),
    ]
    one = link(BOTH, "expander-1", 1, "host-1", 2, 12, ("audio", "clock"), None, back=8)
    assert list(check_carries(Wiring(tuple(units), (one,), 48000))) == []
    units[2] = master("expander-1", STAGE, "expander")
    (found,) = check_carries(Wiring(tuple(units), (one,), 48000))
    assert found.fact("does") == "is not"
    # Over one of one way it can come from its start alone.
    light = link("optical", "expander-1", 1, "host-1", 2, 8, ("clock",), None)
    units[0] = locked("host-1", HUB, "host", "optical", 2, "host-2")
    assert list(check_carries(Wiring(tuple(units), (light,), 48000))) == []


@pytest.mark.parametrize(
    ("clock_in", "kind", "listed"),
    [
        (("word", SocketRef("trunk", "in", 2)), "trunk 1", "word, trunk 2"),
        (("word", SocketRef("optical", "in", 2)), "trunk", "word, optical 2"),
        ((), "trunk", "nothing"),
    ],
)
def test_what_a_unit_locks_to(clock_in: Any, kind: str, listed: str) -> None:
    world = with_device(worlds.staged(), "expander-1", clock_in=clock_in)
    (said,) = told(world, "clock-kind")
    assert said.startswith(f"expander-1 is locked to {kind}; stage locks to {listed}:")


def test_a_lock_without_a_number_is_told_as_one() -> None:
    world = with_unit(worlds.staged(), "expander-1", clock=ClockSetting("trunk", None, None))
    (said,) = told(world, "clock-link")
    assert said.startswith(
        "expander-1 is locked to trunk input without a number, and no cable is in it:"
    )


def test_the_rates_of_a_unit_are_told() -> None:
    world = worlds.staged()
    (said,) = told(with_device(world, "expander-1", rates_hz=(44100, 96000)), "rate")
    assert "stage runs at 44.1 kHz, 96 kHz:" in said
    (said,) = told(with_device(world, "expander-1", rates_hz=()), "rate")
    assert "stage runs at no rate:" in said


def test_a_circle_is_told_from_its_first_unit_with_the_change_that_opens_it() -> None:
    """One of the three, or a cable from outside where there is a master."""
    names = ("a", "b", "c")
    box = replace(TICK, word_in=1, word_out=2, clock_in=("word",))
    before = {"a": "c", "b": "a", "c": "b"}
    units = [locked(n, box, "clock", "word", 1, before[n]) for n in names]
    cables = [link("word", before[n], 1, n, 1, 0, ("clock",), WORD) for n in names]
    (found,) = [one for one in audit_wiring(units, cables, 48000) if one.rule == "clock-loop"]
    assert (found.fact("unit"), found.fact("circle")) == ("a", "b -> c -> a -> b")
    assert change(found) == "set a to its internal clock"
    # Of those with an input left the next after the first is taken, then the others.
    for spare, opened in (("abc", "b"), ("ac", "c"), ("a", "a")):
        wide = [replace(u, device=replace(box, word_in=1 + (u.name in spare))) for u in units]
        (found,) = [
            one
            for one in audit_wiring([*wide, master("d", TICK, "clock")], cables, 48000)
            if one.rule == "clock-loop"
        ]
        assert change(found) == (
            f"plug a word cable from d out 1 into {opened} in 2, and lock {opened} to it"
        )


def two_cables(low: Link, high: Link, unit: Unit, more: tuple[Unit, ...] = ()) -> list[str]:
    """What is said where the host is locked to the higher of two sockets."""
    units = (unit, master("expander-1", TWO, "expander"), *more)
    found = check_lowest(Wiring(units, (low, high), 48000))
    return [f"{one.fact('said')} {one.fact('socket')}" for one in found]


TWO = replace(
    worlds.PAIR, optical_out=2, optical_1x=2, optical_stereo=2, word_out=2, coax_out=2
)


def light(out: int, into: int, *carries: Any, sender: str = "expander-1") -> Link:
    return link("optical", sender, out, "host-1", into, 2, carries or ("audio",), OPT)


def host(**more: Any) -> Unit:
    return locked("host-1", replace(HUB, **more), "host", "optical", 2, "expander-1")


HIGH = light(2, 2, "audio", "clock")


def test_a_lower_socket_would_do() -> None:
    assert two_cables(light(1, 1), HIGH, host()) == ["2 1"]


@pytest.mark.parametrize(
    ("low", "more"),
    [
        # Another kind of socket, a higher one, and one without a cable that is alive.
        (
            link("coax", "expander-1", 1, "host-1", 1, 2, ("audio",), OPT),
            {"clock_in": ("optical", "coax")},
        ),
        (light(1, 3), {"optical_in": 3, "optical_1x": 3}),
        (light(1, 1), {"optical_1x": 0, "optical_stereo": 0}),
        (light(3, 1), {}),
        (light(0, 1), {}),
        (light(1, 0), {}),
        # One that the host cannot lock to.
        (light(1, 1), {"clock_in": (SocketRef("optical", "in", 2),)}),
    ],
)
def test_a_lower_socket_would_not_do(low: Link, more: dict[str, Any]) -> None:
    assert two_cables(low, HIGH, host(**more)) == []


def test_a_cable_that_brings_clock_alone_is_there_for_it() -> None:
    assert two_cables(light(1, 1), light(2, 2, "clock"), host()) == []
    # But not one that brings clock to another socket.
    assert two_cables(light(1, 1, "clock"), HIGH, host()) == ["2 1"]


def test_a_unit_farther_from_the_master_would_not_do() -> None:
    far = locked("expander-2", TWO, "expander", "optical", 1, "host-1")
    assert two_cables(light(1, 1, sender="expander-2"), HIGH, host(), (far,)) == []
    other = master("expander-2", TWO, "expander")
    assert two_cables(light(1, 1, sender="expander-2"), HIGH, host(), (other,)) == []


def test_a_format_without_clock_would_not_do() -> None:
    box = replace(TWO, trunk=STILL, trunk_out=2)
    hub = replace(HUB, trunk=STILL)
    units = (
        locked("host-1", hub, "host", "trunk", 2, "expander-1"),
        master("expander-1", box, "expander"),
    )
    both = [link(STILL, "expander-1", n, "host-1", n, 1, ("audio",), None) for n in (1, 2)]
    assert list(check_lowest(Wiring(units, tuple(both), 48000))) == []


@pytest.mark.parametrize(
    "clock",
    [
        None,
        INTERNAL,
        ClockSetting("optical", None, "expander-1"),
        ClockSetting("optical", 2, "ghost"),
    ],
)
def test_of_what_hangs_on_no_socket_of_a_tree_no_lower_one_is_told(
    clock: ClockSetting | None,
) -> None:
    assert two_cables(light(1, 1), HIGH, replace(host(), clock=clock)) == []


def test_hosts_run_on_clocks_of_their_own_only_where_that_is_said() -> None:
    units = worlds.two_hosts().rig.units
    assert [one.rule for one in check_trees(Wiring(units, (), 48000))] == ["clock-hosts"]
    assert list(check_trees(Wiring(units, (), 48000, own_clocks=True))) == []
