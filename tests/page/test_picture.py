"""The picture of a rig as data: over rigs from the solver, by hand, and any wiring at all."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rigopt.answers.outcome import Answered
from rigopt.catalogue.types import Device
from rigopt.facts import FORMATS, Format
from rigopt.needs.types import Needs
from rigopt.optimiser.questions.plan import solve
from rigopt.output.page.picture.build import build
from rigopt.output.page.picture.figure import picture
from rigopt.output.page.picture.marks import Mark, Marks
from rigopt.output.page.picture.types import Group, Lane, Out, Picture, Tap
from rigopt.rig.counts import by_piece
from rigopt.rig.types import ClockSetting, Link, Rig, Unit
from tests.benchmarks import instances
from tests.page.picture_checks import boxes, crossings, faults, rows, wires
from tests.page.rigs import HUB, NASTY, PRE, WORD, listed, locked, lone, nasty, sixteen_units
from tests.page.rigs import rig as rig_of
from tests.tiers import few
from tests.wires import link, wire

WORK = settings(deadline=None, max_examples=40)


@cache
def solved(seed: int) -> Rig | None:
    """The cheapest rig of a random catalogue; None where there is none."""
    master = ("any", "host", "expander", "clock")[seed % 4]
    needs = Needs(
        mic=(8, 16, 24, 40)[seed // 4 % 4],
        phantom=seed % 5,
        out_line=seed % 3,
        rate_hz=(48000, 96000)[seed % 2],
        master=master,
        max_hosts=1 + seed % 2,
    )
    outcome = solve(instances.catalogue(seed, 14), needs, 10)
    return outcome.rig if isinstance(outcome, Answered) else None


SEEDS = range(16)


def hosts(rig: Rig) -> int:
    return sum(unit.role == "host" for unit in rig.units)


def test_most_of_the_random_questions_have_an_answer() -> None:
    rigs = [rig for rig in map(solved, SEEDS) if rig]
    assert len(rigs) >= 10
    assert max(len(rig.units) for rig in rigs) >= 4
    assert sum(hosts(rig) == 1 for rig in rigs) >= 5


@pytest.mark.parametrize("seed", few(SEEDS, 4))
def test_rigs_from_the_solver(seed: int) -> None:
    rig = solved(seed)
    if rig is not None:
        drawn = build(rig)
        assert faults(drawn, rig) == []
        assert hosts(rig) > 1 or crossings(drawn) == 0


@pytest.mark.parametrize("answer", [sixteen_units(), lone(), listed()[0], nasty()[0]])
def test_rigs_by_hand(answer: Answered) -> None:
    assert faults(build(answer.rig), answer.rig) == []


def test_three_hosts_on_one_clock_have_the_fewest_crossings() -> None:
    """A cable from a unit of the first host to one of the second has to pass the third's
    clock, which passes the second: one of two is outside."""
    assert crossings(build(sixteen_units().rig)) <= 1


# --- a star without crossings ----------------------------------------------------------


@st.composite
def star(draw_from: st.DrawFn) -> Rig:
    """One host, and up to 12 units with cables to it; each but the first may hang on another
    by word clock, from an output or a T-piece, or send it analogue lines; names in any order.
    """
    number = draw_from(st.integers(1, 12))
    names = draw_from(st.permutations([f"expander-{i}" for i in range(1, number + 1)]))
    device = replace(PRE, word_in=12, word_out=12, direct_out=8, clock_in=("optical", "word"))
    sorts = st.sampled_from(["none", "word", "tee", "line", "optical"])
    host = Unit("host-1", replace(HUB, optical_in=16), "host", ClockSetting("internal"))
    units, links = [host], []
    for i, name in enumerate(names):
        units.append(locked(name, device, "expander", "optical", "host-1"))
        links.append(link("optical", name, 1, "host-1", i + 1, 8, ("audio",), None))
        sort = draw_from(sorts) if i else "none"
        other = names[draw_from(st.integers(0, i - 1))] if i else ""
        if sort == "line":
            links.append(link(FORMATS["analogue"], name, 1, other, 1, 1, ("audio",), None))
        elif sort != "none":
            row = FORMATS["light-pipe" if sort == "optical" else "word"]
            made = link(row, other, i + 1, name, 1, 0, ("clock",), None)
            tee = replace(made, from_unit="host-1", after=other)
            links.append(tee if sort == "tee" else made)
    order = draw_from(st.permutations(links))
    return Rig(48000, tuple(sorted(units, key=lambda u: u.name)), tuple(order), (), (), 0, 0)


@WORK
@given(star())
def test_a_rig_of_one_host_is_drawn_without_a_crossing(rig: Rig) -> None:
    drawn = build(rig)
    assert faults(drawn, rig) == []
    assert crossings(drawn) == 0


def test_an_order_with_fewer_crossings_is_looked_for() -> None:
    """Two rings through four units, which no walk along a tree finds at once."""
    names = [f"expander-{i}" for i in (1, 2, 3, 4)]
    units = [Unit("host-1", HUB, "host", ClockSetting("internal"))]
    units += [locked(name, PRE, "expander", "optical", "host-1") for name in names]
    links = [
        link("optical", name, 1, "host-1", i, 8, ("audio",), None)
        for i, name in enumerate(names, 1)
    ]
    ring = [(0, 2), (2, 1), (1, 3), (3, 0), (0, 1)]
    links += [
        link("word", names[a], i, names[b], i, 0, ("clock",), None)
        for i, (a, b) in enumerate(ring, 1)
    ]
    rig = Rig(48000, tuple(units), tuple(links), (), (), 0, 0)
    drawn = build(rig)
    assert faults(drawn, rig) == []
    assert crossings(drawn) == 0


# --- any wiring ------------------------------------------------------------------------

LABELS = st.sampled_from(NASTY) | st.text(max_size=80)
TRUNK = Format("stage-link", "trunk", "Stage-box link", "net", (48, 24, 12), duplex=True)
ROLES = ("host", "expander", "expander", "clock", "preamp", "di", "headphones")


@st.composite
def any_wiring(draw_from: st.DrawFn) -> Rig:
    """Up to 16 units of any role with any label, and cables between any sockets at all.

    Of every format, trunks with audio and clock either way, word clock from T-pieces, and
    analogue lines alone or on pieces of several ways; even to the unit where they begin.
    """
    roles = draw_from(st.lists(st.sampled_from(ROLES), min_size=1, max_size=16))
    device = replace(HUB, optical_in=12, optical_out=12, word_in=12, word_out=12)
    device = replace(device, trunk=TRUNK, trunk_in=12)
    units = [
        Unit(
            f"{role}-{i}",
            replace(device, label=draw_from(LABELS)),
            role,  # type: ignore[arg-type]
            ClockSetting("internal" if i == 0 else "optical", i or None),
        )
        for i, role in enumerate(roles)
    ]
    socket = st.tuples(st.sampled_from(units), st.integers(1, 12))
    formats = st.sampled_from([*FORMATS.values(), TRUNK])
    tees = st.none() | st.sampled_from(units)
    wanted = draw_from(st.lists(st.tuples(formats, socket, socket, tees), max_size=30))
    links: list[Link] = []
    for row, (source, out), (target, into), tee in wanted:
        carries: Any = draw_from(st.sampled_from([("audio",), ("clock",), ("audio", "clock")]))
        back = draw_from(st.sampled_from([0, 8])) if row.duplex else 0
        after = tee.name if tee and row.socket == "word" else None
        made = link(row, source.name, out, target.name, into, 8, carries, None)
        on = draw_from(st.none() | st.integers(1, 4)) if row.socket == "analogue" else None
        links.append(replace(made, back=back, after=after, piece=on))
    return Rig(48000, tuple(units), tuple(links), (), (), 0, 0)


@WORK
@given(any_wiring())
def test_any_wiring(rig: Rig) -> None:
    drawn = build(rig)
    assert faults(drawn, rig) == []
    numbers = {number for one in wires(drawn) for number in _numbers(one.numbers)}
    assert numbers == set(range(1, len(by_piece(rig.links)) + 1))
    assert picture(rig).startswith("<figure")


def _numbers(text: str) -> list[int]:
    found: list[int] = []
    for part in text.split(", "):
        first, _, last = part.partition("–")
        found += range(int(first), int(last or first) + 1)
    return found


def test_the_checks_see_what_is_wrong() -> None:
    """The checks above are worth nothing if they pass anything."""
    rig = sixteen_units().rig
    good = build(rig)

    def changed(number: int, **changes: Any) -> Picture:
        """The picture with other cells in one row of the first section's second stack."""
        first, *others = good.sections
        stack = first.stacks[1]
        row = stack.rows[number]._replace(**changes)
        bent = (*stack.rows[:number], row, *stack.rows[number + 1 :])
        stacks = (first.stacks[0], stack._replace(rows=bent), *first.stacks[2:])
        return good._replace(sections=(first._replace(stacks=stacks), *others))

    def said(drawn: Picture) -> str:
        return "\n".join(faults(drawn, rig))

    number, tap = next(
        (i, row)
        for i, row in enumerate(good.sections[0].stacks[1].rows)
        if isinstance(row.left, Tap)
    )
    assert "is not where a lane ends" in said(changed(number, left=None))
    assert "breaks off" in said(changed(number, lanes=(Lane(),) * len(tap.lanes)))
    assert "cables instead of" in said(changed(0, wire=None))
    assert "ends nowhere" in said(changed(0, port=None))
    assert "expander-1 stands in 0 places" in said(good._replace(sections=good.sections[1:]))
    assert "stands in 2 places" in said(good._replace(idle=(boxes(good)[0],)))
    through = (Lane("clock", True, True, True), Lane("clock", True, True))
    assert crossings(changed(number, lanes=through)) > crossings(good)


# --- what it says ----------------------------------------------------------------------


def groups(drawn: Picture) -> list[Group]:
    return [row.left for row in rows(drawn) if isinstance(row.left, Group)]


def test_units_say_their_channels_and_the_inputs_that_these_become() -> None:
    rig = listed()[0].rig
    first, second, *_ = groups(build(rig))
    assert first == Group(
        "mic", "8 microphones", "48 V off: may be ribbon", "1–8", "inputs 3–10"
    )
    assert second == Group("mic", "8 microphones", "48 V on", "1–8", "inputs 11–18")
    ports = [(row.port.socket, row.port.inputs) for row in rows(build(rig)) if row.port]
    assert ("optical in 2", "inputs 11–18") in ports
    assert ("optical out 2", "") in ports
    (section,) = build(rig).sections
    assert (section.port, section.inputs) == ("usb", "inputs 3–34")


def test_free_channels_and_those_that_do_not_arrive() -> None:
    rig = rig_of(
        [Unit("host-1", replace(HUB, mic_line=2, line=1), "host", ClockSetting("internal"))],
        [],
        {1: ("mic", "Voice")},
        0,
    )
    assert groups(build(rig)) == [
        Group("mic", "1 microphone", "48 V off: may be ribbon", "1", "input 1"),
        Group("spare", "2 free", "for line", "2–3", "inputs 2–3"),
    ]
    cut = replace(rig, inputs=rig.inputs[:1])
    assert groups(build(cut))[1] == Group("lost", "", "", "2–3", "")


def test_a_cable_says_number_format_length_load_and_direction() -> None:
    found = {one.numbers: one for one in wires(build(listed()[0].rig))}
    one = found["5"]
    assert (one.name, one.length, one.carries) == ("light-pipe", "1 m", "8 ch + clock")
    assert (one.load, one.left, one.right, one.socket) == ("both", True, False, "optical in 1")
    assert one.told == (
        "Cable 5: light-pipe, from host-1 out 2 to expander-2 in 1, carries 8 channels of "
        "audio and clock"
    )
    assert (found["2"].load, found["2"].left, found["2"].right) == ("audio", False, True)
    words = [w for w in wires(build(sixteen_units().rig)) if w.name == "word clock"]
    assert {(w.load, w.carries, w.length) for w in words} == {("clock", "clock only", "2 m")}
    assert "clock-1 word out 4" in {w.socket for w in words}


def test_the_clock_is_in_every_unit_that_has_one() -> None:
    said = {box.name: (box.clock, box.master) for box in boxes(build(listed()[0].rig))}
    assert said["expander-1"] == ("clock master", True)
    assert said["host-1"] == ("locked to expander-1 by optical in 1", False)
    alone = Unit("expander-9", PRE, "expander", None)
    (box,) = build(replace(lone().rig, units=(alone,))).idle
    assert (box.clock, box.master) == ("needs no clock", False)


def test_a_sending_end_names_all_its_sockets() -> None:
    ends = [r.left.socket for r in rows(build(sixteen_units().rig)) if isinstance(r.left, Tap)]
    assert "word out 2–3, 5–10" in ends


def test_monitors_are_on_the_first_two_line_outputs_that_count() -> None:
    (section,) = build(lone().rig).sections
    assert section.outs == (
        Out("monitors", "monitors", "line out 1–2"),
        Out("headphones", "headphones", "phones out 1"),
    )
    (bare,) = build(lone(replace(HUB, line_out=1, phones=0)).rig).sections
    assert bare.outs == ()


def test_the_legend_shows_what_is_there() -> None:
    def loads(rig: Rig) -> list[str]:
        return [load for load, _ in build(rig).legend]

    assert loads(listed()[0].rig) == ["analogue", "audio", "both", "computer"]
    assert loads(sixteen_units().rig) == ["analogue", "audio", "both", "clock", "computer"]
    assert loads(lone(replace(HUB, line_out=0, phones=0)).rig) == ["computer"]
    assert build(lone().rig).remarks == ()
    branching = "A line that branches is one cable to each branch."
    assert branching in build(sixteen_units().rig).remarks
    assert branching not in build(listed()[0].rig).remarks


def test_marks_are_on_their_units_and_cables() -> None:
    marks = Marks(
        {"host-1": [Mark("new")], "expander-2": [Mark("fault", "no clock comes in")]},
        {5: [Mark("changed", "from optical out 3")], 99: [Mark("new")]},
    )
    rig = listed()[0].rig
    drawn = build(rig, marks)
    assert {b.name: [m.told for m in b.marks] for b in boxes(drawn) if b.marks} == {
        "host-1": ["New"],
        "expander-2": ["Fault: no clock comes in"],
    }
    assert {w.numbers: [m.told for m in w.marks] for w in wires(drawn) if w.marks} == {
        "5": ["Changed: from optical out 3"]
    }
    text = picture(rig, marks)
    assert "Fault: no clock comes in" in text
    assert 'class="stack unit has-fault"' in text
    assert "has-" not in picture(rig)


def test_a_device_without_sockets_has_a_box_too() -> None:
    (section,) = build(lone(Device("desk-2", "", "host")).rig).sections
    assert section.host is not None
    assert section.host.label == "desk-2"
    assert section.stacks == ()


def test_without_a_host_the_units_are_drawn_all_the_same() -> None:
    units = [
        Unit(f"expander-{i}", PRE, "expander", ClockSetting("internal")) for i in (1, 2, 3)
    ]
    rig = rig_of(units, [wire("word", "expander-1", 1, "expander-2", 1, WORD)], {}, 0)
    drawn = build(rig)
    assert faults(drawn, rig) == []
    assert [section.host for section in drawn.sections] == [None]
    assert [box.name for box in drawn.idle] == ["expander-3"]
    assert "computer" not in dict(drawn.legend)
    assert picture(rig)
