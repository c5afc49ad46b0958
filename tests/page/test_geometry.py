"""The picture's geometry, over rigs from the solver and over any wiring at all."""

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
from rigopt.output.facts.cables import is_line
from rigopt.output.page.arrange import Form, columns
from rigopt.output.page.draw import draw
from rigopt.output.page.geometry import Drawing, Rect
from rigopt.rig.counts import by_piece
from rigopt.rig.types import ClockSetting, Link, Rig, Unit
from tests.benchmarks import instances
from tests.page.geometry_checks import faults
from tests.page.rigs import HUB, NASTY, listed, lone, nasty, sixteen_units
from tests.tiers import few
from tests.wires import link

FORMS: tuple[Form, ...] = ("wide", "narrow")
WORK = settings(deadline=None, max_examples=60)


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


def test_most_of_the_random_questions_have_an_answer() -> None:
    rigs = [rig for rig in map(solved, SEEDS) if rig]
    assert len(rigs) >= 10
    assert max(len(rig.units) for rig in rigs) >= 4
    assert {len(columns(rig, "wide")) for rig in rigs} >= {2}


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("seed", few(SEEDS, 4))
def test_rigs_from_the_solver(seed: int, form: Form) -> None:
    rig = solved(seed)
    assert rig is None or faults(draw(rig, form)) == []


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("answer", [sixteen_units(), lone(), listed()[0], nasty()[0]])
def test_rigs_by_hand(answer: Answered, form: Form) -> None:
    assert faults(draw(answer.rig, form)) == []


LABELS = st.sampled_from(NASTY) | st.text(max_size=80)


TRUNK = Format("stage-link", "trunk", "Stage-box link", "net", (48, 24, 12), duplex=True)
ROLES = ("host", "expander", "expander", "clock", "preamp", "di", "headphones")


@st.composite
def any_wiring(draw_from: st.DrawFn) -> Rig:
    """Up to 16 units of any role with any label, and cables between any sockets at all.

    Of every format, trunks with audio and clock either way, word clock from T-pieces, and
    analogue lines alone or on pieces of several ways.
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
    wanted = draw_from(st.lists(st.tuples(formats, socket, socket, tees), max_size=40))
    links: list[Link] = []
    taken: set[tuple[str, str, str, int]] = set()
    for row, (source, out), (target, into), tee in wanted:
        kind, after = row.socket, tee.name if tee and row.socket == "word" else None
        ways = ("in", "in") if row.duplex else ("out", "in")
        start = (kind, "tee", after, 0) if after else (kind, ways[0], source.name, out)
        plugs = {start, (kind, ways[1], target.name, into)}
        if (after or source.name) != target.name and not plugs & taken:
            taken |= plugs
            carries: Any = draw_from(
                st.sampled_from([("audio",), ("clock",), ("audio", "clock")])
            )
            back = draw_from(st.sampled_from([0, 8])) if row.duplex else 0
            made = link(row, source.name, out, target.name, into, 8, carries, None)
            on = draw_from(st.none() | st.integers(1, 4)) if is_line(made) else None
            links.append(replace(made, back=back, after=after, piece=on))
    return Rig(48000, tuple(units), tuple(links), (), (), 0, 0)


@WORK
@given(any_wiring(), st.sampled_from(FORMS))
def test_any_wiring(rig: Rig, form: Form) -> None:
    assert faults(draw(rig, form)) == []


@WORK
@given(any_wiring())
def test_every_unit_and_cable_is_drawn_once(rig: Rig) -> None:
    for form in FORMS:
        drawing = draw(rig, form)
        assert sorted(b.unit.name for b in drawing.boxes) == sorted(u.name for u in rig.units)
        drawn = [link for cable in drawing.cables for link in cable.bundle.links]
        assert sorted(map(id, drawn)) == sorted(map(id, rig.links))
        numbers = {number for cable in drawing.cables for number in cable.bundle.numbers}
        assert numbers == set(range(1, len(by_piece(rig.links)) + 1))
        digital = [c.bundle.numbers for c in drawing.cables if not is_line(c.link)]
        assert len(set(digital)) == len(digital)


def test_a_chain_past_the_hosts_goes_over_the_top() -> None:
    drawing = draw(sixteen_units().rig, "wide")
    cable = next(
        c for c in drawing.cables if c.link.from_unit == "expander-1" and c.load == "clock"
    )
    assert cable.link.to_unit == "expander-8"
    assert min(y for _, y in cable.points) < min(box.rect.y for box in drawing.boxes)


def bent(drawing: Drawing, **box_changes: object) -> Drawing:
    first, *rest = drawing.boxes
    return replace(drawing, boxes=(replace(first, **box_changes), *rest))  # type: ignore[arg-type]


def test_the_checks_see_what_is_wrong() -> None:
    """The checks above are worth nothing if they pass anything."""
    good = draw(listed()[0].rig, "wide")
    first = good.boxes[0].rect
    everywhere = Rect(0, 0, good.width, good.height)
    found = "\n".join(faults(bent(good, rect=everywhere)))
    assert "lies on" in found
    assert "crosses host-1" in found
    assert "lie on a box" in found
    small = Rect(first.x, first.y, 20, 20)
    found = "\n".join(faults(bent(good, rect=small)))
    assert "leaves host-1" in found
    assert "does not end at host-1" in found
    assert "sticks out" in "\n".join(faults(replace(good, width=300)))
    cable = good.cables[0]
    twice = replace(good, cables=(cable, replace(cable, number=2)))
    assert "share" in "\n".join(faults(twice))
    assert "meet" in "\n".join(faults(twice))
    slanted = replace(cable, points=(cable.points[0], cable.points[-1]))
    assert "slanted" in "\n".join(faults(replace(good, cables=(slanted,))))


def test_a_device_without_sockets_has_a_box_too() -> None:
    box = draw(lone(Device("desk-2", "", "host")).rig, "wide").boxes[0]
    assert [line.text for line in box.letters] == [
        "host-1",
        "usb host",
        "desk-2",
        "clock master",
    ]
    assert box.told == "host-1: desk-2; clock master"
