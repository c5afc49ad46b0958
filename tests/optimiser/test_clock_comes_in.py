"""By which link the clock comes in, where more than one would do: worked out by hand."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from types import SimpleNamespace
from typing import Any

import pytest

from rigopt.catalogue.types import Device, SocketRef
from rigopt.facts import FORMATS
from rigopt.optimiser.decode import wires as module
from rigopt.optimiser.decode.boxes import End
from rigopt.optimiser.decode.lowest import lock_to_lowest
from rigopt.optimiser.decode.wires import Joint, _lock_to_audio, wires
from rigopt.optimiser.problem.signatures import INTERNAL, ClockState, Lock
from tests.world import HUB, OPT, PRE, WORD, rig

PIPE, COAX = FORMATS["light-pipe"], FORMATS["coax"]
SHARED = Lock("shared", PIPE.id)
MASTER = ClockState(INTERNAL, 0, 0)
ONE_AWAY = ClockState(SHARED, 1, 0)


@dataclass(eq=False)
class Unit:
    """A unit whose sockets are dealt; `locking`: the numbers of those it can lock to."""

    name: str
    state: ClockState | None = MASTER
    locking: tuple[int, ...] = (1, 2, 3, 4)
    clock: Any = None
    ins: list[End] = field(default_factory=list)
    dead: tuple[int, ...] = ()
    """Numbers of sockets to which it cannot lock without moving others."""

    @property
    def column(self) -> Any:
        mode = [
            SimpleNamespace(ref=SocketRef(kind, "in", n), locks=n in self.locking)
            for kind in ("optical", "coax")
            for n in (1, 2, 3, 4)
        ]
        return SimpleNamespace(mode=mode)

    def can_deal(self) -> bool:
        return not any(end.locks and end.number in self.dead for end in self.ins)


def into(number: int, row: Any = PIPE, **more: Any) -> End:
    return End(row, socket=SocketRef(row.socket, "in", number), **more)


def lowest(first: tuple[End, Unit], *others: tuple[End, Unit], **more: Any) -> int:
    """The number of the socket that a unit locks to, first locked to the first of these."""
    unit: Any = Unit("host-1", ONE_AWAY, clock=first, **more)
    ways: Any = [(unit, *way) for way in (first, *others)]
    lock_to_lowest(ways)
    found: int = unit.clock[0].number
    return found


def test_the_lowest_of_links_that_bring_the_same_clock() -> None:
    master = Unit("expander-1")
    first = into(3), master
    assert lowest(first, (into(4), master), (into(2), master)) == 2
    assert lowest(first) == 3
    # Not one that cannot lock, is there for the clock alone, or is of another kind.
    assert lowest(first, (into(2), master), locking=(1, 3)) == 3
    assert lowest(first, (into(2, alone=True), master)) == 3
    assert lowest(first, (into(2, COAX), master)) == 3
    assert lowest((into(3, alone=True), master), (into(2), master)) == 3
    # Nor one from a unit that is as far from the master, or on another clock.
    for state in (ONE_AWAY, MASTER._replace(tree=1), None):
        assert lowest(first, (into(2), Unit("expander-2", state))) == 3
    assert lowest(first, (into(2), Unit("expander-2"))) == 2


def test_over_a_link_both_ways_each_hears_the_other() -> None:
    """A box that sends by two of them, locked to the second, is locked to the first."""
    both = PIPE._replace(id="both", duplex=True)
    host: Any = Unit("host-1")
    for row, number in ((both, 1), (PIPE, 2)):
        box: Any = Unit("expander-1", ONE_AWAY, clock=(into(2, row), host))
        joints = [Joint(box, into(n, row), host, into(n, row)) for n in (1, 2)]
        lock_to_lowest([way for joint in joints for way in joint.ways()])
        assert box.clock[0].number == number


def test_the_clock_comes_in_on_the_lowest_when_all_is_wired(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Of two links from a host, told in the order of their sockets."""
    host: Any = Unit("host-1")
    box: Any = Unit("expander-1", ONE_AWAY, clock=(into(2), host))
    joints = [Joint(host, into(number), box, into(number)) for number in (1, 2)]
    monkeypatch.setattr(module, "_clock", lambda *_: joints)
    nothing: Any = None
    found = wires(nothing, [], nothing)
    assert [(one.from_socket, one.to_socket) for one in found] == [(1, 1), (2, 2)]
    assert box.clock[0].number == 1


def test_who_is_master_locks_to_nothing() -> None:
    unit: Any = Unit("host-1", MASTER)
    far: Any = Unit("expander-1", ONE_AWAY)
    lock_to_lowest([(unit, into(1), far)])
    assert unit.clock is None


def shared(state: ClockState, *senders: tuple[Unit, End], **more: Any) -> int | None:
    """The number of the socket where a host takes the clock by a link with audio."""
    host: Any = Unit("host-1", state, ins=[end for _, end in senders], **more)
    every: Any = senders
    joints = [Joint(unit, End(end.row), host, end) for unit, end in every]
    other: Any = Unit("host-2")
    _lock_to_audio(host, [joints[0]._replace(receiver=other, end=into(9)), *joints])
    locked = [end.number for end in host.ins if end.locks]
    if host.clock is None:
        assert not locked
        return None
    end, unit = host.clock
    assert locked == [end.number]
    assert (unit, end) in senders
    return int(end.number)


def test_a_host_locks_to_the_first_link_that_leaves_the_rest_enough() -> None:
    master = Unit("expander-1")
    there = [(master, into(3)), (master, into(1))]
    assert shared(ONE_AWAY, *there) == 3
    assert shared(ONE_AWAY, *[(u, into(e.number)) for u, e in there], dead=(3,)) == 1
    assert shared(ONE_AWAY, (master, into(1)), dead=(1,)) is None


def test_rather_to_one_that_leaves_more_where_they_were() -> None:
    """No socket is dealt anew here, so that what has moved is the same for each: the first."""
    master = Unit("expander-1")
    assert shared(ONE_AWAY, (master, into(2, wish=1)), (master, into(3, wish=3))) == 2


class OneLocks(Unit):
    """A unit of two sockets of which only the first locks."""

    def can_deal(self) -> bool:
        for end in self.ins:
            end.socket = SocketRef("optical", "in", 1 if end.locks else 2)
        return True


def test_rather_to_the_one_that_can_stay_at_the_socket_that_locks() -> None:
    master: Any = Unit("expander-1")
    away, stays = End(PIPE, wish=2), End(PIPE, wish=1)
    host: Any = OneLocks("host-1", ONE_AWAY, ins=[away, stays])
    _lock_to_audio(host, [Joint(master, End(PIPE), host, end) for end in (away, stays)])
    assert host.clock == (stays, master)


@pytest.mark.parametrize(
    ("sender", "end"),
    [
        (MASTER._replace(hop=1), {}),
        (MASTER._replace(tree=1), {}),
        (ClockState(SHARED, 0, 0), {}),
        (None, {}),
        (MASTER, {"row": COAX}),
        (MASTER, {"alone": True}),
    ],
)
def test_a_link_that_brings_no_clock_to_a_host(
    sender: ClockState | None, end: dict[str, Any]
) -> None:
    assert shared(ONE_AWAY, (Unit("expander-1", sender), into(1, **end))) is None


@pytest.mark.parametrize("state", [MASTER, ClockState(Lock("alone", PIPE.id), 1, 0)])
def test_a_host_that_shares_no_link_locks_to_none(state: ClockState) -> None:
    assert shared(state, (Unit("expander-1"), into(1))) is None


def test_who_hands_on_the_clock_is_where_the_cable_was_counted() -> None:
    """Two outputs of the clock, one of the host and one of a box: all are in use."""
    star = Device("star", "", "clock", 5000, word_out=2)
    hub = replace(HUB, optical_out=0, word_in=1, word_out=1, clock_in=("word",))
    words: dict[str, Any] = {"word_in": 1, "clock_in": ("word",), "internal_clock": False}
    last = replace(PRE, id="last", optical_in=0, line_out=0, **words)
    tells = replace(last, id="tells", price=30000, word_out=1)
    near, far = replace(WORD, id="near", length_mm=500, price=100), replace(WORD, price=900)
    wish: dict[str, Any] = {"mic": 24, "master": "clock", "cables": (near, far, OPT)}
    found = rig(hub, last, tells, star, **wish)
    boxes = 2 * 20000 + 30000 + 3 * 600
    assert found.total == 25000 + boxes + 5000 + 2 * 900 + 2 * 100
    types = {unit.name: unit.device.id for unit in found.units}
    clock = [
        (types[link.from_unit], types[link.to_unit])
        for link in found.links
        if link.kind == "word"
    ]
    assert sorted(clock) == [
        ("hub-4", "last"),
        ("star", "hub-4"),
        ("star", "tells"),
        ("tells", "last"),
    ]
