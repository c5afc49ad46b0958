"""What is numbered how: literal numbers of the trade, asked of both derivations."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from rigopt.catalogue.types import Device, SocketRef
from rigopt.facts import FORMATS
from rigopt.rig.audit.channels import listen
from rigopt.rig.audit.numbers import places
from rigopt.rig.audit.sockets import live
from rigopt.rig.audit.wiring import Wiring
from rigopt.rig.folding import Run, fold
from rigopt.rig.links import derive_links
from rigopt.rig.numbering import derive_inputs, host_spans, visible_inputs
from rigopt.rig.types import Unit
from tests.rig import line_worlds, link_worlds
from tests.rig.rig_builders import (
    COAX,
    DESK,
    INTERNAL,
    PRE,
    World,
    locked,
    master,
    numbers,
    optical,
)
from tests.wires import link, wire
from tests.world import ALL


def settle(units: Any, wires: Any, rate_hz: int = 48000) -> Any:
    """Links and inputs; the audit must hear the same channels behind the same numbers."""
    links = derive_links(units, wires, rate_hz)
    inputs = derive_inputs(units, links, rate_hz)
    sound = listen(Wiring(tuple(units), links, rate_hz))
    assert {i.computer_input: (i.unit, i.channel) for i in inputs} == sound.inputs
    assert tuple(link.channels for link in links) == sound.heard
    assert tuple(link.back for link in links) == sound.back
    return links, inputs


def runs(inputs: Any) -> Any:
    return [
        (r.first_input, r.last_input, r.unit, r.first_channel, r.last_channel)
        for r in fold(inputs)
    ]


def headless(
    sockets: int, coax: Any = 0, fixed: Any = 0, at_2x: Any = None, at_4x: Any = 0, **more: Any
) -> Device:
    """A host with `fixed` line inputs and pairs of optical sockets."""
    return Device(
        "box",
        "headless host",
        "host",
        price=1,
        line=fixed,
        optical_in=sockets,
        optical_out=sockets,
        optical_2x=sockets if at_2x is None else at_2x,
        optical_4x=at_4x,
        coax_in=coax,
        coax_4x=coax,
        clock_in=("optical",),
        rates_hz=ALL,
        **more,
    )


def wide(channels: int) -> Device:
    """A unit that can fill any number of sockets at any rate."""
    return Device(
        "wide",
        "wide expander",
        "expander",
        price=1,
        mic=channels,
        optical_out=16,
        optical_2x=16,
        optical_4x=16,
        rates_hz=ALL,
    )


def test_a_format_that_a_socket_cannot_speak_changes_no_number() -> None:
    box = headless(2)
    first = SocketRef("optical", "in", 1)
    assert visible_inputs(box, 48000, {first: FORMATS["stereo"]}) == visible_inputs(box, 48000)
    units = (master("host-1", box), Unit("expander-1", wide(8), "expander", INTERNAL))
    wrong = link("stereo", "expander-1", 1, "host-1", 1, 0, (), None)
    assert places(Wiring(units, (wrong,), 48000)) == places(Wiring(units, (), 48000))
    dead = replace(box, optical_2x=1, optical_stereo=2)
    units = (master("host-1", dead), units[1])
    assert len(places(Wiring(units, (), 96000))) == 4 + 2
    both = replace(box, optical_stereo=1)
    assert visible_inputs(both, 48000, {first: FORMATS["stereo"]}).total == 2 + 8


def test_a_line_that_carries_nothing_leaves_the_input_to_its_host() -> None:
    rig = line_worlds.leads().rig
    silent = [replace(one, from_socket=9, channels=0) for one in rig.links]
    assert derive_inputs(rig.units, silent, 48000) == derive_inputs(rig.units, (), 48000)
    assert derive_inputs(rig.units, rig.links, 48000)[4].unit == "preamp-1"


def test_inputs_1_8_9_10_11_18_whichever_is_master(band: World, returned: World) -> None:
    # Host with 8 analogue, one stereo pair, one light-pipe (common practice, no source).
    expected = [(1, 8, "host-1", 1, 8), (11, 18, "expander-1", 1, 8)]
    assert runs(band.rig.inputs) == expected
    assert runs(returned.rig.inputs) == expected


def test_one_cable_if_the_expander_is_master_two_if_the_host_is(
    band: World, returned: World
) -> None:
    # 16 inputs either way (common practice, no source).
    assert [link.carries for link in band.rig.links] == [("audio", "clock")]
    assert [link.carries for link in returned.rig.links] == [("audio",), ("audio", "clock")]
    assert len(band.rig.inputs) == len(returned.rig.inputs) == 16


def test_stereo_pair_is_9_and_10(coaxial: World) -> None:
    assert runs(coaxial.rig.inputs) == [(1, 8, "host-1", 1, 8), (9, 10, "expander-1", 1, 2)]
    assert coaxial.rig.links[0].channels == 2


@pytest.mark.parametrize(("boxes", "inputs"), [(3, 24), (4, 32)])
def test_headless_host_with_four_pairs(boxes: Any, inputs: Any) -> None:
    # Headless host, four light-pipe pairs (common practice, no source).
    units = [master("host-1", headless(4))]
    wires = []
    for n in range(1, boxes + 1):
        units.append(locked(f"expander-{n}", PRE, "expander", "optical", 1, "host-1"))
        wires.append(optical(f"expander-{n}", 1, "host-1", n))
        wires.append(optical("host-1", n, f"expander-{n}", 1))
    links, found = settle(units, wires)
    assert numbers(found) == list(range(1, inputs + 1))
    assert [link.channels for link in links] == [8] * (2 * boxes)


@pytest.mark.parametrize(
    ("host", "expected"),
    [
        # Linux kernel hdspm.c, channel maps: four optical sockets and 4 fixed inputs.
        (headless(4, coax=1, fixed=2, at_4x=4), {48000: 36, 96000: 20, 192000: 12}),
        (headless(4, coax=2, at_4x=4), {44100: 36, 88200: 20, 176400: 12}),
        # Linux kernel hdsp.c, channel maps: three optical sockets and 2 fixed.
        (headless(3, coax=1, at_4x=0), {48000: 26, 96000: 14}),
        # Linux kernel, firewire dice stream-format tables.
        (headless(1), {48000: 8, 96000: 4, 192000: 0}),
        (headless(2, at_2x=1), {48000: 16, 96000: 4, 192000: 0}),
    ],
    ids=["36-20-12", "36-20-12-two-stereo", "26-14", "8-4-0", "16-4-0"],
)
def test_inputs_of_hosts_by_rate(host: Any, expected: Any) -> None:
    for rate_hz, count in expected.items():
        sockets = live(host, "optical", "input", rate_hz)
        units = [master("host-1", host), Unit("expander-1", wide(64), "expander", INTERNAL)]
        wires = [optical("expander-1", n, "host-1", n) for n in range(1, host.optical_in + 1)]
        links, found = settle(units, wires, rate_hz)
        assert host_spans(units, links, rate_hz)["host-1"].visible.total == count
        assert [link.channels > 0 for link in links] == [
            n <= sockets for n in range(1, host.optical_in + 1)
        ]
        assert max(numbers(found), default=0) == count


@pytest.mark.parametrize(
    ("channels", "rate_hz", "cables"),
    # Sockets for N channels = ceil(N / (8/m)): lib_xua feat_adat_tx.rst.
    [
        (24, 48000, 3),
        (24, 96000, 6),
        (24, 192000, 12),
        (9, 48000, 2),
        (9, 96000, 3),
        (9, 192000, 5),
    ],
)
def test_cables_that_channels_need(channels: int, rate_hz: int, cables: Any) -> None:
    units = [
        master("host-1", headless(12, at_4x=12)),
        Unit("expander-1", wide(channels), "expander", INTERNAL),
    ]
    arriving = []
    for count in (cables - 1, cables):
        wires = [optical("expander-1", n, "host-1", n) for n in range(1, count + 1)]
        arriving.append(len(settle(units, wires, rate_hz)[1]))
    assert arriving[0] < channels == arriving[1]


def test_max_in_cuts_the_numbers_off() -> None:
    desk = replace(DESK, max_in_1x=12)
    units = [
        locked("host-1", desk, "host", "optical", 1, "expander-1"),
        master("expander-1", PRE, "expander"),
    ]
    links, found = settle(units, [optical("expander-1", 1, "host-1", 1)])
    assert runs(found) == [(1, 8, "host-1", 1, 8), (11, 12, "expander-1", 1, 2)]
    assert links[0].channels == 2


@pytest.mark.parametrize(("limit", "own"), [(5, 5), (0, 0), (10, 8)])
def test_max_in_may_leave_nothing_for_a_cable(limit: Any, own: Any) -> None:
    desk = replace(DESK, max_in_1x=limit)
    units = [
        locked("host-1", desk, "host", "optical", 1, "expander-1"),
        master("expander-1", PRE, "expander"),
    ]
    links, found = settle(units, [optical("expander-1", 1, "host-1", 1)])
    assert numbers(found) == list(range(1, own + 1))
    assert (links[0].channels, links[0].carries) == (0, ("clock",))


def test_hosts_follow_one_another_after_what_each_shows() -> None:
    # The first shows 10 of its 18 numbers, so the second starts at 11.
    units = [
        master("host-1", replace(DESK, max_in_1x=10)),
        locked("host-2", DESK, "host", "word", 1, "host-1"),
        Unit("expander-1", PRE, "expander", INTERNAL),
    ]
    _, found = settle(units, [optical("expander-1", 1, "host-2", 1)])
    assert runs(found) == [
        (1, 8, "host-1", 1, 8),
        (11, 18, "host-2", 1, 8),
        (21, 28, "expander-1", 1, 8),
    ]


def test_channels_are_dealt_by_output_socket_not_by_order_of_the_wires() -> None:
    units = [
        master("host-1", headless(2)),
        Unit("expander-1", wide(11), "expander", INTERNAL),
    ]
    wires = [optical("expander-1", 7, "host-1", 1), optical("expander-1", 2, "host-1", 2)]
    links, found = settle(units, wires)
    assert [link.channels for link in links] == [3, 8]
    assert runs(found) == [(1, 3, "expander-1", 9, 11), (9, 16, "expander-1", 1, 8)]


def test_accepts_and_phantom_come_from_the_channel() -> None:
    device = Device(
        "mix",
        "one of each",
        "host",
        price=1,
        mic_line_inst=1,
        mic_line=1,
        mic=1,
        line_inst=1,
        line=1,
        inst=1,
        phantom_bank=2,
    )
    _, found = settle([master("host-1", device, phantom_banks_on=(2,))], [])
    assert [(item.accepts, item.phantom) for item in found] == [
        (("mic", "line", "instrument"), False),
        (("mic", "line"), False),
        (("mic",), True),  # the last bank is short: channel 3 alone
        (("line", "instrument"), False),
        (("line",), False),
        (("instrument",), False),
    ]


def test_no_bank_no_phantom() -> None:
    device = Device("bare", "no 48 V", "host", price=1, mic=2)
    _, found = settle([master("host-1", device, phantom_banks_on=(1,))], [])
    assert [item.phantom for item in found] == [False, False]


# --- which wires carry audio -----------------------------------------------------------

BOTH = replace(PRE, id="both-8", coax_out=2, coax_in=2)


def test_one_format_light_pipe_before_stereo_unless_the_caller_says_so() -> None:
    units = [master("host-1", DESK), Unit("expander-1", BOTH, "expander", INTERNAL)]
    coax = wire("coax", "expander-1", 1, "host-1", 1, COAX)
    light = optical("expander-1", 1, "host-1", 1)
    links, _ = settle(units, [coax, light])
    assert [(link.channels, link.carries) for link in links] == [(0, ()), (8, ("audio",))]
    links, _ = settle(units, [coax, replace(light, audio=False)])
    assert [(link.channels, link.carries) for link in links] == [(2, ("audio",)), (0, ())]


def test_one_host_the_first_unless_the_caller_says_so() -> None:
    units = [
        master("host-1", DESK),
        locked("host-2", DESK, "host", "word", 1, "host-1"),
        Unit("expander-1", replace(PRE, optical_out=2, optical_2x=2), "expander", INTERNAL),
    ]
    second, first = (
        optical("expander-1", 1, "host-2", 1),
        optical("expander-1", 2, "host-1", 1),
    )
    assert [link.channels for link in settle(units, [second, first])[0]] == [0, 8]
    aside = replace(first, audio=False)
    assert [link.channels for link in settle(units, [second, aside])[0]] == [8, 0]


@pytest.mark.parametrize("channels", [8, 16])
def test_no_channel_is_dealt_to_a_socket_beyond_what_the_computer_sees(channels: int) -> None:
    host = headless(2, max_in_1x=8)
    units = [master("host-1", host), Unit("expander-1", wide(channels), "expander", INTERNAL)]
    wires = [optical("expander-1", 1, "host-1", 2), optical("expander-1", 2, "host-1", 1)]
    links, found = settle(units, wires)
    assert [link.channels for link in links] == [0, 8]
    assert runs(found) == [(1, 8, "expander-1", 1, 8)]


@pytest.mark.parametrize(
    "wire",
    [
        optical("expander-1", 2, "host-1", 1),
        optical("expander-1", 0, "host-1", 1),
        optical("expander-1", 1, "host-1", 2),
        optical("expander-1", 1, "host-1", 0),
    ],
)
def test_a_socket_that_is_not_there_carries_nothing(wire: Any) -> None:
    units = [master("host-1", DESK), Unit("expander-1", PRE, "expander", INTERNAL)]
    links, found = settle(units, [wire])
    assert (links[0].channels, links[0].carries) == (0, ())
    assert len(found) == 8


def test_a_link_into_a_socket_that_is_not_there_brings_no_input() -> None:
    units = [master("host-1", DESK), Unit("expander-1", PRE, "expander", INTERNAL)]
    links = derive_links(units, [optical("expander-1", 1, "host-1", 1)], 48000)
    wrong = (replace(links[0], to_socket=2),)
    assert len(derive_inputs(units, wrong, 48000)) == 8


def test_two_cables_on_one_socket_number_each_input_once() -> None:
    units = [
        master("host-1", DESK),
        Unit("expander-1", PRE, "expander", INTERNAL),
        Unit("expander-2", PRE, "expander", INTERNAL),
    ]
    wires = [optical("expander-1", 1, "host-1", 1), optical("expander-2", 1, "host-1", 1)]
    _, found = settle(units, wires)
    assert runs(found)[-1] == (11, 18, "expander-1", 1, 8)


def test_hosts_clocks_and_expanders_pass_no_audio_to_their_like() -> None:
    units = [
        master("host-1", DESK),
        locked("host-2", DESK, "host", "optical", 1, "host-1"),
        Unit("expander-1", BOTH, "expander", INTERNAL),
        locked("expander-2", BOTH, "expander", "coax", 1, "expander-1"),
    ]
    wires = [
        optical("host-1", 1, "host-2", 1),
        wire("coax", "expander-1", 1, "expander-2", 1, COAX),
    ]
    links, _ = settle(units, wires)
    assert [(link.channels, link.carries) for link in links] == [(0, ("clock",))] * 2


def test_unknown_unit_is_a_key_error() -> None:
    with pytest.raises(KeyError):
        derive_links([master("host-1", DESK)], [optical("ghost", 1, "host-1", 1)], 48000)


# --- feeding the outputs of expanders --------------------------------------------------


def feeder(line_out: Any = 10) -> Device:
    return replace(
        BOTH,
        id="feed",
        line_out=line_out,
        optical_in=2,
        optical_2x=2,
        clock_in=("optical", "coax"),
    )


def big(**changes: Any) -> Device:
    return replace(DESK, id="big", optical_out=3, optical_2x=3, coax_out=2, **changes)


def test_outputs_are_fed_light_pipe_first_then_by_socket() -> None:
    wires = [
        wire("coax", "host-1", 1, "expander-1", 1, COAX),
        optical("host-1", 1, "expander-1", 2),
        optical("host-1", 2, "expander-1", 1),
        wire("coax", "host-1", 2, "expander-1", 2, COAX),
    ]
    for outputs, channels in ((17, [1, 8, 8, 0]), (9, [0, 1, 8, 0])):
        fed = Unit("expander-1", feeder(outputs), "expander", INTERNAL)
        links, _ = settle([master("host-1", big()), fed], wires)
        assert [link.channels for link in links] == channels
        assert links[3].carries == ()


def test_a_cable_that_is_there_for_clock_feeds_outputs_too() -> None:
    for line_out, expected in ((0, ("clock",)), (3, ("audio", "clock"))):
        units = [
            master("host-1", DESK),
            locked("expander-1", feeder(line_out), "expander", "optical", 1, "host-1"),
        ]
        links, _ = settle(units, [optical("host-1", 1, "expander-1", 1, audio=False)])
        assert (links[0].channels, links[0].carries) == (line_out, expected)


def test_only_the_host_that_gets_the_audio_feeds_the_outputs() -> None:
    units = [
        master("host-1", DESK),
        locked("host-2", DESK, "host", "word", 1, "host-1"),
        Unit("expander-1", feeder(), "expander", INTERNAL),
    ]
    back = [optical("host-1", 1, "expander-1", 1), optical("host-2", 1, "expander-1", 2)]
    audio = optical("expander-1", 1, "host-2", 1)
    assert [link.channels for link in settle(units, [*back, audio])[0]] == [0, 8, 8]
    assert [link.channels for link in settle(units, back)[0]] == [8, 0]


def test_a_unit_that_sends_nothing_is_fed_by_the_host_that_feeds_most() -> None:
    """The first host sends it clock in stereo, the second light-pipe."""
    coaxial = replace(DESK, coax_out=1)
    sound = replace(feeder(8), coax_in=1)
    units = [
        master("host-1", coaxial),
        locked("host-2", DESK, "host", "word", 1, "host-1"),
        locked("expander-1", sound, "expander", "coax", 1, "host-1"),
    ]
    stereo = wire("coax", "host-1", 1, "expander-1", 1)
    more = optical("host-2", 1, "expander-1", 1)
    for back in ([stereo, more], [more, stereo]):
        links, _ = settle(units, back)
        told = {(link.kind, link.channels, link.carries) for link in links}
        assert told == {("coax", 0, ("clock",)), ("optical", 8, ("audio",))}
    links, _ = settle(units, [stereo])
    assert [(link.channels, link.carries) for link in links] == [(2, ("audio", "clock"))]


def test_a_unit_without_inputs_may_be_there_for_its_outputs() -> None:
    silent = replace(feeder(8), id="out-8", mic_line=0)
    units = [master("host-1", DESK), Unit("expander-1", silent, "expander", INTERNAL)]
    wires = [optical("expander-1", 1, "host-1", 1), optical("host-1", 1, "expander-1", 1)]
    links, found = settle(units, wires)
    assert [link.channels for link in links] == [0, 8]
    assert len(found) == 8


@pytest.mark.parametrize(("inputs", "channels"), [(0, [0, 8]), (1, [1, 0])])
def test_a_unit_that_converts_nothing_sends_to_no_host(
    inputs: int, channels: list[int]
) -> None:
    """Then another host than the one with its cable feeds it."""
    units = [
        master("host-1", DESK),
        locked("host-2", DESK, "host", "word", 1, "host-1"),
        Unit("expander-1", replace(feeder(8), mic_line=inputs), "expander", INTERNAL),
    ]
    wires = [optical("expander-1", 1, "host-1", 1), optical("host-2", 1, "expander-1", 1)]
    assert [link.channels for link in settle(units, wires)[0]] == channels


@pytest.mark.parametrize(
    ("out", "into", "channels"), [(4, 8, 1), (5, 8, 0), (4, 9, 0), (4, 1, 1)]
)
def test_a_line_joins_a_direct_out_and_an_input_for_line(
    out: int, into: int, channels: int
) -> None:
    """Four direct outs, and a host with eight inputs that take line."""
    units = line_worlds.leads().rig.units
    (one,) = derive_links(units, [wire("analogue", "preamp-1", out, "host-1", into)], 48000)
    assert one.channels == channels


def test_each_unit_is_fed_by_its_own_trunk() -> None:
    """12 channels from each, and 8 outputs of one and 3 of the other."""
    host, stage = link_worlds.staged().rig.units
    small = replace(stage.device, id="small", line_out=3)
    lock = replace(stage, name="expander-2", device=small)
    trunk = [
        wire(link_worlds.BOTH, f"expander-{n}", 1, "host-1", socket)
        for n, socket in ((1, 2), (2, 1))
    ]
    links, _ = settle([host, stage, lock], trunk)
    assert [(one.channels, one.back) for one in links] == [(12, 8), (12, 3)]


@pytest.mark.parametrize("lost", [("host-1",), ("expander-1",), ("host-1", "expander-1")])
def test_nothing_comes_back_over_a_trunk_to_a_unit_that_is_in_no_tree(
    lost: tuple[str, ...],
) -> None:
    units = [
        replace(unit, clock=None if unit.name in lost else unit.clock)
        for unit in link_worlds.staged().rig.units
    ]
    trunk = [wire(link_worlds.BOTH, "expander-1", 1, "host-1", 2)]
    assert [(one.channels, one.back) for one in settle(units, trunk)[0]] == [(12, 0)]


# --- folding ---------------------------------------------------------------------------


def test_nothing_folds_to_nothing() -> None:
    assert fold([]) == ()


def test_a_run_breaks_at_a_gap_a_unit_and_a_channel(band: World) -> None:
    inputs = band.rig.inputs
    assert fold(inputs[:2]) == (Run(1, 2, "host-1", 1, 2),)
    assert len(fold([inputs[0], inputs[2]])) == 2
    assert len(fold([inputs[0], replace(inputs[1], unit="host-2")])) == 2
    assert len(fold([inputs[0], replace(inputs[1], channel=1)])) == 2
