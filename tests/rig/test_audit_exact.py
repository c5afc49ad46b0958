"""All that the audit says of a break: no rule more, and none twice."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from rigopt.catalogue.types import SocketRef
from rigopt.needs.types import Needs
from rigopt.output.words.findings import change, says
from rigopt.rig.audit import audit_needs, audit_wiring, warnings
from rigopt.rig.audit.causes import causes
from rigopt.rig.audit.channels import listen
from rigopt.rig.audit.finding import Rule, finding
from rigopt.rig.audit.outputs import line_fed
from rigopt.rig.audit.sockets import locks
from rigopt.rig.audit.wiring import Wiring, link_name
from rigopt.rig.types import ClockSetting
from tests.rig import line_worlds, link_worlds
from tests.rig.link_worlds import HUB, SIXTEEN
from tests.rig.rig_builders import (
    OPT,
    PRE,
    TICK,
    WORD,
    World,
    locked,
    master,
    with_device,
    with_link,
    with_needs,
    with_unit,
)
from tests.wires import link

Bend = Callable[[World], World]


def made(name: str) -> World:
    where = link_worlds if hasattr(link_worlds, name) else line_worlds
    found: World = getattr(where, name)()
    return found


def converter(world: World) -> World:
    """The expander has direct outs too, and is wired digitally."""
    return with_device(world, "expander-1", direct_out=1)


LOST: list[Rule] = ["socket-missing", "clock-link"]

WIRED: list[tuple[str, Bend, list[Rule]]] = [
    # A cable of light that is said to go on is named once, and is no chain of word clock.
    ("stereo", lambda w: with_link(w, 1, after="host-1"), ["chain-start"]),
    # Direct outs do not make a rate needless where a digital cable is in use.
    (
        "staged",
        lambda w: with_device(converter(w), "expander-1", rates_hz=(44100,)),
        ["rate"],
    ),
    # What is idle runs at every rate only if it has direct outs.
    ("idle", lambda w: with_device(w, "expander-1", rates_hz=(44100,)), ["rate"]),
    ("idle", lambda w: with_device(converter(w), "expander-1", rates_hz=(44100,)), []),
    # Over a cable that is dead nothing is said of channels.
    ("stereo", lambda w: with_link(w, 0, from_socket=2), ["socket-missing"]),
    ("stereo", lambda w: with_link(w, 0, from_socket=0), ["socket-missing"]),
    ("stereo", lambda w: with_link(w, 0, to_socket=0), [*LOST, "carries-clock"]),
    # What is said to come back over a cable of one way does not make it one of none.
    ("stereo", lambda w: with_link(w, 1, channels=0, back=1), ["channels", "channels"]),
    # And a trunk that is said to bring nothing at all may still bring audio.
    ("staged", lambda w: with_link(w, 0, channels=0, back=0), ["channels", "channels"]),
    # It may be there for what it brings back alone, be it one channel.
    ("staged", lambda w: with_link(w, 0, channels=0), []),
    (
        "staged",
        lambda w: with_link(with_device(w, "expander-1", line_out=1), 0, channels=0, back=1),
        [],
    ),
    # Without a clock nothing of what comes back can be used.
    (
        "staged",
        lambda w: with_unit(w, "host-1", clock=None),
        ["channels", "clock-none", "clock-master"],
    ),
    # Where a cable starts matters only for audio.
    (
        "staged",
        lambda w: with_link(
            with_device(w, "expander-1", line_out=0),
            0,
            **{"from_unit": "host-1", "from_socket": 2, "to_unit": "expander-1"},
            **{"to_socket": 1, "channels": 0, "back": 0, "carries": ("clock",)},
        ),
        [],
    ),
]


@pytest.mark.parametrize(("name", "bend", "rules"), WIRED)
def test_of_a_rig_as_it_is_wired(name: str, bend: Bend, rules: list[Rule]) -> None:
    rig = bend(made(name)).rig
    found = audit_wiring(rig.units, rig.links, rig.rate_hz)
    assert [one.rule for one in found] == rules


def test_clocks_may_differ_where_a_cable_carries_nothing() -> None:
    units = [master("host-1", HUB), master("clock-1", TICK, "clock")]
    one = link("word", "clock-1", 1, "host-1", 1, 0, (), WORD)
    assert [found.rule for found in audit_wiring(units, [one], 48000)] == ["carries-nothing"]


@pytest.mark.parametrize(("rule", "socket"), [("socket-missing", 3), ("socket-dead", 2)])
def test_of_several_cables_in_a_socket_that_is_none_the_first_is_named(
    rule: Rule, socket: int
) -> None:
    units = with_device(made("stereo"), "host-1", optical_1x=1).rig.units
    two = [link("optical", f"expander-{n}", 1, "host-1", socket, 0, (), OPT) for n in (1, 2)]
    (found,) = [
        one
        for one in audit_wiring(units, two, 48000)
        if one.rule == rule and one.fact("unit") == "host-1"
    ]
    assert found.fact("link") == link_name(two[0])


def test_dead_sockets_are_told_with_those_that_live() -> None:
    world = made("stereo")
    rig = with_device(world, "host-1", optical_1x=1, optical_stereo=1).rig
    (one,) = [f for f in audit_wiring(rig.units, rig.links, 48000) if f.rule == "socket-dead"]
    assert (one.case, one.fact("live")) == ("", 1)
    rig = with_device(world, "expander-1", optical_stereo=0).rig
    (one,) = [f for f in audit_wiring(rig.units, rig.links, 48000) if f.rule == "socket-dead"]
    assert (one.case, one.fact("live")) == ("all", 0)


@pytest.mark.parametrize("way", ["in", "out"])
def test_what_is_shared_is_shared_by_its_way(way: Any) -> None:
    """An optical and a coax cable out of the host, and the same two sockets shared."""
    group = (SocketRef("optical", way, 1), SocketRef("coax", way, 1))
    host = replace(HUB, either=(group,))
    units = [
        master("host-1", host),
        locked("expander-1", PRE, "expander", "optical", 1, "host-1"),
    ]
    links = [
        link("optical", "host-1", 1, "expander-1", 1, 8, ("audio", "clock"), OPT),
        link("coax", "host-1", 1, "expander-1", 1, 0, (), WORD),
    ]
    found = [one for one in audit_wiring(units, links, 48000) if one.rule == "socket-either"]
    assert [(one.fact("unit"), one.fact("count")) for one in found] == [("host-1", 2)] * (
        way == "out"
    )


def test_the_outputs_of_an_expander_are_fed_by_the_host_that_sends_it_audio() -> None:
    """The first host sends it word clock, or nothing."""
    units = [
        master("host-1", replace(HUB, word_out=1)),
        locked("host-2", HUB, "host", "word", 1, "host-1"),
        locked("expander-1", PRE, "expander", "word", 1, "host-1"),
    ]
    audio = link("optical", "host-2", 1, "expander-1", 1, 8, ("audio",), OPT)
    clock = link("word", "host-1", 1, "expander-1", 1, 0, ("clock",), WORD)
    for links in ((audio,), (clock, audio)):
        assert line_fed(Wiring(tuple(units), links, 48000)) == 2 + 2 + 8


def test_the_outputs_of_one_that_sends_nothing_are_fed_by_who_feeds_most() -> None:
    """By hand: 2 outputs each of the hosts; of 8, stereo feeds 2 and a light-pipe all."""
    first, second = replace(HUB, coax_out=1), HUB
    last = replace(PRE, coax_in=1, mic_line=0)
    hosts = master("host-1", first), master("host-2", second)
    units = (*hosts, master("expander-1", last, "expander"))
    stereo = link("coax", "host-1", 1, "expander-1", 1, 2, ("audio",), None)
    light = link("optical", "host-2", 1, "expander-1", 1, 8, ("audio",), OPT)
    assert line_fed(Wiring(units, (stereo,), 48000)) == 2 + 2 + 2
    assert line_fed(Wiring(units, (stereo, light), 48000)) == 2 + 2 + 8
    assert listen(Wiring(units, (stereo, light), 48000)).heard == (0, 8)


def test_a_unit_locks_to_one_socket_of_a_kind() -> None:
    box = replace(PRE, clock_in=("word", SocketRef("trunk", "in", 2)))
    known = [("trunk", 2), ("trunk", None), ("word", 1), ("word", None)]
    assert all(locks(box, kind, socket) for kind, socket in known)
    assert not any(locks(box, kind, 2) for kind in ("coax", "optical"))
    assert not locks(box, "trunk", 1)


def test_what_cables_are_called() -> None:
    assert link_name(made("leads").rig.links[0]) == "preamp-1 direct out 1 -> host-1 5"
    links = made("chained").rig.links
    assert link_name(links[2]) == "word clock-1 out 1 -> host-1 in 1"
    assert link_name(links[3]) == "word clock-1 out 1 via host-1 -> expander-1 in 1"
    assert link_name(made("staged").rig.links[0]) == "trunk both-12 expander-1 1 -> host-1 2"


def test_of_no_rig_at_all() -> None:
    assert [one.rule for one in audit_wiring([], [], 48000)] == ["no-host"]
    # Nor is there a master where nothing has a clock, and none to be named.
    (lone,) = [unit for unit in made("leads").rig.units if unit.role == "preamp"]
    found = audit_wiring([lone], [], 48000)
    assert [one.rule for one in found] == ["no-host", "clock-master"]


@pytest.mark.parametrize(
    ("mic", "line_out", "carries", "told"),
    [
        (1, 0, "audio", ""),
        (0, 0, "audio", "audio; 0 channels do, leave out 'audio' in what it carries"),
        (0, 1, "", "no audio; 1 channels do, put 'audio' in what it carries"),
        (0, 0, "", ""),
    ],
)
def test_audio_is_said_of_a_cable_exactly_if_a_channel_is_on_it(
    mic: int, line_out: int, carries: str, told: str
) -> None:
    world = with_device(made("staged"), "expander-1", mic=mic, line_out=line_out)
    said = tuple(filter(None, (carries, "clock")))
    world = with_link(world, 0, channels=mic, back=line_out, carries=said)
    found = audit_wiring(world.rig.units, world.rig.links, 48000)
    words = f"the cable trunk both-12 expander-1 1 -> host-1 2 is said to carry {told}"
    assert [f"{says(one)}, {change(one)}" for one in found] == [words] * bool(told)


@pytest.mark.parametrize("carried", [(1, 0, ()), (0, 1, ()), (0, 0, ("audio",))])
def test_between_clocks_goes_no_audio(carried: tuple[int, int, Any]) -> None:
    channels, back, carries = carried
    follower = replace(TICK, word_in=1, clock_in=("word",), word_out=1)
    units = [
        master("host-1", HUB),
        locked("clock-1", follower, "clock", "word", 1, "clock-2"),
        master("clock-2", TICK, "clock"),
    ]
    one = link(
        "word", "clock-2", 1, "clock-1", 1, channels, (*carries, "clock"), WORD, back=back
    )
    (found,) = audit_wiring(units, [one], 48000)
    assert (found.rule, found.fact("unit")) == ("clock-audio", "clock-2")


def test_of_instruments_without_room_all_are_told() -> None:
    """Two of three would be in boxes."""
    (found,) = [
        one
        for one in audit_needs(*wired(with_needs(made("leads"), instrument=3, line=0, spare=0)))
        if one.rule == "demand"
    ]
    assert (found.fact("asked"), found.fact("room")) == (3, 0)


@pytest.mark.parametrize("powered", [True, False])
@pytest.mark.parametrize("phantom", [0, 2])
def test_no_more_instruments_are_in_boxes_than_these_take(powered: bool, phantom: int) -> None:
    """Two, and no other channel takes one; there is room for microphones."""
    world = with_device(made("leads"), "di-1", di_phantom=powered)
    rules = []
    for instruments in (1, 2, 3):
        needs = {"mic": 2, "phantom": phantom, "line": 0, "spare": 0, "out_phones": 0}
        asked = with_needs(world, **needs, instrument=instruments)
        rules.append([one.rule for one in audit_needs(*wired(asked))])
    assert rules == [[], [], ["demand"]]


def wired(world: World) -> tuple[Any, Any, int, Needs]:
    return world.rig.units, world.rig.links, world.rig.rate_hz, world.needs


ANSWERED: list[tuple[str, Bend, list[Rule]]] = [
    # Two light-pipes, one cable to the host's T-piece and one from it are the long runs.
    ("chained", lambda w: with_needs(w, host_to_rack_mm=1001), ["cable-short"] * 4),
    ("chained", lambda w: with_needs(w, within_rack_mm=1001), ["cable-short"]),
    # What comes over a dead cable is not heard, and feeds nothing.
    (
        "stereo",
        lambda w: with_link(w, 0, from_socket=2),
        ["socket-missing", "input-extra", "input-extra"],
    ),
    (
        "stereo",
        lambda w: with_link(w, 2, from_socket=2),
        ["socket-missing", "line-outputs"],
    ),
    # Of two cables on one output the second is no chain's, and what follows it begins nowhere.
    (
        "chained",
        lambda w: with_link(w, 3, after=None),
        ["socket-taken", "chain-start", "piece-extra", "piece-extra"],
    ),
    (
        "leads",
        lambda w: with_link(w, 0, from_socket=0),
        ["line-out", "demand", "input-channel", "input-path"],
    ),
    (
        "chained",
        lambda w: with_unit(w, "host-1", clock=None),
        ["clock-none", "carries-clock", "chain-lock"],
    ),
]


@pytest.mark.parametrize(("name", "bend", "rules"), ANSWERED)
def test_of_an_answer(name: str, bend: Bend, rules: list[Rule]) -> None:
    assert bend(made(name)).rules() == rules


def test_an_input_that_hangs_alone_need_not_be_what_its_unit_is_locked_to(
    clocked: World,
) -> None:
    """In a chain of two it must."""
    assert lock_to_light(clocked).rules() == ["carries-clock"] * 2 + ["clock-far", "clock-hops"]
    world = lock_to_light(made("chained"))
    units = [unit for unit in world.rig.units if unit.name != "expander-2"]
    links = [one for one in world.rig.links if "expander-2" not in (one.from_unit, one.to_unit)]
    found = [one.rule for one in audit_wiring(units, links, 48000)]
    # The T-piece of what is now the last one is needless.
    assert found == ["carries-clock", "carries-clock", "chain-lock", "piece-extra"]


def lock_to_light(world: World) -> World:
    """The host is locked to the cable from the expander, and not to word clock."""
    return with_unit(world, "host-1", clock=ClockSetting("optical", 1, "expander-1"))


@pytest.mark.parametrize(
    ("most", "length", "told"),
    [
        (None, 5000, False),
        (None, 5001, True),
        (9000, 5001, True),
        (9000, 9000, True),
        (9000, 9001, False),
    ],
)
def test_a_doubtful_length_is_told_up_to_the_longest(
    most: int | None, length: int, told: bool
) -> None:
    world = made("apart")
    row = SIXTEEN._replace(warn_mm=5000, max_mm=most)
    one = link(row, "expander-1", 1, "host-1", 1, 8, ("audio",), replace(OPT, length_mm=length))
    found = warnings(world.rig.units, [one], 48000)
    assert [each.rule for each in found] == ["optical-long"] * told


@pytest.mark.parametrize(
    ("first", "following", "kept"),
    [
        ("socket-missing", "channels", False),
        ("socket-missing", "demand", True),
        ("rate", "line-outputs", False),
        ("rate", "input-order", True),
        ("socket-dead", "demand", False),
        ("socket-dead", "input-channel", True),
        ("budget", "channels", True),
    ],
)
def test_what_only_follows_is_not_told(first: Rule, following: Rule, kept: bool) -> None:
    one, other = finding(first), finding(following)
    assert causes([other, one]) == ((other, one) if kept else (one,))


def test_a_circle_is_told_unless_the_cable_is_missing() -> None:
    circle, other = finding("clock-loop", unit="a"), finding("clock-loop", unit="b")
    missing = finding("clock-link", unit="a")
    assert causes([circle, missing, other]) == (missing, other)
