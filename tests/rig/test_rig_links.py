"""Formats, trunks, clock trees and word chains: sound rigs, each broken once, and the edges."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import astuple, replace
from typing import Any

import pytest

from rigopt.answers.rates import by_rate
from rigopt.catalogue.types import Blank, InOut, SocketRef
from rigopt.facts import FORMATS
from rigopt.output.words.findings import change, says
from rigopt.rig.audit import audit_wiring, warnings
from rigopt.rig.audit.banks import accepts, banks
from rigopt.rig.audit.channels import listen
from rigopt.rig.audit.finding import Rule
from rigopt.rig.audit.forest import Place, forest
from rigopt.rig.audit.numbers import places
from rigopt.rig.audit.relock import free
from rigopt.rig.audit.wiring import Wiring
from rigopt.rig.types import ClockSetting, Link, Unit
from rigopt.rig.wired import WiredRig
from tests.rig import link_worlds as worlds
from tests.rig.link_worlds import BOTH, END, FIBRE, SIXTEEN, STILL, TEE
from tests.rig.rig_builders import (
    DESK,
    INTERNAL,
    OPT,
    TICK,
    WORD,
    World,
    plus_link,
    with_device,
    with_link,
    with_needs,
    with_rig,
    with_unit,
)
from tests.wires import link
from tests.world import ALL

Bend = Callable[[World], World]
SOUND = ["stereo", "staged", "chained", "apart", "two_hosts", "idle"]


def made(name: str) -> World:
    found: World = getattr(worlds, name)()
    return found


@pytest.mark.parametrize("name", SOUND)
def test_sound_rigs_pass(name: str) -> None:
    world = made(name)
    assert world.rules() == []
    rig = world.rig
    assert warnings(rig.units, rig.links, rig.rate_hz) == ()


def lock(world: World, name: str, *clock: Any) -> World:
    return with_unit(world, name, clock=ClockSetting(*clock))


def at(world: World, rate_hz: int) -> World:
    return with_needs(with_rig(world, rate_hz=rate_hz), rate_hz=rate_hz)


def shared(world: World, *refs: SocketRef) -> World:
    """Of these sockets of the host one works at a time."""
    return with_device(world, "host-1", either=(refs,))


def second_coax(world: World) -> World:
    """A coax cable into the host, whose receiver is shared with optical 1."""
    wide = shared(world, SocketRef("coax", "in", 1), SocketRef("optical", "in", 1))
    wide = with_device(wide, "expander-1", coax_out=1)
    return plus_link(wide, link("coax", "expander-1", 1, "host-1", 1, 0, (), worlds.COAX))


def both_masters(world: World) -> World:
    return with_unit(world, "expander-1", clock=INTERNAL)


def no_converter(world: World) -> World:
    return with_device(world, "host-1", rate_converter=("coax", "trunk"))


def lower(world: World) -> World:
    """A second trunk cable, on which nothing is locked although its socket is lower."""
    high = lock(with_link(world, 0, from_socket=2), "expander-1", "trunk", 2, "host-1")
    return plus_link(high, link(BOTH, "expander-1", 1, "host-1", 1, 0, (), worlds.NET))


def fixed(world: World, name: str) -> World:
    return with_device(world, name, word_end="fixed")


def without_clock(world: World) -> World:
    """A trunk that carries no clock, between boxes that speak it."""
    still = STILL._replace(duplex=True)
    world = with_device(with_device(world, "host-1", trunk=still), "expander-1", trunk=still)
    return with_link(world, 0, format=still, cable=worlds.FLAT)


def two_formats(world: World) -> World:
    """The second expander sends by light-pipe and in stereo."""
    world = with_device(world, "expander-2", optical_out=2, optical_2x=2, optical_stereo=2)
    return with_link(world, 0, from_unit="expander-2", from_socket=2)


BROKEN: list[tuple[Rule, str, Bend]] = [
    # what a socket speaks at a class
    ("socket-dead", "stereo", lambda w: with_device(w, "host-1", optical_1x=1)),
    ("socket-dead", "stereo", lambda w: with_device(w, "host-1", optical_1x=InOut(1, 1))),
    ("socket-dead", "stereo", lambda w: with_device(w, "expander-2", optical_1x=InOut(1, 0))),
    ("socket-dead", "stereo", lambda w: with_device(w, "expander-1", optical_stereo=0)),
    ("socket-dead", "staged", lambda w: at(w, 192000)),
    ("socket-format", "stereo", lambda w: with_device(w, "host-1", optical_stereo=0)),
    ("socket-format", "stereo", lambda w: with_link(w, 0, to_socket=2)),
    ("socket-format", "stereo", lambda w: with_link(w, 1, format=FORMATS["stereo"])),
    ("socket-format", "stereo", lambda w: at(with_device(w, "host-1", optical_4x=2), 192000)),
    (
        "socket-format",
        "staged",
        lambda w: with_device(w, "expander-1", trunk=SIXTEEN, trunk_out=2),
    ),
    ("socket-missing", "staged", lambda w: with_link(w, 0, to_socket=3)),
    (
        "socket-taken",
        "staged",
        lambda w: plus_link(w, link(BOTH, "host-1", 2, "expander-1", 2, 0, (), worlds.NET)),
    ),
    ("socket-either", "stereo", second_coax),
    (
        "socket-either",
        "stereo",
        lambda w: shared(w, SocketRef("optical", "in", 1), SocketRef("optical", "in", 2)),
    ),
    (
        "socket-either",
        "staged",
        lambda w: plus_link(
            shared(w, SocketRef("trunk", "in", 2), SocketRef("word", "in", 1)),
            link("word", "expander-1", 1, "host-1", 1, 0, (), WORD),
        ),
    ),
    # channels
    ("two-hosts", "stereo", two_formats),
    (
        "duplex-start",
        "staged",
        lambda w: with_link(
            w, 0, from_unit="host-1", from_socket=2, to_unit="expander-1", to_socket=1
        ),
    ),
    ("channels", "staged", lambda w: with_link(w, 0, back=7)),
    ("channels", "staged", lambda w: with_link(w, 0, channels=11)),
    ("channels", "staged", lambda w: with_device(w, "expander-1", line_out=9)),
    ("channels", "stereo", lambda w: with_link(w, 0, channels=8)),
    ("carries-audio", "staged", lambda w: with_link(w, 0, carries=("clock",))),
    (
        "carries-nothing",
        "staged",
        lambda w: plus_link(w, link(BOTH, "expander-1", 2, "host-1", 1, 0, (), worlds.NET)),
    ),
    # clock
    ("clock-none", "staged", lambda w: with_unit(w, "expander-1", clock=None)),
    ("clock-none", "idle", lambda w: with_unit(w, "host-1", clock=None)),
    ("clock-idle", "idle", lambda w: with_unit(w, "expander-1", clock=INTERNAL)),
    (
        "clock-kind",
        "staged",
        lambda w: with_device(w, "expander-1", clock_in=(SocketRef("trunk", "in", 2),)),
    ),
    (
        "clock-kind",
        "stereo",
        lambda w: with_device(w, "host-1", clock_in=("word", SocketRef("optical", "in", 2))),
    ),
    ("clock-format", "staged", without_clock),
    ("clock-link", "staged", lambda w: lock(w, "expander-1", "trunk", 2, "host-1")),
    ("clock-loop", "staged", lambda w: lock(w, "host-1", "trunk", 2, "expander-1")),
    ("carries-clock", "staged", lambda w: with_link(w, 0, carries=("audio",))),
    ("clock-tree", "apart", no_converter),
    ("clock-tree", "staged", both_masters),
    ("clock-hosts", "two_hosts", lambda w: with_needs(w, own_clocks=False)),
    ("clock-wish", "two_hosts", lambda w: with_needs(w, master="hub")),
    ("clock-wish", "apart", lambda w: with_needs(w, master="expander")),
    ("clock-lowest", "staged", lower),
    # chains of word inputs
    ("chain-start", "chained", lambda w: with_link(w, 3, after="expander-2")),
    ("chain-start", "chained", lambda w: with_link(w, 4, after="host-1")),
    ("chain-start", "stereo", lambda w: with_link(w, 1, after="host-1")),
    ("unit-unknown", "chained", lambda w: with_link(w, 3, after="ghost")),
    ("socket-taken", "chained", lambda w: with_link(w, 3, after=None)),
    ("chain-end", "chained", lambda w: fixed(w, "host-1")),
    ("chain-end", "chained", lambda w: fixed(w, "expander-1")),
    ("chain-lock", "chained", lambda w: lock(w, "host-1", "optical", 1, "expander-1")),
    ("chain-long", "chained", lambda w: with_needs(w, word_inputs=2)),
    ("clock-link", "chained", lambda w: lock(w, "expander-1", "word", 1, "host-1")),
    ("piece-extra", "chained", lambda w: with_device(w, "expander-2", word_end="switch")),
    ("piece-extra", "chained", lambda w: with_link(w, 2, terminator=END)),
    ("piece-extra", "stereo", lambda w: with_link(w, 0, tee=TEE)),
    ("piece-unnamed", "chained", lambda w: with_link(w, 2, tee=None)),
    ("piece-unnamed", "chained", lambda w: with_link(w, 4, terminator=None)),
    ("piece-unnamed", "chained", lambda w: with_link(w, 4, tee=None)),
    (
        "packs-few",
        "chained",
        lambda w: with_rig(
            w, purchases=tuple(line for line in w.rig.purchases if line.item != "end")
        ),
    ),
    ("packs-many", "chained", lambda w: with_link(w, 4, terminator=None)),
    # cables
    ("cable-kind", "staged", lambda w: with_link(w, 0, cable=OPT)),
    ("cable-kind", "stereo", lambda w: with_link(w, 0, cable=FIBRE)),
    ("cable-kind", "chained", lambda w: with_link(w, 2, tee=END)),
    ("cable-long", "stereo", lambda w: with_link(w, 0, cable=replace(OPT, length_mm=10_001))),
    ("cable-short", "chained", lambda w: with_needs(w, within_rack_mm=1001)),
    ("cable-short", "staged", lambda w: with_needs(w, host_to_rack_mm=1001)),
    ("cable-differs", "chained", lambda w: with_link(w, 2, tee=replace(TEE, price=1))),
    (
        "format-differs",
        "staged",
        lambda w: replace(w, catalogue=replace(w.catalogue, formats=FORMATS)),
    ),
    # channel order, banks and classes
    (
        "input-accepts",
        "stereo",
        lambda w: with_device(
            w, "expander-2", mic_line=4, line=4, channel_order=("line", "mic_line")
        ),
    ),
    (
        "input-phantom",
        "stereo",
        lambda w: with_device(
            with_unit(w, "host-1", phantom_banks_on=(2,)), "host-1", phantom_bank=(2, 2)
        ),
    ),
    ("bank-missing", "stereo", lambda w: with_unit(w, "host-1", phantom_banks_on=(3,))),
    (
        "input-extra",
        "stereo",
        lambda w: with_device(
            w, "host-1", input_order=("analogue", Blank(1, 0, 0), "coax", "optical", "trunk")
        ),
    ),
]


@pytest.mark.parametrize(("rule", "name", "bend"), BROKEN)
def test_each_break_is_named(rule: Rule, name: str, bend: Bend) -> None:
    world = bend(made(name))
    assert rule in world.rules()


EDGES: list[tuple[str, str, Bend]] = [
    (
        "a light-pipe more at 2x than at 1x",
        "stereo",
        lambda w: with_device(w, "host-1", optical_2x=2),
    ),
    (
        "just as many as there are cables",
        "stereo",
        lambda w: with_device(w, "host-1", optical_1x=InOut(2, 1)),
    ),
    (
        "a shared receiver with one cable",
        "stereo",
        lambda w: shared(w, SocketRef("coax", "in", 1), SocketRef("optical", "in", 1)),
    ),
    (
        "sockets shared with what is never used",
        "staged",
        lambda w: shared(w, SocketRef("trunk", "in", 2), SocketRef("trunk", "in", 1)),
    ),
    (
        "locked to the very socket",
        "staged",
        lambda w: with_device(w, "expander-1", clock_in=(SocketRef("trunk", "in", 1),)),
    ),
    (
        "a fixed end, last",
        "chained",
        lambda w: with_link(
            with_rig(
                with_device(w, "expander-2", word_end="fixed"),
                purchases=tuple(
                    replace(line, quantity=2) if line.item == "tee" else line
                    for line in w.rig.purchases
                    if line.item != "end"
                ),
                total=w.rig.total - 700,
            ),
            4,
            tee=None,
            terminator=None,
        ),
    ),
    ("no end in the middle", "chained", lambda w: with_device(w, "host-1", word_end="none")),
    ("as many inputs as allowed", "chained", lambda w: with_needs(w, word_inputs=3)),
    ("one hop for each of a chain", "chained", lambda w: with_needs(w, max_hops=1)),
    (
        "the long runs only where the chain crosses",
        "chained",
        lambda w: with_needs(w, within_rack_mm=1000, host_to_rack_mm=1000),
    ),
    ("a tree without a host has any master", "apart", lambda w: with_needs(w, master="hub")),
    (
        "hosts of one tree",
        "two_hosts",
        lambda w: with_rig(
            with_needs(w, own_clocks=False),
            units=w.rig.units[:1],
            inputs=w.rig.inputs[:8],
            purchases=w.rig.purchases[:1],
            total=30000,
        ),
    ),
    ("banks of a list", "stereo", lambda w: with_device(w, "host-1", phantom_bank=(1, 1, 6))),
]


@pytest.mark.parametrize(
    ("name", "bend"), [edge[1:] for edge in EDGES], ids=[edge[0] for edge in EDGES]
)
def test_edges_are_accepted(name: str, bend: Bend) -> None:
    assert bend(made(name)).rules() == []


# --- remarks ---------------------------------------------------------------------------


def remarks(world: World) -> list[str]:
    rig = world.rig
    assert audit_wiring(rig.units, rig.links, rig.rate_hz) == ()
    return [one.rule for one in warnings(rig.units, rig.links, rig.rate_hz)]


def test_pieces_of_a_chain_need_no_names_where_nothing_is_bought() -> None:
    bare = made("chained")
    for index in (2, 3, 4):
        bare = with_link(bare, index, cable=None, tee=None, terminator=None)
    # But what ends the chain has no end of its own.
    assert remarks(bare) == ["open-end"]
    assert remarks(with_device(bare, "expander-2", word_end="switch")) == []


# --- what is heard ---------------------------------------------------------------------


def test_a_stereo_link_takes_two_numbers_and_an_empty_socket_all() -> None:
    world = made("stereo")
    heard = {
        unit: number
        for number, (unit, _) in reversed(
            listen(Wiring(world.rig.units, world.rig.links, 48000)).inputs.items()
        )
    }
    assert heard == {"host-1": 1, "expander-1": 11, "expander-2": 13}
    assert len(places(Wiring(world.rig.units[:1], (), 48000))) == 8 + 2 + 8 + 8 + 24


def test_a_duplex_cable_feeds_outputs_unless_clocks_differ() -> None:
    world = made("staged")
    hub = replace(world.rig.units[0].device, rate_converter=("trunk",))
    units = (replace(world.rig.units[0], device=hub), world.rig.units[1])
    one = world.rig.links[0]
    assert (one.channels, one.back, one.carries) == (12, 8, ("audio", "clock"))
    alone = replace(units[1], clock=INTERNAL)
    alone_link = replace(one, back=0, carries=("audio",))
    assert audit_wiring((units[0], alone), (alone_link,), 48000) == ()
    fed = replace(alone.device, rate_converter=("trunk",))
    both = replace(one, carries=("audio",))
    assert audit_wiring((units[0], replace(alone, device=fed)), (both,), 48000) == ()
    said = audit_wiring((units[0], alone), (both,), 48000)
    assert [says(found) for found in said] == [
        "the cable trunk both-12 expander-1 1 -> host-1 2 is said to bring 8 channels back;"
        " 0 do"
    ]


def test_a_cable_to_an_expander_on_another_clock_is_a_fault_without_a_converter() -> None:
    world = made("apart")
    back = link("optical", "host-1", 1, "expander-1", 1, 8, ("audio",), OPT)
    found = audit_wiring(world.rig.units, (*world.rig.links, back), 48000)
    assert [one.rule for one in found] == ["clock-tree"]
    assert says(found[0]) == (
        "2 units run on clocks of their own (host-1, expander-1), and audio goes between them:"
        " optical host-1 out 1 -> expander-1 in 1"
    )
    assert change(found[0]) == "lock expander-1 to optical in 1, where the cable from host-1 is"


def test_several_trees_are_told_of_once() -> None:
    units = [Unit(f"host-{n}", DESK, "host", INTERNAL) for n in range(3)]
    found = audit_wiring(units, [], 48000)
    assert [says(one) for one in found] == [
        "the hosts run on 3 clocks (host-0, host-1, host-2); they need one, unless the computer"
        " resamples between them"
    ]
    assert change(found[0]) == (
        "plug an optical cable from host-0 out 1 into host-1 in 1, and lock host-1 to it and"
        " plug an optical cable from host-1 out 1 into host-2 in 1, and lock host-2 to it"
    )


def test_a_shared_receiver_is_not_free() -> None:
    world = shared(made("stereo"), SocketRef("coax", "in", 1), SocketRef("optical", "in", 1))
    wiring = Wiring(world.rig.units, world.rig.links, 48000)
    host = world.rig.units[0]
    assert free(wiring, host, "coax", "input") == []
    assert free(wiring, host, "trunk", "socket") == [1, 2]
    assert free(Wiring(wiring.units, (), 48000), host, "coax", "input") == [1]


def test_banks_of_a_list_in_the_order_of_the_channels() -> None:
    mixed = replace(
        DESK,
        mic_line_inst=0,
        mic_line=3,
        line=2,
        mic=2,
        phantom_bank=(2, 1),
        channel_order=("line", "mic"),
    )
    assert accepts(mixed) == [
        *[("line",)] * 2,
        *[("mic",)] * 2,
        *[("mic", "line")] * 3,
    ]
    assert banks(mixed) == [[3, 4], [5]]
    assert banks(replace(mixed, phantom_bank=4)) == [[3, 4, 5, 6], [7]]
    assert banks(replace(mixed, phantom_bank=0)) == []


# --- at every rate ---------------------------------------------------------------------


def wired(world: World) -> WiredRig:
    rig = world.rig
    return WiredRig(rig.rate_hz, rig.units, rig.links)


def test_what_dies_at_which_rate() -> None:
    at_rates = {column.rate_hz: column for column in by_rate(wired(made("staged"))).rates}
    assert [at_rates[hz].arriving("expander-1") for hz in (48000, 96000, 192000)] == [12, 6, 0]
    assert (at_rates[96000].dead, at_rates[96000].works) == ((), True)
    dead = at_rates[192000].dead
    assert ("host-1", "coax", "input", 1, 1, 0) in map(astuple, dead)
    assert ("expander-1", "trunk", "socket", 1, 2, 1) in map(astuple, dead)
    # The trunk dies, and the clock that came over it.
    assert {one.rule for one in at_rates[192000].clock} == {"socket-dead"}


def test_hosts_on_clocks_of_their_own_work_at_each_rate_if_they_may() -> None:
    rig = wired(with_device(made("two_hosts"), "host-1", rates_hz=ALL))
    told = {(c.works, *(one.rule for one in c.clock)) for c in by_rate(rig).rates}
    assert told == {(False, "clock-hosts")}
    assert {(c.works, c.clock) for c in by_rate(rig, own_clocks=True).rates} == {(True, ())}


def test_a_converter_joins_clocks_at_each_rate() -> None:
    world = with_device(made("apart"), "expander-1", rates_hz=ALL, optical_2x=1, optical_4x=1)
    world = with_device(world, "host-1", optical_4x=2)
    assert [(c.arriving("expander-1"), c.works) for c in by_rate(wired(world)).rates] == [
        *[(8, True)] * 2,
        *[(4, True)] * 2,
        *[(2, True)] * 2,
    ]
    # It converts on optical inputs, and on no other.
    world = with_device(world, "host-1", rate_converter=("coax",))
    assert {c.works for c in by_rate(wired(world)).rates} == {False}


def test_stereo_over_optical_dies_at_4x() -> None:
    """The sockets live on as light-pipes, or do not."""
    world = with_device(made("stereo"), "host-1", optical_4x=2)
    column = next(c for c in by_rate(wired(world)).rates if c.rate_hz == 192000)
    assert ("expander-1", "optical", "input", 1, 1, 0) in map(astuple, column.dead)
    assert "socket-format" in [one.rule for one in column.clock]


def test_a_chain_goes_by_a_unit_that_does_not_know_the_rate() -> None:
    world = made("chained")
    for name in ("host-1", "expander-2", "clock-1"):
        world = with_device(world, name, rates_hz=(48000, 96000))
    world = with_device(world, "expander-1", rates_hz=(48000,))
    column = next(c for c in by_rate(wired(world)).rates if c.rate_hz == 96000)
    assert (column.missing, column.works) == (("expander-1",), False)
    assert column.verdict.findings == ()
    assert [link.after for link in column.verdict.rig.links if link.kind == "word"] == [
        None,
        "host-1",
    ]


# --- the change that gives a unit its clock ----------------------------------------------


def changes(units: Sequence[Unit], links: Sequence[Link]) -> list[tuple[str, str]]:
    return [(one.rule, change(one)) for one in audit_wiring(units, links, 48000)]


def test_a_trunk_that_is_there_and_one_that_is_not() -> None:
    world = made("staged")
    host, stage = world.rig.units
    lost = replace(stage, clock=None)
    bare = replace(world.rig.links[0], back=0, carries=("audio",))
    assert changes((host, lost), (bare,)) == [
        ("clock-none", "lock expander-1 to trunk both-12 1, where the cable from host-1 is")
    ]
    apart = replace(stage, clock=ClockSetting("trunk", 2, "host-1"))
    assert dict(changes((host, apart), (bare,)))["clock-link"] == (
        "plug the trunk both-12 cable that is missing from host-1 1 into expander-1 2"
    )


def test_no_change_plugs_into_a_receiver_that_is_shared() -> None:
    """Optical 1 would do, but for the coax cable beside it."""
    group = (SocketRef("coax", "in", 1), SocketRef("optical", "in", 1))
    hub = replace(worlds.HUB, either=(group,), optical_in=1, clock_in=("optical",))
    pair = replace(worlds.PAIR, optical_stereo=0, optical_1x=1, coax_out=1)
    units = (Unit("host-1", hub, "host", None), Unit("expander-1", pair, "expander", INTERNAL))
    coax = link("coax", "expander-1", 1, "host-1", 1, 2, ("audio",), worlds.COAX)
    assert changes(units, (coax,)) == [("clock-none", "set it to its internal clock")]
    free_hub = replace(units[0], device=replace(hub, either=()))
    assert changes((free_hub, units[1]), (coax,)) == [
        (
            "clock-none",
            "plug an optical cable from expander-1 out 1 into host-1 in 1,"
            " and lock host-1 to it",
        )
    ]


def test_a_master_that_nothing_is_joined_to_is_one_all_the_same() -> None:
    """The second host hangs, by what its setting says, on a generator without a cable."""
    units = [
        Unit("host-1", DESK, "host", INTERNAL),
        Unit("host-2", DESK, "host", ClockSetting("word", 1, "clock-1")),
        Unit("clock-1", TICK, "clock", INTERNAL),
    ]
    rules = [one.rule for one in audit_wiring(units, (), 48000)]
    assert rules == ["clock-hosts", "clock-link"]


def test_units_behind_a_circle_are_in_no_tree() -> None:
    names = ("a", "b", "c", "d")
    before = dict(zip(names, ("b", "a", "b", "c"), strict=True))
    units = [Unit(n, TICK, "clock", ClockSetting("word", 1, before[n])) for n in names]
    assert forest(units) == {}
    assert forest([replace(units[0], clock=INTERNAL), *units[1:]]) == {
        "a": Place("a", 0),
        "b": Place("a", 1),
        "c": Place("a", 2),
        "d": Place("a", 3),
    }
