"""Each step of a repair, told from what is there and what is to be: wired by hand."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from rigopt.answers.repair import Moved, Repaired
from rigopt.catalogue.types import Cable
from rigopt.facts import FORMATS, OPTICAL_STEREO
from rigopt.output.facts import repair as steps
from rigopt.output.facts.repair import repair_steps
from rigopt.rig.types import ClockSetting, Link, Unit
from rigopt.rig.wired import StatedInput, WiredRig
from tests.output.rigs import DESK, INTERNAL, LEAD, LONG, RACK
from tests.rig.link_worlds import BOTH
from tests.wires import link

HOST = Unit("host-1", DESK, "host", ClockSetting("optical", 1, "expander-1"))
FAR = Unit("expander-1", RACK, "expander", INTERNAL)
LIGHT = link("optical", "expander-1", 1, "host-1", 1, 8, ("audio", "clock"), LEAD)
LINE = link("analogue", "expander-1", 1, "host-1", 3, 1, ("audio",), None)
WORD = link("word", "expander-1", 1, "host-1", 1, 0, ("clock",), Cable("w", "W", "word", 1000))
TEE, END = Cable("t", "T", "tee", 0), Cable("e", "E", "terminator", 0)


def rig(*links: Link, units: tuple[Unit, ...] = (HOST, FAR), **more: Any) -> WiredRig:
    return WiredRig(48_000, units, links, **more)


def told(before: WiredRig, after: WiredRig, **more: Any) -> list[Any]:
    changes: dict[str, Any] = {"moved": (), "added": (), "removed": ()} | more
    return repair_steps(
        before,
        Repaired(
            after, **changes, purchases=(), orders=(), money=0, for_outputs=0, proven=True
        ),
    )


def test_nothing_changes_nothing_is_told() -> None:
    assert told(rig(LIGHT), rig(LIGHT)) == []


def test_cables_that_go_move_give_way_and_come() -> None:
    """In this order: first sockets are freed."""
    other = replace(LIGHT, from_socket=2, to_socket=2)
    third = replace(other, to_socket=3)
    longer = replace(LIGHT, cable=LONG)
    new = replace(LIGHT, from_socket=3, to_socket=4)
    gone = replace(LIGHT, from_socket=4, to_socket=5)
    found = told(
        rig(LIGHT, other, gone),
        rig(longer, third, new),
        moved=(Moved(other, third),),
        added=(new, longer),
        removed=(LIGHT, gone),
    )
    assert found == [
        steps.TakeOff(gone),
        steps.Move(other, third),
        steps.Replace(LIGHT, longer),
        steps.Add(new),
    ]


def test_a_duplex_cable_is_in_its_sockets_whichever_way_it_is_told() -> None:
    there = link(BOTH, "expander-1", 1, "host-1", 2, 8, ("audio",), LEAD)
    back = link(BOTH, "host-1", 2, "expander-1", 1, 8, ("audio",), LONG)
    found = told(rig(there), rig(back), added=(back,), removed=(there,))
    assert found == [steps.Replace(there, back)]


def test_the_next_cable_of_a_chain_begins_at_the_unit_before_it() -> None:
    """From another output to the same unit, by the same T-piece: nothing is pulled there."""
    first = replace(WORD, after="unit")
    second = replace(first, from_socket=2, cable=LONG)
    before, after = rig(first), rig(second)
    assert told(before, after, added=(second,), removed=(first,)) == [
        steps.Replace(first, second)
    ]


def pieces(*numbers: int) -> tuple[Link, ...]:
    """Ways of analogue pieces of these numbers, each from a socket of its own."""
    return tuple(
        replace(LINE, from_socket=n, to_socket=n, piece=number)
        for n, number in enumerate(numbers, start=1)
    )


def test_analogue_pieces_whole_and_way_by_way() -> None:
    """Piece 1 goes whole, two ways of 2 and one of three; 3 is one way, told as a cable."""
    links = pieces(1, 1, 2, 2, 2, 3)
    after = rig(links[4])
    assert told(rig(*links), after, removed=(*links[:4], links[5])) == [
        steps.TakeOff(links[5]),
        steps.Lift(links[:2]),
        steps.Unplug(links[2]),
        steps.Unplug(links[3]),
    ]
    assert told(after, rig(*links), added=(*links[:4], links[5])) == [
        steps.Add(links[5]),
        steps.Lay(links[:2]),
        steps.PlugWay(links[2]),
        steps.PlugWay(links[3]),
    ]


def test_a_number_of_a_digital_cable_is_no_piece() -> None:
    digital = replace(LIGHT, piece=1)
    ways = pieces(1, 1)
    found = told(rig(digital, *ways), rig(digital), removed=ways)
    assert found == [steps.Lift(ways)]
    both = told(rig(digital, *ways), rig(), removed=(digital, *ways))
    assert both == [steps.TakeOff(digital), steps.Lift(ways)]


@pytest.mark.parametrize(
    ("was", "now", "strip", "fit"),
    [
        ((TEE, END), (None, None), (True, True), None),
        ((TEE, END), (TEE, None), (False, True), None),
        ((TEE, None), (None, None), (True, False), None),
        ((TEE, None), (TEE, None), None, None),
        ((None, None), (TEE, END), None, (True, True)),
        ((TEE, None), (TEE, END), None, (False, True)),
        ((None, None), (TEE, None), None, (True, False)),
    ],
)
def test_small_pieces_come_and_go(
    was: Any, now: Any, strip: Any, fit: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is called for is what the second rig has here."""
    before = replace(WORD, tee=was[0], terminator=was[1])
    after = replace(WORD, tee=now[0], terminator=now[1])
    wanted = [(now[0] is not None, now[1] is not None)]
    monkeypatch.setattr(steps, "fittings", lambda *_: wanted)
    found = told(rig(before), rig(after))
    assert found == [
        *([steps.Strip(before, *strip)] if strip else []),
        *([steps.Fit(after, *fit)] if fit else []),
    ]


def test_small_pieces_of_a_cable_that_goes_or_comes() -> None:
    """The last unit has no end of its own, so that a T-piece and a terminator sit there."""
    host = replace(HOST, device=replace(DESK, word_in=1, word_end="none"))
    units = (host, FAR)
    with_them = replace(WORD, tee=TEE, terminator=END)
    without, there = rig(units=units), rig(with_them, units=units)
    assert told(there, without) == [steps.Strip(with_them, True, True)]
    assert told(without, there) == [steps.Fit(with_them, True, True)]


def test_a_cable_whose_sockets_speak_something_else_is_set() -> None:
    stereo = replace(LIGHT, format=FORMATS[OPTICAL_STEREO])
    assert told(rig(LIGHT), rig(stereo)) == [steps.SetFormat(stereo)]
    assert told(rig(), rig(stereo)) == []


def test_settings_of_units_in_the_order_of_units() -> None:
    before = (
        replace(HOST, phantom_banks_on=(1, 3)),
        replace(FAR, role="host"),
        Unit("idle", RACK, "expander", None),
    )
    after = (
        replace(HOST, phantom_banks_on=(3, 2, 4), clock=ClockSetting("coax", 1, "x")),
        FAR,
        Unit("idle", RACK, "preamp", None),
    )
    now = replace(rig(units=after), rate_hz=96_000)
    assert told(rig(units=before), now) == [
        steps.SetRate(96_000),
        steps.SetClock(after[0]),
        steps.Switch("host-1", (1,), False),
        steps.Switch("host-1", (2, 4), True),
        steps.SetRole(FAR),
    ]


@pytest.mark.parametrize(
    ("clock", "told_of"),
    [
        (ClockSetting("optical", 1, "another"), False),
        (ClockSetting("optical", 2, "expander-1"), True),
        (ClockSetting("coax", 1, "expander-1"), True),
        (None, False),
    ],
)
def test_a_clock_is_set_by_its_socket(clock: Any, told_of: bool) -> None:
    unit = replace(HOST, clock=clock)
    found = told(rig(), rig(units=(unit, FAR)))
    assert found == ([steps.SetClock(unit)] if told_of else [])
    nothing = replace(HOST, clock=None)
    assert told(rig(units=(nothing, FAR)), rig()) == [steps.SetClock(HOST)]


def test_sources_that_change_their_channel() -> None:
    seats = (
        StatedInput(None, "host-1", 1, "mic", "Bass"),
        StatedInput(None, "host-1", 2, "mic", "Voice"),
    )
    moved = (seats[0], replace(seats[1], channel=3), StatedInput(None, "host-1", 4, "mic"))
    assert told(rig(stated=seats), rig(stated=moved)) == [steps.Plug("Voice", "host-1", 3)]
    new = (*seats, StatedInput(None, "host-1", 5, "mic", "Piano"))
    assert told(rig(stated=seats), rig(stated=new)) == [steps.Plug("Piano", "host-1", 5)]


def test_nothing_sits_on_a_cable_both_ways() -> None:
    there = link(BOTH, "expander-1", 1, "host-1", 2, 8, ("audio",), LEAD)
    assert told(rig(replace(there, tee=TEE)), rig(there)) == []
