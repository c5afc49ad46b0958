"""What is said in a picture of cables, units and sources: rigs and cables made by hand."""

from __future__ import annotations

from dataclasses import replace
from random import Random
from typing import Any

import pytest

from rigopt.facts import FORMATS
from rigopt.output.facts.cables import Bundle, bundles
from rigopt.output.page.picture.build import build
from rigopt.output.page.picture.cables import box, load, sending, told, wire
from rigopt.output.page.picture.homes import homes
from rigopt.output.page.picture.lanes import with_lanes
from rigopt.output.page.picture.legend import legend, remarks
from rigopt.output.page.picture.marks import NO_MARKS, Mark, Marks
from rigopt.output.page.picture.order import Order, Stem, _moved, _walked, best_order, lanes
from rigopt.output.page.picture.sources import groups, outs, shown
from rigopt.output.page.picture.types import Group, Out, Row, Section, Stack, Tap, Wire
from rigopt.rig.types import ClockSetting, Link, Unit
from tests.output.rigs import DESK, LEAD, RACK, lone, sixteen
from tests.output.test_repair_steps import END, TEE, WORD
from tests.rig.link_worlds import BOTH
from tests.sheets.analogue import boxed, heard, led
from tests.sheets.linked import apart, chained
from tests.sheets.rigs import clocked
from tests.wires import link

RIG = sixteen()
LIGHT = RIG.links[0]


def drawn(cable: Link, at: str | None = "expander-1", marks: Marks = NO_MARKS) -> Wire:
    (bundle,) = bundles((cable,))
    return wire(bundle, RIG, marks, at)


def test_a_cable_that_begins_at_the_unit_at_its_left() -> None:
    assert drawn(LIGHT) == Wire(
        *("1", "both", False, True, "optical out 1", "light-pipe", "1 m", "", "8 ch + clock"),
        "Cable 1: light-pipe, from expander-1 out 1 to host-1 in 1, carries 8 channels of "
        "audio and clock",
    )


def test_a_cable_that_ends_there_or_comes_from_a_lane() -> None:
    ends = drawn(LIGHT, "host-1")
    assert (ends.left, ends.right, ends.socket) == (True, False, "optical in 1")
    lane = drawn(LIGHT, None)
    assert (lane.left, lane.right, lane.socket) == (False, True, "expander-1 optical out 1")
    after = drawn(replace(WORD, after="host-9"), None)
    assert after.socket == "host-9 word tee"


def test_a_cable_both_ways_has_two_arrows() -> None:
    cable = link(BOTH, "expander-1", 1, "host-1", 2, 8, ("audio",), LEAD, back=4)
    both = drawn(cable)
    assert (both.left, both.right, both.carries) == (True, True, "8 ch, 4 ch back")
    assert both.told.endswith("carries 8 channels of audio and 4 channels back")
    back = drawn(replace(cable, channels=0))
    assert (back.left, back.right, back.carries) == (True, False, "4 ch back")
    assert (drawn(replace(cable, back=0)).left, drawn(replace(cable, back=0)).right) == (
        False,
        True,
    )


def test_what_sits_on_a_cable_and_how_long_it_is() -> None:
    assert drawn(WORD).fitted == ""
    assert drawn(replace(WORD, tee=TEE)).fitted == "T-piece"
    assert drawn(replace(WORD, tee=TEE, terminator=END)).fitted == "T-piece and terminator"
    assert drawn(WORD).carries == "clock only"
    assert drawn(WORD).told.endswith(" to host-1 in 1, carries clock")
    assert drawn(replace(LIGHT, cable=None)).length == ""
    assert drawn(replace(LIGHT, cable=replace(LEAD, length_mm=0))).length == ""


def test_analogue_cables_between_two_units_are_one() -> None:
    ways = [
        link("analogue", "preamp-1", n, "host-1", n + 4, 1, ("audio",), LEAD) for n in (1, 2)
    ]
    (bundle,) = bundles(ways)
    mark, other = Mark("fault", "x"), Mark("new")
    marks = Marks(cables={1: (mark,), 2: (mark, other)})
    found = wire(bundle, RIG, marks, "preamp-1")
    assert (found.numbers, found.load, found.carries) == ("1–2", "analogue", "2 ch")
    assert (found.socket, found.marks) == ("direct out 1–2", (mark, other))
    assert found.told == (
        "Cables 1–2: analogue line, from preamp-1 direct out 1–2 to host-1 in 5–6, carries 2 "
        "channels"
    )
    assert told(bundles(ways[:1])[0], RIG.units).startswith("Cable 1: analogue line, from ")
    assert (mark.told, other.told) == ("Fault: x", "New")


@pytest.mark.parametrize(
    ("carries", "what"),
    [(("audio", "clock"), "both"), (("audio",), "audio"), (("clock",), "clock")],
)
def test_what_a_cable_carries_is_its_style(carries: Any, what: str) -> None:
    assert load(replace(LIGHT, carries=carries)) == what
    assert load(replace(LIGHT, carries=carries, format=FORMATS["analogue"])) == "analogue"


def test_where_several_cables_begin() -> None:
    ticks = [replace(WORD, from_socket=n, to_socket=n) for n in (2, 3, 5)]
    assert sending(bundles(ticks)) == "word out 2–3, 5"
    assert sending(bundles([replace(WORD, after="host-1")])) == "word tee"


@pytest.mark.parametrize(
    ("unit", "part", "clock", "master"),
    [
        (RIG.units[0], "", "locked to expander-1 by optical in 1", False),
        (RIG.units[1], "", "clock master", True),
        (Unit("host-1", DESK, "host", None), "", "needs no clock", False),
        (Unit("stage", RACK, "expander", None), "expander", "needs no clock", False),
        (Unit("box", RACK, "di", None), "DI box", "", False),
        (Unit("ears", RACK, "headphones", None), "headphone amplifier", "", False),
        (
            Unit("host-1", DESK, "host", ClockSetting("optical", 1)),
            *("", "locked by optical in 1", False),
        ),
        (
            Unit(
                "host-1",
                replace(DESK, trunk=BOTH, trunk_in=1),
                "host",
                ClockSetting("trunk", 1, "x"),
            ),
            *("", "locked to x by trunk socket 1", False),
        ),
    ],
)
def test_the_head_of_a_unit(unit: Unit, part: str, clock: str, master: bool) -> None:
    found = box(unit, Marks(units={unit.name: (Mark("new"),)}))
    assert (found.name, found.part, found.clock, found.master) == (
        *(unit.name, part, clock, master),
    )
    assert found.marks == (Mark("new"),)
    assert found.label == f"{unit.device.id}: {unit.device.label}"


def test_sources_of_a_unit_say_what_a_hand_at_the_plug_must_know() -> None:
    """Of 48 V above all: no ribbon microphone where it is on, and no XLR plug."""
    host, far = RIG.units
    assert groups(RIG, host, {}) == [
        Group("mic", "2 microphones", "48 V on", "1–2", "inputs 1–2"),
        Group("spare", "2 free", "for mic or line, 48 V on", "3–4", "inputs 3–4"),
        Group("spare", "4 free", "for mic or line", "5–8", "inputs 5–8"),
    ]
    assert groups(RIG, far, {}) == [
        Group("mic", "8 microphones", "48 V off: may be ribbon", "1–8", "inputs 11–18")
    ]
    one = replace(RIG, inputs=(replace(RIG.inputs[0], use="line"), *RIG.inputs[4:7]))
    assert groups(one, host, {}) == [
        Group("line", "1 line source", "48 V on: jack plug only", "1", "input 1"),
        Group("spare", "3 free", "for mic or line", "5–7", "inputs 5–7"),
        Group("lost", "", "", "2–4, 8", ""),
    ]
    off = replace(one.inputs[0], phantom=False)
    assert groups(replace(one, inputs=(off,)), host, {})[0].remark == ""
    mixed = (replace(off, use=None, accepts=("mic", "line")), RIG.inputs[7])
    common = replace(mixed[1], accepts=("line", "instrument"))
    assert groups(replace(one, inputs=(mixed[0], common)), host, {})[0].remark == "for line"


def test_a_source_in_a_box_is_a_group_with_it() -> None:
    rig = boxed()
    heads = {unit.name: box(unit, NO_MARKS) for unit in rig.units}
    told_of = groups(rig, rig.unit("host-1"), heads)
    assert [(one.channels, one.through) for one in told_of[:2]] == [
        ("1", heads["di-1"]),
        ("2", heads["di-2"]),
    ]
    assert groups(rig, rig.unit("host-1"), {})[0].through is None
    assert groups(rig, rig.unit("di-1"), {}) == []


def test_preamps_that_go_on_by_direct_outs_are_not_lost() -> None:
    rig = led()
    assert [one.kind for one in groups(rig, rig.unit("preamp-1"), {})] == ["spare", "spare"]
    few = replace(rig, links=rig.links[:2], inputs=())
    assert [one.channels for one in groups(few, rig.unit("preamp-1"), {})] == ["3–4"]
    assert shown(()) == ""


def test_what_is_plugged_into_outputs() -> None:
    """8 outputs: 2 and 4 for two amplifiers, from the end; the third has none left."""
    rig = heard()
    heads = {unit.name: box(unit, NO_MARKS) for unit in rig.units}
    found = outs(rig, heads)["host-1"]
    assert [one for one in found if one.kind == "monitors"] == []
    feeding = [(one.title, one.socket, one.box) for one in found]
    assert sorted(socket for _, socket, _ in feeding) == ["line out 1–4", "line out 5–8"]
    assert all(head is not None for _, _, head in feeding)
    two = replace(lone().units[0], device=replace(DESK, line_out=2, phones=2))
    assert outs(replace(lone(), units=(two,)), {}) == {
        "host-1": [
            Out("monitors", "monitors", "line out 1–2"),
            Out("headphones", "headphones", "phones out 1–2"),
        ]
    }
    one = replace(two, device=replace(DESK, line_out=1, phones=0))
    assert outs(replace(lone(), units=(one,)), {}) == {}


def test_a_unit_stands_beside_the_host_with_most_of_its_channels() -> None:
    assert homes(RIG) == {"expander-1": "host-1"}
    rig = clocked()
    assert homes(rig) == {"expander-1": "host-1", "clock-1": "host-1"}
    other = replace(rig.links[0], to_unit="host-2")
    more = replace(other, from_socket=2)
    assert homes(replace(rig, links=(*rig.links, other)))["expander-1"] == "host-1"
    assert homes(replace(rig, links=(*rig.links, other, more)))["expander-1"] == "host-2"
    assert homes(replace(rig, links=())) == {}
    alone = replace(RIG, units=RIG.units[1:], links=(replace(LIGHT, to_unit="expander-1"),))
    assert homes(alone) == {"expander-1": None}


def test_a_unit_behind_another_stands_where_that_does() -> None:
    far = Unit("far", RACK, "expander", ClockSetting("internal"))
    cable = replace(LIGHT, from_unit="far", to_unit="expander-1")
    rig = replace(RIG, units=(*RIG.units, far), links=(cable, LIGHT))
    assert homes(rig) == {"expander-1": "host-1", "far": "host-1"}
    assert homes(chained())["clock-1"] == "host-1"
    near, middle = RIG.units[1], replace(far, name="middle")
    other = replace(RIG.units[0], name="host-2")
    ends = (("far", "middle"), ("middle", "expander-1"), ("expander-1", "host-2"))
    links = tuple(replace(LIGHT, from_unit=a, to_unit=b) for a, b in ends)
    row = replace(RIG, units=(RIG.units[0], other, far, middle, near), links=links)
    assert homes(row) == dict.fromkeys(("far", "middle", "expander-1"), "host-2")
    island = replace(row, links=links[:1])
    assert homes(island) == dict.fromkeys(("far", "middle"), "host-1")


def test_the_legend_has_what_is_there() -> None:
    def kinds(row: Row | None, **more: Any) -> list[str]:
        rows = () if row is None else (row,)
        section = Section(None, "", "", (Stack(None, rows),))._replace(**more)
        return [kind for kind, _ in legend([section])]

    assert kinds(None) == []
    assert kinds(Row(wire=drawn(LIGHT))) == ["both"]
    tap = Tap(0, "clock", True, "word in 1", wire=drawn(WORD))
    assert kinds(Row(left=tap, wire=drawn(LIGHT))) == ["both", "clock"]
    assert kinds(Row(left=tap._replace(wire=None))) == []
    assert kinds(Row(left=Group("mic", "", "", "", ""))) == ["analogue"]
    assert kinds(Row(left=Group("lost", "", "", "", ""))) == []
    assert kinds(Row(left=Group("spare", "", "", "", ""))) == []
    assert kinds(Row(left=Out("monitors", "", ""))) == ["analogue"]
    assert kinds(None, outs=(Out("monitors", "", ""),)) == ["analogue"]
    assert kinds(None, host=box(RIG.units[0], NO_MARKS)) == ["computer"]


def test_what_is_said_beside_the_legend() -> None:
    (bundle,) = bundles((LIGHT,))
    arrows = "The number on a line is its cable's; arrows point to the socket that receives."
    branch = "A line that branches is one cable to each branch."
    ribbon = "A ribbon microphone goes only where 48 V is off."
    assert remarks(RIG, [Stem("x", (bundle,))]) == (arrows, ribbon)
    assert remarks(RIG, [Stem("x", (bundle, bundle))]) == (arrows, branch, ribbon)
    hot = replace(RIG, links=(), inputs=RIG.inputs[:4])
    assert remarks(hot, []) == ()


def strays(*ends: tuple[str, str], **more: Any) -> list[Bundle]:
    """Light-pipes between units, in the order of their numbers."""
    return bundles([replace(LIGHT, from_unit=a, to_unit=b, **more) for a, b in ends])


def test_of_two_lanes_the_shorter_is_inside() -> None:
    """At c what comes from nearby is above what comes from farther up."""
    found = lanes((("host", "a", "b", "c"),), strays(("a", "c"), ("b", "c")))
    assert [stem.sender for stem in found.stems] == ["a", "b"]
    assert found.lanes == (1, 0)
    assert found.ends == {"host": [], "a": [(0, 0)], "b": [(1, 0)], "c": [(1, 1), (0, 1)]}
    assert found.crossings == 0


def test_a_shorter_line_that_begins_before_a_longer_one_ends_is_inside() -> None:
    """The longer one has a branch on its way: rows 0, 1 and 3 beside rows 2 and 4."""
    found = lanes(
        (("host", "a", "b", "c", "d", "e"),), strays(("a", "b"), ("a", "d"), ("c", "e"))
    )
    assert (found.lanes, found.crossings) == ((1, 0), 1)


def test_lanes_that_cross_and_an_order_in_which_they_do_not() -> None:
    cables = strays(("a", "c"), ("b", "d"))
    found = lanes((("host", "a", "b", "c", "d"),), cables)
    assert (found.lanes, found.crossings) == ((0, 1), 1)
    order = best_order((("host", "a", "b", "c", "d"),), cables)
    assert order == (("host", "a", "c", "b", "d"),)
    assert lanes(order, cables).lanes == (0, 0)


def test_a_single_crossing_is_worth_another_order() -> None:
    """What comes back from c to a crosses the line on which b hangs, unless a is below both."""
    cables, order = strays(("a", "b"), ("a", "c"), ("c", "a")), (("host", "a", "b", "c"),)
    assert lanes(order, cables).crossings == 1
    assert lanes((("host", "b", "c", "a"),), cables).crossings == 0
    assert lanes(best_order(order, cables), cables).crossings == 0


def test_cables_of_one_kind_from_one_unit_branch_off_one_line() -> None:
    """Those that lead up and those that lead down are two lines; so are two formats."""
    order = (("host", "a", "b", "c", "d"),)
    found = lanes(order, strays(("b", "c"), ("b", "d"), ("b", "a")))
    assert [len(stem.bundles) for stem in found.stems] == [2, 1]
    assert found.ends["b"] == [(1, 0), (0, 0)]
    assert found.crossings == 0
    both = [*strays(("a", "b")), *strays(("a", "c"), carries=("audio",))]
    assert len(lanes(order, both).stems) == 2
    hung = [*strays(("a", "b")), *strays(("x", "c"), after="a")]
    assert len(lanes(order, hung).stems) == 2


def test_any_unit_but_the_first_may_stand_elsewhere() -> None:
    moved = list(_moved((("host", "a", "b"), ("other",), ("third", "c"))))
    assert moved == [(("host", "b", "a"), ("other",), ("third", "c"))] * 2
    assert list(_moved((("a", "b"),))) == []


@pytest.mark.parametrize("seed", range(40))
def test_the_first_order_that_is_better_is_taken_until_none_is(seed: int) -> None:
    draw = Random(seed)
    names = ["a", "b", "c", "d", "e", "f"]
    pairs = [draw.sample(names, 2) for _ in range(draw.randint(2, 6))]
    cables = strays(*((one, other) for one, other in pairs))
    order = _walked((("host", *names),), cables)

    def crossings(one: Order) -> int:
        return lanes(one, cables).crossings

    def better() -> Order | None:
        return next((one for one in _moved(order) if crossings(one) < crossings(order)), None)

    while (found := better()) is not None:
        order = found
    assert best_order((("host", *names),), cables) == order


def test_without_lanes_there_is_no_room_for_any() -> None:
    (section,) = with_lanes([Section(None, "", "", ())], [])
    assert (section.above, section.below) == ((), ())


def test_units_stand_in_the_order_of_a_walk_from_those_that_only_send() -> None:
    cables = strays(("c", "a"), ("a", "b"))
    assert best_order((("host", "a", "b", "c", "d"),), cables) == (
        ("host", "c", "a", "b", "d"),
    )
    back = strays(("a", "b"), ("c", "b"), ("c", "d"))
    assert best_order((("host", "a", "x", "b", "c", "d"),), back) == (
        ("host", "a", "b", "c", "d", "x"),
    )
    across = strays(("a", "c"))
    apart = (("host", "a", "b"), ("other", "c"))
    assert best_order(apart, across) == apart
    assert best_order(apart, []) == apart


def test_each_host_shows_its_own_inputs() -> None:
    """The second counts on from the 42 that the first shows, whatever arrives there."""
    (first, second) = build(apart()).sections
    assert (first.inputs, second.inputs) == ("inputs 1–8", "inputs 43–50, 53–60")
    assert [stack.box and stack.box.name for stack in second.stacks] == [None, "expander-1"]
