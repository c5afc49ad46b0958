"""In which ways a type can stand in a rig, and what its clock needs to know of each."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from rigopt.catalogue.types import Cable, Device, SocketRef
from rigopt.facts import FORMATS, Format
from rigopt.needs.types import Needs
from rigopt.optimiser.model.model import columns
from rigopt.optimiser.problem.analogue import Inlet, Tap, needs_off
from rigopt.optimiser.problem.columns import Columns
from rigopt.optimiser.problem.ports import Use
from rigopt.optimiser.problem.problem import state
from rigopt.optimiser.problem.signatures import (
    FREE,
    INTERNAL,
    ClockSignature,
    ClockState,
    Lock,
    Offer,
)
from rigopt.optimiser.problem.wirings import Wiring
from tests.world import CABLES, catalogue

HOST = Device(
    "host",
    "",
    "host",
    30000,
    mic_line=8,
    line_out=4,
    optical_in=2,
    optical_out=2,
    coax_in=1,
    clock_in=("optical",),
    optical_2x=2,
    rates_hz=(48000, 96000),
)
BOX = Device(
    "box",
    "",
    "expander",
    20000,
    mic_line=8,
    line_out=2,
    optical_in=1,
    optical_out=1,
    clock_in=("optical",),
)
NINE = replace(BOX, mic_line=9, optical_out=2)
LEAD = Cable("lead", "", "analogue", 1000, 500, ends=("jack", "jack"))
WORD_BOX = Device("sends", "", "clock", 5000, word_out=2, word_in=1, clock_in=("word",))
TRUNK = Format("t4", "trunk", "t4", "line", (4, 2, 1), True, True, None)
STAGE = Device("stage", "", "expander", 20000, mic_line=4, line_out=8, trunk=TRUNK, trunk_in=3)
PIPES = replace(HOST, coax_in=0)
TRUNK_HOST = replace(HOST, trunk=TRUNK, trunk_in=2)
ONE, TWO = SocketRef("optical", "in", 1), SocketRef("optical", "in", 2)
OUT, COAX_OUT = SocketRef("optical", "out", 1), SocketRef("coax", "out", 1)
PIPE = "light-pipe"


def asked(*devices: Device, cables: tuple[Cable, ...] = CABLES, **needs: Any) -> Columns:
    """All columns of these types; nothing is left out."""
    shop = replace(catalogue(*devices, cables=cables), formats={**FORMATS, "t4": TRUNK})
    return columns(state(shop, Needs(**{"mic": 12, **needs})), ranks=0)


def told(wiring: Wiring) -> str:
    """A wiring in words."""
    if wiring.idle:
        return "idle"
    parts = []
    if wiring.format is not None:
        parts.append(f"{wiring.links} {wiring.format.id}")
        parts += [f"{wiring.audio} with audio"] if wiring.audio < wiring.links else []
        parts += [f"{wiring.cut} of link {wiring.cut_link}"] if wiring.cut_link else []
    parts += [f"{number} {name} back" for name, number in wiring.returns.items()]
    parts += ["mute"] if wiring.mute else []
    assert wiring.slot == (0 if parts else None)
    if wiring.format is None:
        assert (wiring.links, wiring.audio) == (0, 0)
    assert (wiring.cut != 0) == (wiring.cut_link != 0)
    return ", ".join(parts) or "alone"


def ways(box: Device, *others: Device, **needs: Any) -> set[str]:
    """The wirings of a box beside a host, or beside others."""
    found = asked(box, *(others or (HOST,)), **needs)
    listed = [(c.wiring, c.signature) for c in found.satellites if c.device.id == box.id]
    assert len(listed) == len(set(listed))
    return {told(wiring) for wiring, _ in listed}


@pytest.mark.parametrize(
    ("box", "needs", "found"),
    [
        (BOX, {}, {"alone", "1 light-pipe"}),
        (BOX, {"require": ("box",)}, {"idle", "alone", "1 light-pipe"}),
        (replace(BOX, optical_out=2), {}, {"alone", "1 light-pipe"}),
        (NINE, {}, {"alone", "1 light-pipe", "2 light-pipe"}),
        (replace(NINE, optical_out=3), {}, {"alone", "1 light-pipe", "2 light-pipe"}),
        (replace(NINE, optical_out=1), {}, {"alone", "1 light-pipe"}),
        # Four channels a link at the double rate, if they are converted.
        (
            replace(BOX, rates_hz=(96000,), optical_out=3, optical_2x=3),
            {"rate_hz": 96000},
            {"alone", "1 light-pipe", "2 light-pipe"},
        ),
        (
            replace(BOX, rates_hz=(96000,), optical_out=3, optical_2x=3, analogue_2x=4),
            {"rate_hz": 96000},
            {"alone", "1 light-pipe"},
        ),
        # Outputs that are asked for.
        (
            BOX,
            {"out_line": 6},
            {"alone", "1 light-pipe", "1 light-pipe back", "1 light-pipe, 1 light-pipe back"},
        ),
        (replace(BOX, line_out=0), {"out_line": 6}, {"alone", "1 light-pipe"}),
        (replace(BOX, optical_in=0, clock_in=()), {"out_line": 6}, {"alone", "1 light-pipe"}),
        (
            replace(BOX, line_out=10, optical_in=3, optical_out=0, mic_line=0),
            {"out_line": 6},
            {"1 light-pipe back", "2 light-pipe back"},
        ),
        (
            replace(BOX, line_out=10, optical_out=3),
            {"out_line": 6},
            {"alone", "1 light-pipe", "1 light-pipe back", "1 light-pipe, 1 light-pipe back"},
        ),
        (
            replace(BOX, line_out=10, optical_out=0, mic_line=0, coax_in=1),
            {"out_line": 6},
            {"1 coax back", "1 light-pipe back", "1 coax back, 1 light-pipe back"},
        ),
        (
            replace(BOX, line_out=10, optical_out=0, mic_line=0, optical_stereo=1),
            {"out_line": 6},
            {"1 stereo back", "1 light-pipe back"},
        ),
        (
            replace(BOX, line_out=20, optical_in=0, optical_out=3, clock_in=()),
            {"out_line": 6},
            {"alone", "1 light-pipe"},
        ),
        (
            replace(BOX, internal_clock=False),
            {"out_line": 6},
            {"alone", "1 light-pipe", "1 light-pipe back", "1 light-pipe, 1 light-pipe back"},
        ),
        # By other sockets, or by one that speaks two formats.
        (
            replace(BOX, optical_out=0, coax_out=5),
            {},
            {"alone", *(f"{n} coax" for n in range(1, 5))},
        ),
        (replace(BOX, coax_out=1), {}, {"alone", "1 light-pipe", "1 coax"}),
        (replace(BOX, optical_stereo=1), {}, {"alone", "1 light-pipe", "1 stereo"}),
        (
            replace(BOX, coax_out=1, either=((OUT, COAX_OUT),)),
            {},
            {"alone", "1 light-pipe", "1 coax"},
        ),
        (
            replace(BOX, optical_out=2, either=((OUT, SocketRef("optical", "out", 2)),)),
            {},
            {"alone", "1 light-pipe"},
        ),
        # A clock, and who cannot lock to anything.
        (WORD_BOX, {}, {"alone"}),
        (replace(WORD_BOX, word_out=0, optical_in=1), {}, set()),
        (replace(WORD_BOX, line_out=2, optical_in=1), {"out_line": 6}, {"alone"}),
        (replace(BOX, internal_clock=False, clock_in=()), {}, set()),
        # Direct outs.
        (BOX, {"cables": (*CABLES, LEAD)}, {"alone", "1 light-pipe"}),
        (
            replace(BOX, direct_out=4),
            {"cables": (*CABLES, LEAD, replace(LEAD, id="xlr", ends=("xlr", "jack")))},
            {"idle", "alone", "1 light-pipe"},
        ),
        (
            replace(BOX, direct_out=4),
            {"cables": (*CABLES, LEAD)},
            {"idle", "alone", "1 light-pipe"},
        ),
        (
            replace(BOX, direct_out=4, direct_plug="xlr"),
            {"cables": (*CABLES, LEAD)},
            {"alone", "1 light-pipe"},
        ),
        (
            replace(BOX, direct_out=4, rates_hz=(44100,)),
            {"cables": (*CABLES, LEAD)},
            {"idle"},
        ),
        (replace(BOX, direct_out=4, rates_hz=(44100,)), {}, set()),
    ],
)  # fmt: skip
def test_links_that_a_box_may_have(box: Device, needs: dict[str, Any], found: set[str]) -> None:
    assert ways(box, **needs) == found


def test_links_of_which_not_all_arrives() -> None:
    """A row of 12: eight of the host's own, and four of the first socket."""
    cut = replace(PIPES, max_in_1x=12)
    assert ways(BOX, cut) == {"alone", "1 light-pipe", "1 light-pipe, 4 of link 1"}
    assert ways(NINE, cut) == {
        "alone",
        "1 light-pipe",
        "1 light-pipe, 4 of link 1",
        "2 light-pipe",
        "2 light-pipe, 4 of link 1",
        "2 light-pipe, 4 of link 2",
    }
    # Neither is a socket cut that is past the end, nor one before it.
    assert "1 light-pipe, 1 of link 1" in ways(BOX, replace(PIPES, max_in_1x=9))
    for most in (8, 16, 24):
        assert ways(BOX, replace(PIPES, max_in_1x=most)) == {"alone", "1 light-pipe"}
    both = {"1 light-pipe, 4 of link 1", "1 light-pipe, 6 of link 1", "1 light-pipe", "alone"}
    assert ways(BOX, cut, replace(cut, id="other", max_in_1x=14)) == both


def test_channels_that_arrive() -> None:
    found = asked(NINE, replace(PIPES, max_in_1x=12))
    arriving = {told(c.wiring): c.arriving for c in found.satellites}
    assert arriving == {
        "alone": (),
        "1 light-pipe": tuple(range(1, 9)),
        "1 light-pipe, 4 of link 1": (1, 2, 3, 4),
        "2 light-pipe": tuple(range(1, 10)),
        "2 light-pipe, 4 of link 1": (1, 2, 3, 4, 9),
        "2 light-pipe, 4 of link 2": tuple(range(1, 10)),
    }


def test_what_links_want_of_the_sockets_of_a_host() -> None:
    shop = asked(NINE, replace(PIPES, max_in_1x=12), out_line=6)
    wants = {told(c.wiring): set(c.uses) for c in shop.satellites}
    back = (Use("out", PIPE), 1)
    assert wants["alone"] == set()
    assert wants[f"1 {PIPE} back"] == {back}
    assert wants[f"1 {PIPE}, 1 {PIPE} back"] == {(Use("in", PIPE, 8), 1), back}
    assert wants[f"2 {PIPE}"] == {(Use("in", PIPE, 8), 2)}
    assert wants[f"2 {PIPE}, 4 of link 2"] == {(Use("in", PIPE, 8), 1), (Use("in", PIPE, 4), 1)}
    assert wants[f"1 {PIPE}, 4 of link 1"] == {(Use("in", PIPE, 4), 1)}
    trunks = asked(STAGE, TRUNK_HOST, out_line=6).satellites
    (two,) = [c for c in trunks if told(c.wiring) == "2 t4, 1 with audio"]
    assert set(two.uses) == {(Use("in", "t4", 4), 1), (Use("in", "t4"), 1)}
    lines = {told(c.wiring): c.line_outs for c in shop.satellites}
    assert (lines[f"1 {PIPE}"], lines[f"1 {PIPE}, 1 {PIPE} back"]) == (0, 2)


def test_channels_for_direct_outs_and_what_they_may_go_into() -> None:
    """Four combined inputs and four for lines, of which the host shows the computer ten."""
    box = replace(BOX, mic_line=4, line=4, direct_out=4, optical_stereo=1)
    leads = (LEAD, replace(LEAD, id="xlr", ends=("xlr", "xlr")))
    host = replace(PIPES, mic=2, mic_line=4, line=2, max_in_1x=10, optical_stereo=2)
    found = asked(box, host, cables=(*CABLES, *leads))
    by = {told(c.wiring): c for c in found.satellites}
    assert (by["idle"].direct, by["idle"].arriving, by["idle"].inlets) == ((1, 2, 3, 4), (), ())
    assert by["idle"].signature is None
    pipe, stereo = by[f"1 {PIPE}"], by["1 stereo"]
    assert (pipe.direct, pipe.inlets, pipe.microphones) == ((), tuple(range(1, 9)), 4)
    assert (stereo.direct, stereo.inlets, stereo.microphones) == ((3, 4), (1, 2), 2)
    assert (by["idle"].face.idle, pipe.face.idle) == (True, False)
    assert not any(column.face.idle for column in found.hosts)
    assert found.only(lambda column: column is pipe) == Columns([], [pipe])
    for column in found.hosts:
        assert list(column.arriving) == list(range(1, 9))
        lines = column.device.taking("line")
        assert column.inlets == lines
        assert len(lines) == 6
        assert column.microphones == 6
    dry = asked(box, replace(host, line_plug="dsub"), cables=(*CABLES, *leads))
    assert {column.inlets for column in dry.hosts} == {()}
    late = replace(BOX, mic_line=4, line=4, channel_order=("line", "mic_line"))
    cut = asked(late, replace(PIPES, max_in_1x=14))
    by = {told(c.wiring): c for c in cut.satellites}
    assert by[f"1 {PIPE}, 6 of link 1"].microphones == 2


def test_which_input_must_find_its_bank_off() -> None:
    assert needs_off(("mic_line", Inlet("xlr", True)))
    assert not needs_off(("mic_line", Inlet("jack", True)))
    assert not needs_off(("line", Inlet("xlr", True)))
    assert not needs_off(("mic_line", Tap("xlr", 4)))
    assert not needs_off(("mic_line", None))


def test_sockets_of_a_host_that_speak_two_formats() -> None:
    """What they hold moves the numbers past the end: each set of them that matters is told."""
    host = replace(PIPES, mic_line=2, optical_stereo=2, max_in_1x=12)
    found = [column.hosting for column in asked(host, BOX).hosts]
    ins = {
        tuple(p.arrives[0] for p, n in one.ports if p.side == "in" for _ in range(n))
        for one in found
    }
    pipe, cut, stereo = ("light-pipe", 8), ("light-pipe", 2), ("stereo", 2)
    assert ins == {(cut, pipe), (pipe, stereo), (stereo, stereo)}
    for one in found:
        outs = [port.arrives for port, _ in one.ports if port.side == "out"]
        assert outs == [(("light-pipe", 0), ("stereo", 0))]
        assert one.own == 2


def test_a_host_has_a_clock() -> None:
    deaf = replace(HOST, clock_in=(), internal_clock=False)
    assert not asked(deaf, BOX).hosts
    for one in (
        replace(HOST, internal_clock=False, clock_in=("coax",)),  # by audio alone
        replace(HOST, internal_clock=False, max_in_1x=8),  # by a link for the clock alone
        replace(HOST, clock_in=()),
    ):
        assert len(asked(one, BOX).hosts) == 1


def test_links_both_ways() -> None:
    """Four each way; eight outputs want two links, four inputs one."""
    plain = {"alone", "1 t4"}
    assert ways(STAGE, TRUNK_HOST) == plain
    fed = {*plain, "2 t4, 1 with audio", "1 t4 back", "2 t4 back"}
    assert ways(STAGE, TRUNK_HOST, out_line=6) == fed
    # Without outputs that count it may go on a clock of its own, behind a converter.
    mends = replace(TRUNK_HOST, rate_converter=("trunk",))
    assert ways(STAGE, mends, out_line=6) == {*fed, "1 t4, mute"}
    assert ways(STAGE, mends) == plain
    own = replace(STAGE, rate_converter=("trunk",))
    assert ways(own, mends, out_line=6) == fed
    assert ways(STAGE, mends, replace(HOST, id="plain"), out_line=6) == {*fed, "1 t4, mute"}
    assert "1 t4, mute" in ways(replace(STAGE, line_out=1), mends, out_line=6)
    assert ways(replace(STAGE, mic_line=0), mends) == {"alone"}
    other = replace(TRUNK_HOST, rate_converter=("optical",))
    assert ways(STAGE, other, out_line=6) == fed
    assert ways(replace(STAGE, line_out=0), mends, out_line=6) == plain
    lines = {told(c.wiring): c.line_outs for c in asked(STAGE, mends, out_line=6).satellites}
    assert lines == {
        "alone": 0,
        "1 t4": 4,
        "1 t4, mute": 0,
        "2 t4, 1 with audio": 8,
        "1 t4 back": 4,
        "2 t4 back": 8,
    }


def test_a_link_back_beside_one_both_ways_feeds_what_that_does_not() -> None:
    pipe = replace(STAGE, trunk_in=1, optical_in=1)
    assert ways(pipe, TRUNK_HOST, out_line=6) == {
        "alone",
        "1 t4",
        "1 t4, 1 light-pipe back",
        "1 t4 back",
        "1 light-pipe back",
    }
    few = replace(pipe, line_out=4)  # which one of the two feeds
    assert "1 t4, 1 light-pipe back" not in ways(few, TRUNK_HOST, out_line=6)


# --- clocks --------------------------------------------------------------------------------


def clock(wiring: str, box: Device, *others: Device, **needs: Any) -> ClockSignature:
    """The signature of a box in one wiring."""
    found = asked(box, *(others or (HOST,)), **needs)
    (one,) = [
        c.signature
        for c in found.satellites
        if c.device.id == box.id and told(c.wiring) == wiring
    ]
    assert one is not None
    return one


def of_host(host: Device, *others: Device, **needs: Any) -> ClockSignature:
    found = asked(host, *(others or (BOX,)), **needs)
    (one,) = [c.signature for c in found.hosts if c.device.id == host.id]
    return one


BACK = f"1 {PIPE}, 1 {PIPE} back"


def test_an_output_hands_on_what_another_would() -> None:
    one, two = Offer((PIPE,)), Offer((PIPE, "stereo"))
    assert two.covers(one)
    assert one.covers(one)
    assert not one.covers(two)
    assert not two._replace(duplex=True).covers(one)
    assert not two.covers(one._replace(duplex=True))


def test_what_is_told_of_the_two_parts() -> None:
    box, host = clock(f"1 {PIPE}", BOX), of_host(HOST)
    assert (box.host, box.sends, box.brings, box.arrivals) == (False, PIPE, PIPE, ())
    assert (host.host, host.own_clock, host.apart) == (True, False, False)
    silent = clock("1 t4, 0 with audio", replace(STAGE, mic_line=0), TRUNK_HOST, out_line=6)
    assert (silent.sends, silent.brings) == ("t4", None)
    pipe = replace(STAGE, trunk_in=1, optical_in=1)
    assert clock(f"1 {PIPE} back", pipe, TRUNK_HOST, out_line=6).brings is None
    assert clock(f"1 {PIPE} back", pipe, TRUNK_HOST, out_line=6).sends is None


def test_what_a_box_can_lock_to() -> None:
    plain = clock(f"1 {PIPE}", BOX)
    assert (plain.shared, plain.alone) == ((), (PIPE,))
    fed = clock(BACK, BOX, out_line=6)
    assert (fed.shared, fed.alone) == ((PIPE,), ())
    more = clock(BACK, replace(BOX, optical_in=2), out_line=6)
    assert (more.shared, more.alone) == ((PIPE,), (PIPE,))
    # One of two sockets alone has a clock: the link back, or the one for the clock, is on it.
    picky = clock(BACK, replace(BOX, optical_in=2, clock_in=(TWO,)), out_line=6)
    assert (picky.shared, picky.alone) == ((PIPE,), (PIPE,))
    deaf = clock(BACK, replace(BOX, clock_in=()), out_line=6)
    assert (deaf.shared, deaf.alone) == ((), ())
    both = replace(BOX, optical_out=0, mic_line=0, optical_stereo=1)
    sends = replace(BOX, id="sends", optical_stereo=1)
    assert clock("1 stereo back", both, HOST, sends, out_line=6).shared == ("stereo",)
    # Where nothing sends it, a link for the clock is of no use.
    mute = clock("alone", BOX, replace(HOST, optical_out=0))
    assert mute.alone == (PIPE,)  # another such box does
    word = replace(BOX, word_in=1, clock_in=("optical", "word"))
    assert clock(f"1 {PIPE}", word).alone == (PIPE,)
    assert clock(f"1 {PIPE}", word, HOST, WORD_BOX).alone == (PIPE, "word")


@pytest.mark.parametrize(
    ("end", "others", "told_of"),
    [("fixed", (HOST, WORD_BOX), "fixed"), ("none", (HOST, WORD_BOX), "none"),
     ("fixed", (HOST,), "switch"), ("switch", (HOST, WORD_BOX), "switch")],
)  # fmt: skip
def test_the_end_of_a_word_input_matters_where_it_is_of_use(
    end: Any, others: tuple[Device, ...], told_of: str
) -> None:
    word = replace(BOX, word_in=1, word_end=end, clock_in=("word",))
    assert clock(f"1 {PIPE}", word, *others).word_end == told_of


def test_what_a_box_has_left_for_the_clock_of_others() -> None:
    one = ((Offer((PIPE,)), 1),)
    assert clock("alone", BOX).offers == one
    assert clock(f"1 {PIPE}", BOX).offers == ()
    assert clock(f"1 {PIPE}", replace(BOX, optical_out=2)).offers == one
    assert clock("alone", replace(BOX, optical_out=2)).offers == ((Offer((PIPE,)), 2),)
    # The one that speaks more stays free as long as it can.
    both = replace(BOX, optical_out=2, optical_stereo=1)
    stereo = replace(HOST, optical_stereo=2)
    left = clock(f"1 {PIPE}", both, stereo).offers
    assert left == ((Offer((PIPE, "stereo")), 1),)
    assert clock("1 stereo", both, stereo).offers == ((Offer((PIPE,)), 1),)
    # Its own clock comes in by another socket.
    assert list(clock("alone", BOX).left(Lock("alone", PIPE))) == list(one)
    # Nobody locks to coax, or to light-pipe.
    coax = replace(BOX, coax_out=2)
    assert clock(f"1 {PIPE}", coax).offers == ()
    hears = replace(HOST, clock_in=("optical", "coax"))
    assert clock(f"1 {PIPE}", coax, hears).offers == ((Offer(("coax",)), 2),)
    none = replace(BOX, clock_in=(), optical_out=2)
    assert clock(f"1 {PIPE}", none, replace(HOST, clock_in=())).offers == ()


def test_a_link_both_ways_brings_the_clock_and_hands_it_on() -> None:
    hears = replace(STAGE, clock_in=("trunk",))
    found = clock("1 t4", hears, TRUNK_HOST)
    assert (found.sends, found.brings, found.shared) == ("t4", "t4", ("t4",))
    assert found.alone == ("t4",)
    assert found.offers == ((Offer(("t4",), duplex=True), 2),)
    # A link for its own clock takes one of the two; a link that is there takes none.
    assert list(found.left(Lock("alone", "t4"))) == [(Offer(("t4",), duplex=True), 1)]
    assert list(found.left(Lock("shared", "t4"))) == list(found.offers)
    assert list(found.left(INTERNAL)) == list(found.offers)
    assert list(found.left(Lock("alone", PIPE))) == list(found.offers)
    first = replace(STAGE, clock_in=(SocketRef("trunk", "in", 1),))
    assert clock("2 t4, 1 with audio", first, TRUNK_HOST, out_line=6).shared == ("t4",)
    for column in asked(first, TRUNK_HOST, out_line=6).satellites:
        if column.wiring.links == 2:
            assert [column.locks_sending(link) for link in (1, 2)] == [True, False]
    full = clock("1 t4", replace(hears, trunk_in=1), TRUNK_HOST)
    assert (full.alone, full.offers) == ((), ())
    silent = TRUNK._replace(clock=False)
    deaf, other = replace(hears, trunk=silent), replace(TRUNK_HOST, trunk=silent)
    mute = clock("1 t4", deaf, other)
    assert (mute.alone, mute.offers) == ((), ())
    two = clock("1 t4", replace(hears, trunk_in=2), TRUNK_HOST)
    assert list(two.left(Lock("alone", "t4"))) == []
    assert clock("1 t4", STAGE, replace(TRUNK_HOST, clock_in=("trunk",))).shared == ()
    fed = clock("2 t4 back", hears, TRUNK_HOST, out_line=6)
    assert (fed.sends, fed.brings, fed.shared) == (None, "t4", ("t4",))
    assert fed.offers == ((Offer(("t4",), duplex=True), 1),)
    dumb = clock("2 t4 back", replace(hears, mic_line=0), TRUNK_HOST, out_line=6)
    assert dumb.brings is None


def test_who_may_be_master() -> None:
    for wish, box, host in (
        ("any", True, True),
        ("expander", True, False),
        ("host", False, True),
        ("clock", False, False),
        ("box", True, False),
        ("host", False, True),
    ):
        assert clock(f"1 {PIPE}", BOX, master=wish).internal is box
        assert of_host(HOST, master=wish).internal is host
    assert clock(f"1 {PIPE}", BOX, master="host").own_clock
    none = replace(BOX, internal_clock=False)
    assert not clock(f"1 {PIPE}", none).internal
    assert not clock(f"1 {PIPE}", none).own_clock
    assert clock("alone", WORD_BOX, master="clock").internal
    assert not clock("alone", WORD_BOX, master="expander").internal


def test_sockets_of_a_host_for_the_clock() -> None:
    found = of_host(HOST)
    assert (found.shared, found.alone) == ((PIPE,), (PIPE,))
    assert found.offers == ((Offer((PIPE,)), 2),)
    # What is past the end brings nothing, but may still bring the clock.
    full = of_host(replace(HOST, max_in_1x=8))
    assert (full.shared, full.alone) == ((), (PIPE,))
    coax = replace(HOST, clock_in=("coax",))
    assert (of_host(coax).shared, of_host(coax).alone) == (("coax",), ())
    assert of_host(coax, replace(BOX, coax_out=1)).alone == ("coax",)
    trunk = of_host(replace(TRUNK_HOST, max_in_1x=8, clock_in=("trunk",)), STAGE)
    assert (trunk.shared, trunk.alone) == (("t4",), ("t4",))
    assert trunk.offers == ((Offer(("t4",), duplex=True), 2),)
    deaf = replace(HOST, clock_in=())
    assert of_host(deaf).offers == ((Offer((PIPE,)), 2),)
    assert of_host(deaf, replace(BOX, clock_in=())).offers == ()


def test_on_which_socket_a_link_is_matters_where_not_all_have_a_clock() -> None:
    first = replace(PIPES, clock_in=(ONE,), max_in_1x=12)
    assert clock(f"1 {PIPE}", BOX, first).arrivals == (8,)
    assert clock(f"1 {PIPE}, 4 of link 1", BOX, first).arrivals == (4,)
    assert clock(f"2 {PIPE}, 4 of link 2", NINE, first).arrivals == (4, 8)
    assert clock(f"2 {PIPE}", NINE, first).arrivals == (8,)
    for all_alike in (("optical",), (ONE, TWO), ()):
        host = replace(first, clock_in=all_alike)
        assert clock(f"1 {PIPE}", BOX, host).arrivals == ()
    assert clock(f"1 {PIPE}, 1 {PIPE} back", BOX, first, out_line=6).arrivals == (8,)
    hears = replace(BOX, coax_out=1)
    assert clock("1 coax", hears, replace(first, coax_in=2)).arrivals == ()


def test_who_may_be_in_another_tree_than_its_host() -> None:
    mends = replace(HOST, rate_converter=("optical",))
    own = replace(BOX, rate_converter=("optical",))
    assert not clock(f"1 {PIPE}", BOX).apart
    assert not clock("alone", BOX).apart
    assert clock(f"1 {PIPE}", BOX, mends).apart
    assert clock("alone", BOX, mends).apart
    assert not clock(f"1 {PIPE}", BOX, replace(HOST, rate_converter=("coax",))).apart
    # What feeds its outputs needs a converter of its own, if they count.
    assert not clock(BACK, BOX, mends, out_line=6).apart
    assert clock(BACK, own, mends, out_line=6).apart
    assert not clock(BACK, own, out_line=6).apart
    assert not clock("alone", BOX, out_line=6).apart
    assert not clock("alone", own).apart
    assert clock("alone", own, out_line=1).apart
    # It sends nothing: its own converter is enough.
    silent = replace(own, mic_line=0, optical_out=0)
    assert clock(f"1 {PIPE} back", silent, out_line=6).apart
    none = replace(silent, rate_converter=())
    assert not clock(f"1 {PIPE} back", none, replace(own, id="own"), HOST, out_line=6).apart
    assert not clock(f"1 {PIPE}", own).apart
    trunk = replace(TRUNK_HOST, rate_converter=("trunk",))
    assert clock("1 t4", STAGE, trunk).apart
    assert not clock("1 t4", STAGE, trunk, out_line=6).apart
    assert clock("1 t4, mute", STAGE, trunk, out_line=6).apart
    assert clock("1 t4", replace(STAGE, line_out=0), trunk, out_line=6).apart


def test_where_the_clock_may_come_from() -> None:
    one = clock(BACK, replace(BOX, optical_in=2), out_line=6)
    shared, alone = Lock("shared", PIPE), Lock("alone", PIPE)
    assert set(one.states(range(1, 3), (0,))) == {
        ClockState(INTERNAL, 0, 0),
        *(ClockState(lock, hop, 0) for lock in (shared, alone) for hop in (1, 2)),
    }
    # A tree without a host has no link from one.
    assert set(one.states((1,), (FREE, 1))) == {
        ClockState(INTERNAL, 0, FREE),
        ClockState(alone, 1, FREE),
        ClockState(INTERNAL, 0, 1),
        ClockState(shared, 1, 1),
        ClockState(alone, 1, 1),
    }
    host = clock(f"1 {PIPE}", BOX, master="host")
    assert set(host.states((), (FREE, 0))) == {ClockState(INTERNAL, 0, FREE)}
