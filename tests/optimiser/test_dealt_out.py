"""Sockets, routes, banks and packs where little is open: each by hand."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from rigopt.catalogue.types import SocketRef
from rigopt.facts import FORMATS
from rigopt.needs.types import Needs
from rigopt.optimiser.decode import boxes as module
from rigopt.optimiser.decode.baskets import purchases
from rigopt.optimiser.decode.boxes import Box
from rigopt.optimiser.decode.places import shut_banks
from rigopt.optimiser.decode.wires import _clock, _routed
from rigopt.optimiser.model.variables import RACK, ClockRoute
from rigopt.optimiser.problem.problem import state
from rigopt.optimiser.problem.signatures import ClockState, Lock
from rigopt.rig.types import Unit
from tests.world import DESK, PRE, catalogue

PIPE = FORMATS["light-pipe"]
ALONE = ClockState(Lock("alone", PIPE.id), 2, 0)


def test_each_waits_for_one_route() -> None:
    """Three at one place: one is fed by the host, two by the rack."""
    found: Any = [
        SimpleNamespace(name="host-1", place=0, state=ALONE),
        *(SimpleNamespace(name=name, place=RACK, state=ALONE) for name in "abc"),
        SimpleNamespace(name="d", place=RACK, state=ALONE._replace(hop=1)),
    ]
    by_host = ClockRoute(PIPE.id, 2, 0, 0, RACK)
    by_rack = ClockRoute(PIPE.id, 2, 0, RACK, RACK)
    counted: Any = SimpleNamespace(routes={by_host: 1, by_rack: 2})
    problem: Any = SimpleNamespace(formats=FORMATS)
    routed = [
        (one.hop, one.tree, one.end, one.row, *(heard.box.name for heard in one.listeners))
        for one in _routed(problem, found, counted)
    ]
    assert routed == [
        (2, 0, 0, PIPE, "a"),
        (2, 0, RACK, PIPE, "b"),
        (2, 0, RACK, PIPE, "c"),
    ]


def test_the_last_socket_that_brings_the_clock_hands_on_none(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Of sockets both ways one is taken where the clock comes in by a link for it alone."""

    def socket(number: int, duplex: bool, *formats: str) -> Any:
        rows = [SimpleNamespace(id=name) for name in formats]
        return SimpleNamespace(
            ref=SocketRef("trunk", "in" if duplex else "out", number),
            duplex=duplex,
            formats=rows,
        )

    left = [
        socket(2, True, "ring"),
        socket(1, True, "ring", "other"),
        socket(3, True, "other"),
        socket(4, False, "ring"),
    ]
    monkeypatch.setattr(module, "OwnSockets", lambda *_: SimpleNamespace(left_out=left))
    column: Any = SimpleNamespace(wiring=None, mode=None)
    site: Any = None

    def spare(lock: Lock) -> list[int]:
        box = Box("expander", column, site, ClockState(lock, 1, 0))
        return sorted(socket.ref.number for socket in box.spare())

    assert spare(Lock("internal")) == [1, 2, 3, 4]
    assert spare(Lock("shared", "ring")) == [1, 2, 3, 4]
    assert spare(Lock("alone", "ring")) == [2, 3, 4]
    assert spare(Lock("alone", "other")) == [1, 2, 4]
    assert spare(Lock("alone", "word")) == [1, 2, 3, 4]


def test_which_banks_stay_off() -> None:
    """Those into whose XLR a direct out is plugged."""
    host = Unit("host-1", replace(DESK, line_plug="xlr"), "host", None)
    jack = Unit("host-2", DESK, "host", None)
    dry = Unit("host-3", replace(DESK, line_plug="xlr", phantom_bank=0), "host", None)

    def shut(to: str, socket: int, kind: str = "analogue") -> Any:
        link: Any = SimpleNamespace(kind=kind, to_unit=to, to_socket=socket)
        return shut_banks([host, jack, dry], [link])

    assert shut("host-1", 4) == {("host-1", 1)}
    assert shut("host-1", 5) == {("host-1", 2)}
    assert shut("host-1", 1, "optical") == set()
    assert shut("host-2", 5) == shut("host-3", 5) == set()


def test_packs_that_nobody_needs_are_left_out_and_no_more() -> None:
    """However many pieces are owned besides."""
    problem = state(catalogue(DESK, PRE), Needs(mic=16, owned={"opt-1m": 3}))
    bought = purchases(problem, {"opt-1m": (2,)}, (), (), ())
    assert bought == ()
    units = (Unit("host-1", DESK, "host", None),)
    found = purchases(problem, {"desk-8": (1,), "opt-1m": (1,)}, units, (), ())
    assert [(line.item, line.quantity) for line in found] == [("desk-8", 1)]


class Part:
    """A unit that has one socket to hand the clock on by, and any to take it."""

    def __init__(self, name: str, hop: int, lock: Lock) -> None:
        self.name, self.role = name, name.partition("-")[0]
        self.place = int(name[-1]) - 1 if self.role == "host" else RACK
        self.state = ClockState(lock, hop, 0)
        self.clock: Any = None

    def spare(self) -> list[Any]:
        return [SimpleNamespace(formats=(PIPE, BOTH_WAYS))]

    def sends(self, _: Any) -> tuple[str, str]:
        return self.name, "out"

    def hears(self, _: Any, *, locks: bool, alone: bool) -> tuple[str, str]:
        assert locks
        assert alone
        return self.name, "in"


BOTH_WAYS = PIPE._replace(id="both", duplex=True)


@pytest.mark.parametrize(
    ("row", "sender", "receiver", "turned", "audio"),
    [
        (PIPE, "host-1", "expander-1", False, True),
        (PIPE, "host-1", "host-2", False, False),
        (PIPE, "expander-1", "host-1", False, False),
        (PIPE, "expander-1", "expander-2", False, True),
        (BOTH_WAYS, "host-1", "expander-1", True, False),
        (BOTH_WAYS, "expander-1", "host-1", False, False),
        (BOTH_WAYS, "expander-1", "expander-2", False, False),
        (BOTH_WAYS, "host-1", "host-2", False, False),
    ],
)
def test_a_link_for_the_clock(
    row: Any, sender: str, receiver: str, turned: bool, audio: bool
) -> None:
    """One that may feed outputs besides; of those both ways the end at the host is last."""
    one, other = Part(sender, 0, Lock("internal")), Part(receiver, 1, Lock("alone", row.id))
    route = ClockRoute(row.id, 1, 0, one.place, other.place)
    problem: Any = SimpleNamespace(formats={row.id: row})
    counted: Any = SimpleNamespace(routes={route: 1}, chains={}, followers={})
    found: Any = [one, other]
    (joint,) = _clock(problem, found, counted)
    ends: list[Any] = [(joint.sender.name, joint.start), (joint.receiver.name, joint.end)]
    right = [(sender, (sender, "out")), (receiver, (receiver, "in"))]
    assert ends == (right[::-1] if turned else right)
    assert joint.audio is audio
    assert other.clock == ((receiver, "in"), one)


def test_links_for_the_clock_come_hop_by_hop_from_where_they_were_counted() -> None:
    alone = Lock("alone", PIPE.id)
    found: Any = [
        Part("host-1", 1, alone),
        Part("expander-1", 0, Lock("internal")),
        Part("expander-2", 1, alone),
        Part("expander-3", 2, alone),
        Part("expander-4", 3, alone),
    ]
    routes = {
        ClockRoute(PIPE.id, 3, 0, RACK, RACK): 1,
        ClockRoute(PIPE.id, 2, 0, RACK, RACK): 1,
        ClockRoute(PIPE.id, 1, 0, RACK, 0): 1,
    }
    counted: Any = SimpleNamespace(routes=routes, chains={}, followers={})
    problem: Any = SimpleNamespace(formats=FORMATS)
    joints = list(_clock(problem, found, counted))
    assert [(one.sender.name, one.receiver.name) for one in joints] == [
        ("expander-1", "host-1"),
        ("expander-2", "expander-3"),
        ("expander-3", "expander-4"),
    ]
    # The host is as near to the master; of one hop it goes as the routes were counted.
    routes[ClockRoute(PIPE.id, 2, 0, 0, RACK)] = 1
    routes[ClockRoute(PIPE.id, 2, 0, RACK, RACK)] = routes.pop(
        ClockRoute(PIPE.id, 2, 0, RACK, RACK)
    )
    found.append(Part("expander-5", 2, alone))
    joints = list(_clock(problem, found, counted))
    assert [(one.sender.name, one.receiver.name) for one in joints] == [
        ("expander-1", "host-1"),
        ("host-1", "expander-3"),
        ("expander-2", "expander-5"),
        ("expander-3", "expander-4"),
    ]
