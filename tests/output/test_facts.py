"""What is told of a rig, picked from it: each by hand, on rigs as small as can be."""

from __future__ import annotations

import datetime
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from rigopt.answers.outcome import Answered, Impossible, OutOfTime
from rigopt.answers.series import Column, Curve, Point, Scenario
from rigopt.catalogue.types import Blank, Device, SocketRef, Source
from rigopt.facts import Format
from rigopt.needs.types import Needs, SourceLine
from rigopt.output.facts.bill import Basket, baskets, beyond_need, old, paid_in
from rigopt.output.facts.cables import bundles, pieces, strands
from rigopt.output.facts.changes import Changes, changes
from rigopt.output.facts.clocks import (
    chains,
    clock_goes_back,
    crossing,
    from_master,
    goes_back,
    goes_there,
    own_clocks,
    trees,
)
from rigopt.output.facts.compare import values
from rigopt.output.facts.curve import levels, marks, proven
from rigopt.output.facts.inputs import (
    Empty,
    alike,
    box,
    empty,
    in_use,
    jack_only,
    lines,
    microphones,
    silent,
    unheard,
)
from rigopt.output.facts.optical import by_hand, longer_than
from rigopt.output.facts.outputs import Feed, feeds, outputs
from rigopt.output.facts.sockets import Sockets, free_sockets
from rigopt.output.facts.steps import Flat, flats, none_from
from rigopt.output.facts.units import labels, mix
from rigopt.output.facts.wants import wants
from rigopt.rig.counts import ItemCounts
from rigopt.rig.types import ClockSetting, Input, Link, Purchase, Rig, Unit
from tests.output.rigs import CATALOGUE, DESK, INTERNAL, LEAD, LONG, RACK, ordered, sixteen
from tests.rig.link_worlds import BOTH
from tests.wires import link as wired

PHONES = Device("cans-4", "Headphone amplifier", "headphones", 5000, phones=4, line_out=2)
PREAMP = Device("pre-4", "Preamp", "preamp", 9000, mic=4, direct_out=2)
BOX = Device("box", "DI box", "di", 4000)


def link(kind: str | Format, *ends: Any) -> Link:
    """A link of no named cable, unless one comes last."""
    return wired(kind, *ends) if len(ends) == 7 else wired(kind, *ends, None)


def unit(name: str, device: Device, role: Any, clock: Any = None) -> Unit:
    return Unit(name, device, role, clock)


def on(source: Any, socket: int, name: str) -> ClockSetting:
    return ClockSetting(source, socket, name)


def rig(*units: Unit, links: Any = (), inputs: Any = (), rate: int = 48_000) -> Rig:
    return Rig(rate, units, tuple(links), tuple(inputs), (), 0, 0)


def at(number: int, use: Source | None = None, **more: Any) -> Input:
    """An input of the first host; of any use where none is said."""
    accepts = more.pop("accepts", ("mic", "line"))
    fields: dict[str, Any] = {"unit": "host-1", "channel": number, "phantom": False} | more
    return Input(number, accepts=accepts, use=use, **fields)


HOST = unit("host-1", DESK, "host", INTERNAL)
FAR = unit("expander-1", RACK, "expander", on("optical", 1, "host-1"))
LINE = link("analogue", "preamp-1", 1, "host-1", 3, 1, ("audio",))


# --- inputs ----------------------------------------------------------------------------------


def test_inputs_in_use_are_those_with_a_use_if_any_has_one() -> None:
    used = rig(HOST, inputs=[at(1), at(2, "line"), at(3, "mic")])
    assert [one.computer_input for one in in_use(used)] == [2, 3]
    assert [one.computer_input for one in microphones(used)] == [3]


def test_where_no_use_is_stated_a_microphone_may_be_on_what_takes_one() -> None:
    any_use = rig(HOST, inputs=[at(1), at(2, accepts=("line",))])
    assert [one.computer_input for one in in_use(any_use)] == [1, 2]
    assert [one.computer_input for one in microphones(any_use)] == [1]


@pytest.mark.parametrize(
    ("path", "there"), [((), None), (("host-1",), None), (("di-1", "host-1"), "di-1")]
)
def test_the_box_of_a_source(path: tuple[str, ...], there: str | None) -> None:
    assert box(at(1, "instrument", path=path)) == there
    assert jack_only(at(1, "instrument", phantom=True, path=path)) is (there is None)


@pytest.mark.parametrize(
    ("use", "phantom", "only"),
    [("line", True, True), ("mic", True, False), (None, True, False), ("line", False, False)],
)
def test_a_jack_alone_where_48_v_meets_no_microphone(
    use: Source | None, phantom: bool, only: bool
) -> None:
    assert jack_only(at(1, use, phantom=phantom)) is only


def test_a_direct_out_is_the_way_of_the_channel_behind_it() -> None:
    """Of four channels the first two have direct outs."""
    third = replace(LINE, from_socket=3, to_socket=5)
    second = replace(LINE, from_socket=2, to_socket=4)
    units = (HOST, unit("preamp-1", PREAMP, "preamp"))
    assert lines(units, (LINE, second, third)) == {
        ("preamp-1", 1): ("host-1", 3),
        ("preamp-1", 2): ("host-1", 4),
    }


def test_channels_that_are_of_no_use() -> None:
    """Two of the preamp's four arrive, and occupy two of the interface's own eight."""
    preamp = unit("preamp-1", PREAMP, "preamp")
    leads = (LINE, replace(LINE, from_socket=2, to_socket=4))
    arriving = [at(3, unit="preamp-1", channel=1), at(4, unit="preamp-1", channel=2)]
    own = [at(n) for n in (1, 2, 5, 6, 7, 8)]
    found = rig(HOST, preamp, unit("di-1", BOX, "di"), links=leads, inputs=arriving + own)
    assert list(unheard(found.units, found.links, found.inputs)) == [(preamp, 2)]
    assert list(silent(found)) == [(preamp, [3, 4])]


def test_a_channel_that_another_occupies_is_of_use() -> None:
    preamp = unit("preamp-1", PREAMP, "preamp")
    far = unit("expander-1", replace(RACK, mic_line=2), "expander", INTERNAL)
    leads = [replace(LINE, from_socket=n, to_unit="expander-1", to_socket=n) for n in (1, 2)]
    arriving = [at(n, unit="preamp-1", channel=n) for n in (1, 2)]
    assert list(unheard((far, preamp), leads, arriving)) == [(preamp, 2)]


def test_numbers_of_the_computer_on_which_nothing_arrives() -> None:
    """After two blanks, eight of its own, a coax socket and two light-pipes."""
    host = replace(
        DESK, optical_in=2, input_order=(Blank(2, 2, 2), "analogue", "coax", "optical")
    )
    units = (unit("host-1", host, "host", INTERNAL), FAR)
    own = [at(n + 2, channel=n) for n in range(1, 9)]
    far = [at(n + 20, unit="expander-1", channel=n) for n in range(1, 9)]
    cable = link("optical", "expander-1", 1, "host-1", 2, 8, ("audio",), LEAD)
    assert empty(rig(*units, links=[cable], inputs=own + far)) == [
        Empty("host-1", SocketRef("coax", "in", 1), (11, 12)),
        Empty("host-1", SocketRef("optical", "in", 1), tuple(range(13, 21))),
        Empty("host-1", None, (1, 2)),
    ]


def runs(*inputs: Input, known: Any = (), told: Any = lambda _: None) -> list[tuple[int, int]]:
    return [(run.first_input, run.last_input) for run, _ in alike(inputs, dict(known), told)]


def test_inputs_of_which_the_same_is_told_are_one_run() -> None:
    assert runs(at(1, "mic"), at(2, "mic"), at(3, "line")) == [(1, 2), (3, 3)]
    assert runs(at(1), at(2), at(3, accepts=("line",))) == [(1, 2), (3, 3)]
    assert runs(at(1, "mic"), at(2, "mic", accepts=("mic",))) == [(1, 2)]
    assert runs(at(1), at(2, phantom=True)) == [(1, 1), (2, 2)]
    assert runs(at(1, source="Bass"), at(2, source="Voice")) == [(1, 1), (2, 2)]
    assert runs(at(1), at(2, path=("di-1", "host-1"))) == [(1, 1), (2, 2)]
    assert runs(at(1), at(2), told=lambda one: one.channel) == [(1, 1), (2, 2)]
    assert runs(at(1), at(3), at(4)) == [(1, 1), (3, 4)]


def test_the_first_input_stands_for_its_run() -> None:
    found = alike([at(1), at(2), at(5), at(6)], {}, lambda _: None)
    assert [one.computer_input for _, one in found] == [1, 5]


def test_a_run_goes_side_by_side_through_another_unit() -> None:
    known = {("host-1", n): ("expander-1", n + 4) for n in (1, 2)} | {
        ("host-1", 3): ("expander-1", 1)
    }
    assert runs(at(1), at(2), at(3), at(4), known=known) == [(1, 2), (3, 3), (4, 4)]


# --- clocks ----------------------------------------------------------------------------------


def test_clocks_from_the_master_on() -> None:
    """A chain of three, told backwards, and a box without a clock."""
    last = unit("expander-2", RACK, "expander", on("optical", 1, "expander-1"))
    preamp = unit("preamp-1", PREAMP, "preamp")
    units = (preamp, last, FAR, HOST)
    assert [one.name for one in from_master(units)] == [
        *("host-1", "expander-1", "expander-2", "preamp-1")
    ]
    assert trees(units) == {"host-1": ["expander-2", "expander-1"]}


def test_links_between_two_clocks() -> None:
    other = unit("host-2", replace(DESK, rate_converter=("optical",)), "host", INTERNAL)
    audio = link("optical", "expander-1", 1, "host-2", 1, 8, ("audio",))
    same = replace(audio, to_unit="host-1")
    clock = replace(same, to_unit="host-2", carries=("clock",))
    line = replace(LINE, from_unit="expander-1", to_unit="host-2")
    found = rig(HOST, other, FAR, links=(same, audio, clock, line))
    assert crossing(found) == [audio]
    bare = rig(HOST, replace(other, device=DESK), FAR, links=(same, audio, clock, line))
    assert crossing(bare) == []  # a fault, and nothing that joins them
    assert own_clocks(found) == ["host-2"]
    assert own_clocks(rig(HOST, FAR)) == []


TRUNK = link(BOTH, "expander-1", 1, "host-1", 2, 8, ("audio", "clock"))
"""A duplex cable."""


@pytest.mark.parametrize(
    ("setting", "back"),
    [
        (on("trunk", 1, "host-1"), True),
        (on("trunk", 2, "host-1"), False),
        (on("word", 1, "host-1"), False),
        (on("trunk", 1, "host-2"), False),
        (INTERNAL, False),
        (None, False),
    ],
)
def test_which_way_a_clock_goes_over_a_duplex_cable(setting: Any, back: bool) -> None:
    units = (HOST, unit("expander-1", RACK, "expander", setting))
    cable = replace(TRUNK, channels=0)
    assert clock_goes_back(cable, units) is back
    assert goes_back(cable, units) is back
    assert goes_there(cable, units) is not back


def test_audio_goes_both_ways_over_a_duplex_cable_and_one_way_over_others() -> None:
    units = (HOST, unit("expander-1", RACK, "expander", on("trunk", 1, "host-1")))
    assert goes_there(TRUNK, units)
    assert not goes_there(replace(TRUNK, channels=0, carries=("audio",)), units)
    assert goes_back(replace(TRUNK, back=1), (HOST,))
    assert not goes_back(TRUNK, (HOST,))
    optical = link("optical", "expander-1", 1, "host-1", 1, 0, ("clock",))
    assert goes_there(optical, units)
    assert goes_there(replace(optical, channels=0, carries=()), units)
    assert not clock_goes_back(
        optical, [unit("expander-1", RACK, "expander", on("optical", 1, "host-1"))]
    )


def test_cables_of_word_clock_by_their_output() -> None:
    first = link("word", "clock-1", 1, "host-1", 1, 0, ("clock",))
    then = replace(first, to_unit="expander-1", after="host-1")
    last = replace(first, to_unit="expander-2", after="expander-1")
    other = replace(first, from_socket=2, to_unit="host-2")
    far = replace(other, to_unit="expander-3", after="host-2")
    optical = link("optical", "expander-1", 1, "host-1", 1, 8, ("audio",))
    found = chains((last, far, optical, first, then, other))
    assert found == [[first, then, last], [other, far]]
    alone = replace(first, to_unit="expander-4", from_unit="clock-2")
    assert chains((alone, then)) == [[alone]]


# --- outputs ---------------------------------------------------------------------------------


def test_outputs_that_count_are_of_hosts_and_of_what_a_cable_feeds() -> None:
    """A light-pipe to an expander feeds 8, a duplex cable back 2; an amplifier's own none."""
    far = unit("expander-2", RACK, "expander")
    cables = (
        link("optical", "host-1", 1, "expander-1", 1, 2, ("audio",)),
        replace(TRUNK, from_unit="expander-2", back=1),
        replace(LINE, to_unit="expander-1"),
    )
    found = rig(unit("cans-1", PHONES, "headphones"), HOST, FAR, far, links=cables)
    assert outputs(found) == [
        *(("host-1", n) for n in (1, 2, 3, 4)),
        *(("expander-1", n) for n in (1, 2)),
        ("expander-2", 1),
    ]


def test_amplifiers_take_the_last_outputs_as_far_as_they_go() -> None:
    """Five phones on four outputs are fewer than six on three."""
    wide = unit("cans-1", replace(PHONES, line_in=4, phones=5), "headphones")
    one = unit("cans-2", replace(PHONES, line_in=1, phones=2), "headphones")
    two = unit("cans-3", PHONES, "headphones")
    assert feeds(rig(HOST, wide, one, two)) == [
        Feed(wide, ()),
        Feed(one, (("host-1", 4),)),
        Feed(two, (("host-1", 2), ("host-1", 3))),
    ]


def test_of_amplifiers_that_do_the_same_the_first_is_fed() -> None:
    cans = [unit(f"cans-{n}", replace(PHONES, line_in=3), "headphones") for n in (1, 2)]
    assert [len(feed.outputs) for feed in feeds(rig(HOST, *cans))] == [3, 0]


def test_headphones_at_a_host_take_no_line_outputs() -> None:
    many = replace(HOST, device=replace(DESK, phones=20, line_out=2))
    (found,) = feeds(rig(many, unit("cans-1", replace(PHONES, line_in=2), "headphones")))
    assert found.outputs == (("host-1", 1), ("host-1", 2))


# --- what 48 V is for ------------------------------------------------------------------------


def test_who_wants_48_v_by_the_counts() -> None:
    """An instrument in a box, and a line, are no microphones."""
    inputs = [
        at(1, "mic", path=("di-1", "host-1")),
        at(2, "line", phantom=True),
        *(at(n, "mic", phantom=n < 6) for n in range(3, 9)),
    ]
    told = wants(inputs, Needs(mic=6, phantom=2, no_phantom=1))
    assert told == {3: "on", 4: "on", 5: "any", 6: "off", 7: "any", 8: "any"}


def test_who_wants_48_v_by_the_list() -> None:
    listed = (SourceLine("Voice", "mic", "on"), SourceLine("Ribbon", "mic", "off"))
    inputs = [at(1, "mic", source="Ribbon"), at(2, "mic"), at(3, "mic", source="Voice")]
    assert wants(inputs, Needs(mic=3, sources=listed)) == {1: "off", 2: "any", 3: "on"}


# --- cables ----------------------------------------------------------------------------------


def test_cables_as_they_lie_on_the_floor() -> None:
    """A digital one; a piece to two units; and another piece to one of them."""
    digital = link("optical", "expander-1", 1, "host-1", 1, 8, ("audio",), LEAD)
    ways = [replace(LINE, to_socket=n, piece=1) for n in (1, 2)]
    split = replace(ways[0], to_unit="host-2", to_socket=1)
    second = replace(ways[0], to_socket=3, piece=2)
    links = (digital, *ways, split, second)
    assert [(one.numbers, one.links) for one in pieces(links)] == [
        ((1,), (digital,)),
        ((2,), (*ways, split)),
        ((3,), (second,)),
    ]
    assert [(one.numbers, one.links) for one in strands(links)] == [
        ((1,), (digital,)),
        ((2,), tuple(ways)),
        ((2,), (split,)),
        ((3,), (second,)),
    ]
    assert [(one.numbers, one.links) for one in bundles(links)] == [
        ((1,), (digital,)),
        ((2, 3), (*ways, second)),
        ((2,), (split,)),
    ]


def test_what_came_and_what_goes_elsewhere() -> None:
    """Of three leads one stays, one goes elsewhere and one is of another type."""
    cables = [
        link("optical", f"expander-{n}", 1, "host-1", n, 8, ("audio",), LEAD) for n in (1, 2)
    ]
    before = rig(HOST, FAR, links=cables)
    moved = replace(cables[1], to_socket=3)
    come = [
        replace(moved, from_socket=n, to_socket=n + 4, cable=c)
        for n, c in ((2, LEAD), (3, LONG))
    ]
    preamp = unit("preamp-1", PREAMP, "preamp")
    switched = replace(HOST, phantom_banks_on=(1,))
    after = rig(switched, FAR, preamp, links=[cables[0], moved, *come])
    assert changes(before, after) == Changes(
        {"host-1": "changed", "preamp-1": "new"}, {2: "changed", 3: "new", 4: "new"}
    )
    assert changes(before, before) == Changes({}, {})
    assert changes(rig(HOST), after).cables == {1: "new", 2: "new", 3: "new", 4: "new"}


def test_a_clock_that_comes_from_another_box_by_the_same_socket_is_no_change() -> None:
    other = replace(FAR, clock=on("optical", 1, "host-2"))
    by_word = replace(FAR, clock=on("word", 1, "host-1"))
    assert changes(rig(FAR), rig(other)).units == {}
    assert changes(rig(FAR), rig(by_word)).units == {"expander-1": "changed"}


@pytest.mark.parametrize("beyond", [0, 1])
def test_a_light_pipe_beyond_what_is_sure_to_work(beyond: int) -> None:
    """5 m, as facts say of the format."""
    cable = link(
        "optical", "a", 1, "b", 1, 8, ("audio",), replace(LEAD, length_mm=5_000 + beyond)
    )
    assert longer_than(cable) == (5_000 if beyond else None)
    assert longer_than(replace(cable, cable=None)) is None


def test_a_light_pipe_with_fewer_channels_does_not_tell_the_rate() -> None:
    cable = link("optical", "a", 1, "b", 1, 8, ("audio",))
    assert [by_hand(cable, rate) for rate in (48_000, 96_000)] == [False, True]
    assert not by_hand(link("coax", "a", 1, "b", 1, 2, ("audio",)), 96_000)
    assert not by_hand(TRUNK, 96_000)


# --- sockets and units -----------------------------------------------------------------------


def test_sockets_without_a_cable() -> None:
    """Coax shares the receiver of the light-pipe in use; at 96 kHz two of three work."""
    ins = [SocketRef("optical", "in", 1), SocketRef("coax", "in", 1)]
    device = replace(DESK, optical_in=3, optical_2x=2, either=(tuple(ins),), rates_hz=(96_000,))
    cable = link("optical", "expander-1", 1, "host-1", 1, 4, ("audio",))
    found = free_sockets([unit("host-1", device, "host")], [cable], 96_000)
    told = {(one.kind, one.way): (one.free, one.dead) for one in found}
    assert told["optical", "input"] == ((2,), 1)
    assert told["coax", "input"] == ((), 0)
    assert told["optical", "output"] == ((1,), 0)
    assert told["word", "input"] == ((), 0)
    assert found[0].unit == "host-1"
    free = free_sockets([unit("host-1", device, "host")], [], 96_000)
    assert Sockets("host-1", "coax", "input", (1,), 0) in free


def test_hosts_come_first_in_a_mix() -> None:
    other = unit("expander-2", replace(RACK, id="a-rack", label="A"), "expander")
    units = (other, FAR, HOST, FAR)
    assert list(mix(units).items()) == [("desk-8", 1), ("a-rack", 1), ("rack-8", 2)]
    assert list(labels(units).items()) == [
        *(("desk-8", DESK.label), ("a-rack", "A"), ("rack-8", RACK.label))
    ]


# --- money -----------------------------------------------------------------------------------


def test_what_is_bought_where() -> None:
    """23400 is the far seller's price; 499 and 220 are delivery and tax of the other."""
    bought, _ = ordered()
    plain = replace(bought.purchases[2], least=25000)
    found = baskets(replace(bought, purchases=(*bought.purchases[:2], plain)), "GBP")
    assert [(x.seller, x.currency, x.paid, x.paid_from) for x in found] == [
        (None, "GBP", 30000, 25000),
        ("corner", "GBP", 1319, 1319),
        ("far", "EUR", 23400, 23400),
    ]
    assert isinstance(found[0], Basket)
    assert paid_in(bought.purchases[0], [], "GBP") == "GBP"


@pytest.mark.parametrize(("days", "asked"), [(60, False), (61, True)])
def test_a_price_that_is_to_be_asked_again(days: int, asked: bool) -> None:
    line = Purchase("x", "X", "device", 1, 1, as_of=datetime.date(2025, 1, 1))
    today = datetime.date(2025, 1, 1) + datetime.timedelta(days)
    assert old(line, today) is asked
    assert not old(replace(line, as_of=None), today)


@pytest.mark.parametrize(
    ("left", "packs", "beyond"),
    [(4, [5], 0), (5, [5], 5), (7, [5, 5], 5), (7, [2, 5], 7), (3, [2, 2, 1], 3), (0, [1], 0)],
)
def test_whole_packs_beyond_need(left: int, packs: list[int], beyond: int) -> None:
    bought = sum(packs)
    counts = ItemCounts("x", "X", "cable", bought - left, 0, bought)
    shelf = [Purchase("x", "X", "cable", 1, 1, pack) for pack in packs]
    assert beyond_need(counts, [Purchase("y", "Y", "cable", 9, 1), *shelf]) == beyond


# --- series ----------------------------------------------------------------------------------


def priced(total: int, host: Device = DESK, sure: bool = True) -> Answered:
    box_ = unit("host-1", host, "host", INTERNAL)
    return Answered(replace(sixteen(), units=(box_, FAR), total=total), total, sure)


OTHER = replace(DESK, id="other")
RATES = {"EUR": Decimal("1.25"), "JPY": Decimal(150)}


def test_points_of_a_curve_with_a_rig() -> None:
    points = (
        Point(4, priced(100)),
        Point(8, OutOfTime(1.0)),
        Point(9, priced(100, sure=False)),
        Point(10, priced(300, OTHER)),
        Point(11, Impossible()),
    )
    curve = Curve((4, 8, 9, 10, 11), points)
    shown = marks(curve)
    assert [(x.mic, x.step, x.moved) for x in shown] == [
        *((4, None, False), (9, 0, False), (10, 200, True))
    ]
    assert [[x.mic for x in level] for level in levels(shown)] == [[4, 9]]
    assert not proven(shown)
    assert proven(shown[:1])
    assert none_from(curve) == 11
    assert none_from(replace(curve, points=points[:4])) is None


def test_neighbours_of_one_price_and_one_mix_are_one_flat() -> None:
    mixes = {"desk-8": 1, "rack-8": 1}
    others = {"other": 1, "rack-8": 1}
    points = (Point(4, priced(100)), Point(6, priced(100)), Point(9, priced(100, OTHER)))
    between = (Point(5, priced(100)), Point(8, priced(100)), Point(10, priced(101, OTHER)))
    found = flats(Curve((4, 6, 9), points, between=between))
    assert found == [
        Flat(4, 6, 100, mixes, {"desk-8": 1}, False),
        Flat(8, 8, 100, mixes, {"desk-8": 1}, False),
        Flat(9, 9, 100, others, {"other": 1}, True),
        Flat(10, 10, 101, others, {"other": 1}, False),
    ]


def test_a_later_flat_goes_on_too() -> None:
    points = (Point(4, priced(100)), Point(5, priced(101)), Point(6, priced(101)))
    found = flats(Curve((4, 5, 6), points))
    assert [(one.first, one.last) for one in found] == [(4, 4), (5, 6)]


def test_channels_of_a_host_are_not_told_as_those_of_another() -> None:
    assert list(unheard((HOST, FAR), (), ())) == [(FAR, 0)]


def test_columns_in_several_currencies() -> None:
    """1 pound is 1.25 euros or 150 yen, which have no pence: half a penny is rounded up."""
    shops = [replace(CATALOGUE, currency=name) for name in ("GBP", "EUR", "JPY", "USD")]
    ends = (priced(1000), priced(1251), priced(301), priced(1))
    columns = [
        Column(Scenario("", shop, Needs()), end) for shop, end in zip(shops, ends, strict=True)
    ]
    shown = values([*columns, Column(columns[0].scenario, Impossible())], RATES)
    assert [x.converted for x in shown] == [1000, 1001, 201, None, None]
    assert [x.difference for x in shown] == [0, 1, -799, None, None]
    assert [x.number for x in shown] == [1, 2, 3, 4, 5]
    assert (shown[0].bound, shown[4].bound, shown[4].total) == (1000, None, None)
    assert shown[0].cables == {"optical": 1}
    assert shown[4].cables == {}


def test_a_difference_needs_a_first_column_with_a_rig() -> None:
    columns = [
        Column(Scenario("", CATALOGUE, Needs()), end) for end in (Impossible(), priced(5))
    ]
    assert [x.difference for x in values(columns, {})] == [None, None]
