"""Sockets, routes, banks and packs where little is open: each by hand."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from rigopt.catalogue.types import Device, Offer, Seller, SocketRef
from rigopt.facts import FORMATS
from rigopt.needs.types import Needs
from rigopt.optimiser.decode import boxes as module
from rigopt.optimiser.decode.baskets import _needed, lines, purchases
from rigopt.optimiser.decode.boxes import Box, _setting, boxes, units
from rigopt.optimiser.decode.places import shut_banks
from rigopt.optimiser.decode.wires import _clock, _returned, _routed, _sent
from rigopt.optimiser.model.model import columns
from rigopt.optimiser.model.variables import RACK, ClockRoute
from rigopt.optimiser.problem.columns import HostColumn
from rigopt.optimiser.problem.problem import state
from rigopt.optimiser.problem.signatures import ClockState, Lock
from rigopt.rig.types import ClockSetting, Purchase, Unit, UnitRole
from tests.world import DESK, OPT, PRE, catalogue, rig

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


def test_units_come_by_their_hosts_and_then_by_their_ids() -> None:
    """Hosts, then what is joined to the first of them, and last what is joined to none."""
    other = replace(PRE, id="other")
    problem = state(catalogue(DESK, PRE, other), Needs(mic=32, max_hosts=2)).apart()
    found = columns(problem, ranks=0)
    hosts = [next(one for one in found.hosts if one.slot == slot) for slot in (0, 1)]
    wanted = [(None, "other"), (1, "other"), (0, "pre-8"), (1, "pre-8")]
    there = {
        next(
            one
            for one in found.satellites
            if (one.wiring.slot, one.device.id) == key and not one.wiring.returns
        ): 1
        for key in wanted
    }
    every: list[Any] = [*hosts, *there]
    clocked = {one.signature: {ALONE: 4} for one in every}
    counted: Any = SimpleNamespace(
        hosts=hosts, satellites=there, clocked=clocked, joined=SimpleNamespace(lines=())
    )

    def told(box: Box) -> Any:
        column: Any = box.column
        return box.place if box.role == "host" else (column.wiring.slot, column.device.id)

    right = [0, 1, (0, "pre-8"), (1, "other"), (1, "pre-8"), (None, "other")]
    assert [told(box) for box in boxes(counted)] == right


def test_a_unit_without_a_link_needs_no_clock_setting() -> None:
    """A host has one all the same."""
    nothing: Any = None
    master = ClockState(Lock("internal"), 0, 0)
    cases: list[tuple[UnitRole, tuple[str, ...], ClockSetting | None]] = [
        ("expander", (), None),
        ("host", (), ClockSetting("internal")),
        ("expander", ("hears",), ClockSetting("internal")),
        ("expander", ("sends",), ClockSetting("internal")),
    ]
    for role, ends, setting in cases:
        box = Box(role, nothing, nothing, master)
        for end in ends:
            getattr(box, end)(PIPE)
        assert _setting(box) == setting


def test_what_is_owned_is_used_first_and_no_more_of_it() -> None:
    problem = state(catalogue(DESK, PRE), Needs(mic=16, owned={"pre-8": 1}))
    nothing: Any = None
    column: Any = SimpleNamespace(device=PRE)
    found = [Box("expander", column, nothing, None, name=name) for name in "ab"]
    assert [unit.owned for unit in units(problem, found)] == [True, False]


def test_states_are_dealt_out_in_order() -> None:
    """Of two boxes that are alike to the clock the first is the first that was counted."""
    problem = state(catalogue(DESK, PRE), Needs(mic=24)).apart()
    found = columns(problem, ranks=0)
    column = found.satellites[0]
    states = (ALONE._replace(hop=1), ALONE)
    counted: Any = SimpleNamespace(
        hosts=(),
        satellites={column: 2},
        clocked={column.signature: dict.fromkeys(states, 1)},
        joined=SimpleNamespace(lines=()),
    )
    assert column.signature is not None
    assert [(box.state, box.site.place) for box in boxes(counted)] == [
        (states[0], 0),
        (states[1], 1),
    ]


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


def test_a_basket_has_a_line_for_each_way_that_is_taken() -> None:
    problem = state(catalogue(DESK, PRE), Needs(mic=16))
    packs = {"pre-8": (2,), "opt-1m": (0,), "desk-8": (1,)}
    bought = [(line.item, line.quantity) for line in lines(problem, packs)]
    assert bought == [("desk-8", 1), ("pre-8", 2)]


def test_packs_that_nobody_needs_are_left_out_and_no_more() -> None:
    """However many pieces are owned besides."""
    problem = state(catalogue(DESK, PRE), Needs(mic=16, owned={"opt-1m": 3}))
    bought = purchases(problem, {"opt-1m": (2,)}, (), (), ())
    assert bought == ()
    there = (Unit("host-1", DESK, "host", None),)
    packs = {"desk-8": (2,), "opt-1m": (1,), "pre-8": (1,), "word-1m": (1,)}
    found = purchases(problem, packs, there, (), ())
    assert [(line.item, line.quantity) for line in found] == [("desk-8", 1)]


def test_a_pack_less_is_so_many_pieces_less() -> None:
    """Three packs of four, at a price each."""
    problem: Any = SimpleNamespace(
        owned=lambda _: 1,
        catalogue=catalogue(),
        needs=SimpleNamespace(exchange={}),
    )
    bought = [Purchase("lead", "", "cable", 3, 500, pack=4)]
    assert not _needed(problem, bought, 0, Counter({"lead": 9}))
    assert _needed(problem, bought, 0, Counter({"lead": 10}))


def test_what_only_makes_a_delivery_free_is_left_out_where_that_saves_nothing() -> None:
    """Beside 300.00: with a lead for 6.00 there is no delivery, which is 6.00 without."""
    seller = Seller("north", "GBP", 600, 30600)
    offers = (Offer("desk-8", "north", 30000), Offer("opt-1m", "north", 600))
    lead = replace(OPT, price=None)
    shop = catalogue(replace(DESK, price=None), cables=(lead,))
    shop = replace(shop, sellers={"north": seller}, offers=offers)
    there = (Unit("host-1", DESK, "host", None),)
    problem = state(shop, Needs(mic=8))
    found = purchases(problem, {"desk-8": (1,), "opt-1m": (1,)}, there, (), ())
    assert [line.item for line in found] == ["desk-8"]


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


def test_each_link_is_in_a_socket_of_its_kind() -> None:
    """Two by coax, and none by light-pipe, whose socket comes first."""
    two = Device("two", "", "expander", 5000, mic_line=2, coax_out=1)
    host = replace(DESK, coax_in=2, rate_converter=("coax",))
    found = rig(host, two, mic=12)
    assert [(link.kind, link.to_socket) for link in found.links] == [("coax", 1), ("coax", 2)]


def test_sockets_of_a_host_to_hand_the_clock_on_by() -> None:
    """Those that send, and those that go both ways."""
    mode = [
        SimpleNamespace(ref=SocketRef("trunk", "in", 1), duplex=False),
        SimpleNamespace(ref=SocketRef("trunk", "in", 2), duplex=True),
        SimpleNamespace(ref=SocketRef("trunk", "out", 3), duplex=False),
    ]
    nothing: Any = None
    sockets: Any = SimpleNamespace(mode=mode)
    column = HostColumn(nothing, 0, nothing, sockets, nothing)
    box = Box("host", column, nothing, None)
    assert [socket.ref.number for socket in box.spare()] == [2, 3]


@pytest.mark.parametrize(
    ("lock", "able", "link"),
    [
        (Lock("shared", PIPE.id), (1, 2, 3), 1),
        (Lock("shared", PIPE.id), (2, 3), 2),
        (Lock("shared", PIPE.id), (), None),
        (Lock("alone", PIPE.id), (1, 2, 3), None),
    ],
)
def test_a_box_locks_to_the_first_link_that_it_can(
    lock: Lock, able: tuple[int, ...], link: int | None
) -> None:
    """Three to its host: two with audio, of which one is cut, at the places that they had."""
    wiring = SimpleNamespace(format=PIPE, links=3, audio=2, cut_link=2, cut=5)
    column: Any = SimpleNamespace(
        wiring=wiring,
        at_rate=SimpleNamespace(carries=lambda _: 8),
        locks_sending=lambda number: number in able,
    )
    nothing: Any = None
    box = Box("expander", column, nothing, ClockState(lock, 1, 0))
    host = Box("host", column, nothing, None, name="host-1")
    box.wishes = {("host-1", PIPE.id): (4, 2)}
    joints = list(_sent(box, column, host))
    assert [one.end.arrives for one in joints] == [8, 5, 0]
    assert [one.end.wish for one in joints] == [4, 2, None]
    assert all(one.audio for one in joints)
    assert (host.ins, box.outs) == ([one.end for one in joints], [one.start for one in joints])
    assert box.clock == (None if link is None else (joints[link - 1].start, host))


@pytest.mark.parametrize("row", [PIPE, BOTH_WAYS])
def test_links_that_feed_outputs(row: Any) -> None:
    """Two; the box shares the first as clock, unless it has its clock from elsewhere.

    One both ways has its last end at the host.
    """
    nothing: Any = None
    column: Any = SimpleNamespace(wiring=SimpleNamespace(returns={row.id: 2}))
    problem: Any = SimpleNamespace(formats={row.id: row})
    for lock in (Lock("shared", row.id), Lock("alone", row.id)):
        box = Box("expander", column, nothing, ClockState(lock, 1, 0))
        host = Box("host", column, nothing, None, name="host-1")
        joints = list(_returned(problem, box, column, host))
        theirs, own = (host, box) if row is PIPE else (box, host)
        assert [(one.sender, one.receiver) for one in joints] == [(theirs, own)] * 2
        assert theirs.outs == [one.start for one in joints]
        assert own.ins == [one.end for one in joints]
        assert not any((theirs.ins, own.outs))
        assert [one.audio for one in joints] == [row is PIPE] * 2
        ends = box.ins if row is PIPE else box.outs
        shares = lock.by == "shared"
        assert [end.locks for end in ends] == [shares, False]
        assert box.clock == ((ends[0], host) if shares else None)


def test_a_socket_that_shows_no_channels_brings_the_clock() -> None:
    """All that the computer sees are the host's own."""
    star = Device("star", "", "clock", 5000, optical_out=1)
    host = replace(DESK, max_in_1x=8, internal_clock=False, coax_in=0)
    found = rig(host, star, mic=8, master="clock")
    assert found.total == 30000 + 5000 + 600


def at_host(spoken: dict[SocketRef, Any] | None, shown: tuple[int, ...]) -> Box:
    """A host with two inputs for two formats, of 8 channels and of 4; `shown`: those that the
    computer sees."""
    refs = [SocketRef("optical", "in", number) for number in (1, 2)]
    mode = [SimpleNamespace(ref=ref, formats=(PIPE, BOTH_WAYS), locks=True) for ref in refs]

    def showing(spoken: dict[SocketRef, Any]) -> Any:
        numbers = {ref: range(8 if spoken.get(ref, PIPE) is PIPE else 4) for ref in refs}
        seen = {ref: found for ref, found in numbers.items() if ref.number in shown}
        return SimpleNamespace(sockets=seen)

    at_rate: Any = SimpleNamespace(showing=showing)
    nothing: Any = None
    sockets: Any = (mode, spoken)
    return Box("host", HostColumn(at_rate, 0, nothing, sockets, nothing), nothing, None)


def test_a_link_is_in_a_socket_that_was_reckoned_to_speak_its_format() -> None:
    host = at_host({SocketRef("optical", "in", 1): BOTH_WAYS}, (1, 2))
    first, second = host.hears(PIPE, 8), host.hears(BOTH_WAYS, 4)
    host.deal()
    assert (first.number, second.number) == (2, 1)
    wide = at_host({SocketRef("optical", "in", 1): BOTH_WAYS}, (1, 2))
    wide.hears(BOTH_WAYS, 8)  # it brings no more than 4
    assert not wide.can_deal()
    clock = at_host({SocketRef("optical", "in", 1): BOTH_WAYS}, (1, 2))
    last = clock.hears(PIPE, locks=True, alone=True)
    audio = clock.hears(BOTH_WAYS, 4)
    clock.deal()
    assert (audio.number, last.number) == (1, 2)
    alone = at_host({SocketRef("optical", "in", 1): BOTH_WAYS}, (1, 2))
    alone.hears(PIPE, 8)
    assert not alone.can_deal()  # the first would be empty
    full = at_host({SocketRef("optical", "in", 1): BOTH_WAYS}, (1, 2))
    full.hears(BOTH_WAYS, 4)
    full.hears(PIPE, 8)
    assert full.can_deal()
    full.hears(PIPE, 8)  # more links than sockets
    assert not full.can_deal()


def test_a_link_for_the_clock_alone_is_in_the_last_socket() -> None:
    """Either would do for both, and the first must not be empty."""
    host = at_host({SocketRef("optical", "in", 1): PIPE}, (1, 2))
    alone, audio = host.hears(PIPE, locks=True, alone=True), host.hears(PIPE, 8)
    host.deal()
    assert (audio.number, alone.number) == (1, 2)


def test_channels_arrive_where_the_computer_sees_them() -> None:
    host = at_host(None, (2,))
    one = host.hears(PIPE, 1)
    host.deal()
    assert one.number == 2
    none = at_host(None, ())
    none.hears(PIPE, 1)
    assert not none.can_deal()
    sender = at_host(None, ())
    sender.sends(BOTH_WAYS)  # it brings none
    assert sender.can_deal()


def test_links_keep_the_sockets_that_they_had_where_all_fit_in_so() -> None:
    host = at_host(None, (1, 2))
    first, second = host.hears(PIPE, 8), host.hears(PIPE, 8)
    for wish in (2, 1):
        first.wish = wish
        host.deal()
        assert (first.number, second.number) == (wish, 3 - wish)
    first.wish = second.wish = 2
    host.deal()
    assert (first.number, second.number) == (2, 1)
