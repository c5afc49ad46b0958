"""Repairs of stereo over optical, trunks, shared sockets, several clocks and word chains.

The rigs are those of `tests/rig/link_worlds.py`; each is broken in one way.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

import pytest

from rigopt.answers.repair import Repaired
from rigopt.answers.verdict import examine
from rigopt.api.repair import ask_repair
from rigopt.catalogue.types import SocketRef
from rigopt.needs.types import Needs
from rigopt.output.facts.repair import repair_steps
from rigopt.output.words.repair_steps import step_words
from rigopt.rig.links import Wire
from rigopt.rig.types import ClockSetting, Link, Unit
from rigopt.rig.wired import WiredRig, carried, wire_of
from tests.rig import link_worlds
from tests.rig.link_worlds import BOTH, END, FIBRE, FLAT, HUB, NET, SIXTEEN, STAGE, TEE
from tests.rig.rig_builders import DESK, OPT, PRE, TICK, WORD, World, locked, master
from tests.wires import wire


def wired(world: World, **changes: Any) -> WiredRig:
    """The rig of a world, with other units or links."""
    rig = world.rig
    units = changes.get("units", rig.units)
    links = changes.get("links", rig.links)
    wires = [link if isinstance(link, Wire) else wire_of(link) for link in links]
    return WiredRig(rig.rate_hz, tuple(units), carried(units, wires, rig.rate_hz))


def mended(
    world: World, rig: WiredRig, needs: Needs | None = None
) -> tuple[Repaired, list[str]]:
    """The repair and its steps, audited; the rig as given had a fault."""
    needs = needs or world.needs
    assert not examine(rig, needs).works
    found = ask_repair(rig, world.catalogue, needs)
    assert isinstance(found, Repaired), found
    assert found.proven
    assert examine(found.rig, needs).findings == ()
    return found, [": ".join(step_words(step)) for step in repair_steps(rig, found)]


def edited(units: Sequence[Unit], name: str, change: Callable[[Unit], Unit]) -> list[Unit]:
    """The units with one of them changed."""
    return [change(unit) if unit.name == name else unit for unit in units]


def without(rig: Sequence[Link], *places: int) -> list[Link]:
    """The links but for some."""
    return [link for place, link in enumerate(rig) if place not in places]


# --- trunks ------------------------------------------------------------------------------


def test_one_duplex_cable_brings_audio_back_and_the_clock() -> None:
    world = link_worlds.staged()
    found, todo = mended(world, wired(world, links=[]), replace(world.needs, mic=16))
    assert todo == [
        "Add: trunk expander-1 socket 1 -> host-1 socket 1, for 12 channels, 8 channels back"
        " and clock: network cable 1 m"
    ]
    assert found.money == NET.price


def test_outputs_alone_take_the_duplex_cable_too() -> None:
    """Of 10 outputs the host has 4, or 2 with the stage box's 8: no cable, no feed."""
    world = link_worlds.staged()
    found, _ = mended(world, wired(world, links=[]), replace(world.needs, mic=1))
    assert [(x.format.id, x.back) for x in found.added] == [("both-12", 8)]
    assert found.money == NET.price


def test_outputs_beyond_one_duplex_cable_take_another() -> None:
    """Two outputs of the host, 12 over one cable, and the last four over a second one."""
    world = link_worlds.staged()
    host, stage = world.rig.units
    units = [host, replace(stage, device=replace(stage.device, line_out=16))]
    rig = wired(world, units=units, links=[])
    found, _ = mended(world, rig, replace(world.needs, mic=1, out_line=18))
    assert sorted(x.back for x in found.added) == [4, 12]


def test_outputs_that_a_duplex_cable_feeds_are_paid_for() -> None:
    """Its piece is of the wrong kind, and nothing but outputs hangs on it."""
    world = link_worlds.staged()
    host, stage = world.rig.units
    stage = replace(stage, device=replace(stage.device, mic=0))
    flat = replace(wire_of(world.rig.links[0]), cable=FLAT)
    broken = wired(world, units=[host, stage], links=[flat])
    found = ask_repair(broken, world.catalogue, None)
    assert isinstance(found, Repaired)
    assert examine(found.rig, None).works
    assert [x.back for x in found.rig.links if x.back] == [8]
    assert found.for_outputs == NET.price


def test_links_do_not_cross() -> None:
    """At 96 kHz a light-pipe carries four channels, so eight take two."""
    hub = replace(HUB, optical_in=2, optical_1x=2, optical_2x=2, rates_hz=(96_000,))
    pre = replace(PRE, optical_out=2, optical_2x=2, rates_hz=(96_000,))
    units = [
        locked("host-1", hub, "host", "optical", 1, "expander-1"),
        master("expander-1", pre, "expander"),
    ]
    world = link_worlds.world(units, [], 0)
    rig = WiredRig(96_000, tuple(units), ())
    found, _ = mended(world, rig, Needs(mic=16, rate_hz=96_000))
    assert [(x.from_socket, x.to_socket) for x in found.added] == [(1, 1), (2, 2)]


def test_a_trunk_of_one_way_gets_the_cable_back_that_is_missing() -> None:
    """The host must be master, so the clock has to come back over a cable of its own."""
    hub = replace(HUB, trunk=SIXTEEN, trunk_in=1, trunk_out=1)
    stage = replace(STAGE, trunk=SIXTEEN, trunk_in=1, trunk_out=1)
    units = [
        master("host-1", hub),
        locked("expander-1", stage, "expander", "trunk", 1, "host-1"),
    ]
    wires = [
        wire(SIXTEEN, "expander-1", 1, "host-1", 1, FIBRE),
        wire(SIXTEEN, "host-1", 1, "expander-1", 1, FIBRE),
    ]
    world = link_worlds.world(units, wires, 1, Needs(mic=16, master="host"))
    found, todo = mended(world, wired(world, links=world.rig.links[:1]))
    assert todo == [
        "Add: trunk host-1 out 1 -> expander-1 in 1, for 8 channels and clock: fibre 1 m"
    ]
    assert found.money == FIBRE.price


def test_a_duplex_cable_that_is_told_from_the_host_stays() -> None:
    world = link_worlds.staged()
    link = world.rig.links[0]
    turned = replace(
        link,
        from_unit=link.to_unit,
        from_socket=link.to_socket,
        to_unit=link.from_unit,
        to_socket=link.from_socket,
        channels=8,
        back=0,
        carries=("audio", "clock"),
    )
    rig = WiredRig(48_000, world.rig.units, (turned,))
    found, todo = mended(world, rig)
    assert (todo, found.moved, found.added, found.removed) == ([], (), (), ())


# --- sockets -----------------------------------------------------------------------------


def test_a_cable_leaves_a_socket_that_is_dead_at_the_class() -> None:
    """Light-pipe carries 2 channels at 4x (lib_xua feat_adat_tx.rst), here in one socket."""
    hub = replace(HUB, optical_4x=1, optical_1x=2)
    pre = replace(PRE, optical_4x=1, optical_2x=1, mic_line=2, rates_hz=(192_000,))
    units = [
        locked("host-1", hub, "host", "optical", 1, "expander-1"),
        master("expander-1", pre, "expander"),
    ]
    world = link_worlds.world(units, [], 0)
    needs = Needs(mic=10, rate_hz=192_000)
    links = carried(units, [wire("light-pipe", "expander-1", 1, "host-1", 2, OPT)], 192_000)
    rig = WiredRig(192_000, tuple(units), links)
    found, todo = mended(world, rig, needs)
    assert found.money == 0
    assert todo == [
        "Move: optical expander-1 out 1 -> host-1 in 2: optical cable 1 m; to optical"
        " expander-1 out 1 -> host-1 in 1, for 2 channels and clock"
    ]


def test_a_stereo_cable_goes_to_a_socket_that_speaks_it() -> None:
    world = link_worlds.stereo()
    moved = replace(world.rig.links[0], to_socket=2)
    others = replace(world.rig.links[1], to_socket=1)
    rig = wired(world, links=[moved, others, world.rig.links[2]])
    found, _ = mended(world, rig, replace(world.needs, mic=18))
    assert found.money == 0
    ways = {(x.format.id, x.from_unit, x.to_socket) for x in found.rig.links}
    assert {("stereo", "expander-1", 1), ("light-pipe", "expander-2", 2)} <= ways
    assert len(examine(found.rig, world.needs).inputs) == 8 + 2 + 8


def test_both_ends_are_set_to_the_format_that_they_share() -> None:
    """The cable stays; a socket that carries stereo alone was set to light-pipe."""
    world = link_worlds.stereo()
    wrong = replace(wire_of(world.rig.links[0]), format=world.rig.links[1].format)
    rig = wired(world, links=[wrong, *world.rig.links[1:]])
    found, todo = mended(world, rig, replace(world.needs, mic=18))
    assert (found.moved, found.added, found.removed) == ((), (), ())
    assert todo == ["Set: expander-1 out 1 and host-1 in 1 to optical stereo"]


def test_stereo_moves_the_numbers_of_a_host_that_is_cut() -> None:
    """Of 18 numbers, stereo in socket 1 leaves room for 8 in socket 2; light-pipe would not."""
    hub = replace(HUB, coax_in=0, max_in_1x=18)
    world = link_worlds.stereo()
    units = edited(world.rig.units, "host-1", lambda unit: replace(unit, device=hub))
    whole = wired(world, units=units)
    needs = Needs(mic=18)
    assert examine(whole, needs).works
    found, _ = mended(world, wired(world, units=units, links=world.rig.links[1:]), needs)
    assert found.money == OPT.price
    assert [x.format.id for x in found.added] == ["stereo"]


def test_of_two_sockets_of_one_receiver_one_keeps_its_cable() -> None:
    shared = (SocketRef("optical", "in", 1), SocketRef("coax", "in", 1))
    hub = replace(HUB, either=(shared,), clock_in=("optical", "coax"))
    pre = replace(PRE, coax_out=1, optical_out=0, mic_line=2)
    units = [
        locked("host-1", hub, "host", "coax", 1, "expander-2"),
        locked("expander-1", PRE, "expander", "word", 1, "expander-2"),
        replace(master("expander-2", pre, "expander"), device=replace(pre, word_out=1)),
    ]
    wires = [
        wire("optical", "expander-1", 1, "host-1", 1, OPT),
        wire("coax", "expander-2", 1, "host-1", 1, link_worlds.COAX),
        wire("word", "expander-2", 1, "expander-1", 1, WORD),
    ]
    world = link_worlds.world(units, wires, 1)
    rig = wired(world)
    needs = Needs(mic=18)
    assert [fault.rule for fault in examine(rig, needs).findings] == ["socket-either"]
    found, todo = mended(world, rig, needs)
    assert found.money == 0
    assert todo == [
        "Move: optical expander-1 out 1 -> host-1 in 1: optical cable 1 m; to optical"
        " expander-1 out 1 -> host-1 in 2, for 8 channels"
    ]


# --- clocks ------------------------------------------------------------------------------


def test_two_hosts_may_stay_on_clocks_of_their_own_where_the_needs_allow() -> None:
    world = link_worlds.two_hosts()
    lost = edited(
        world.rig.units,
        "host-2",
        lambda unit: replace(unit, clock=ClockSetting("optical", 1, "host-1")),
    )
    found, todo = mended(world, wired(world, units=lost))
    assert todo == ["Set: the clock of host-2: internal (clock master)"]
    assert found.money == 0
    joined, todo = mended(world, wired(world), replace(world.needs, own_clocks=False))
    assert joined.money > 0
    assert len(joined.added) == 1


def test_a_box_into_a_converter_needs_no_cable_back() -> None:
    world = link_worlds.apart()
    assert examine(wired(world), world.needs).works
    lost = edited(
        world.rig.units,
        "expander-1",
        lambda unit: replace(unit, clock=ClockSetting("optical", 1, "host-1")),
    )
    needs = replace(world.needs, mic=16)
    found, todo = mended(world, wired(world, units=lost), needs)
    assert (found.money, todo) == (
        0,
        ["Set: the clock of expander-1: internal (clock master)"],
    )
    plain = [replace(u, device=replace(u.device, rate_converter=())) for u in world.rig.units]
    found, _ = mended(world, wired(world, units=plain), needs)
    assert [x.from_unit for x in found.added] == ["host-1"]


def test_a_unit_without_a_cable_needs_no_clock() -> None:
    world = link_worlds.idle()
    lost = edited(
        world.rig.units,
        "expander-1",
        lambda unit: replace(unit, clock=ClockSetting("word", 1, "host-1")),
    )
    found, todo = mended(world, wired(world, units=lost))
    assert todo == []
    assert found.rig.units[1].clock is None


# --- chains of word inputs ---------------------------------------------------------------


def test_a_fixed_end_goes_to_the_end_of_its_chain() -> None:
    world = link_worlds.chained()
    fixed = edited(
        world.rig.units,
        "expander-1",
        lambda unit: replace(
            unit, device=replace(unit.device, id="pre-fixed", word_end="fixed")
        ),
    )
    rig = wired(world, units=fixed)
    needs = replace(world.needs, mic=24)
    assert [fault.rule for fault in examine(rig, needs).findings] == ["chain-end"]
    found, todo = mended(world, rig, needs)
    words = [link for link in found.rig.links if link.kind == "word"]
    inside = {link.after for link in words}
    assert [link.to_unit for link in words if link.to_unit not in inside] == ["expander-1"]
    assert found.money == 0
    assert "Take off: a T-piece and a terminator at expander-2 in 1" not in todo
    assert any(line.startswith("Take off: a terminator at expander-2") for line in todo)


def test_pieces_that_a_chain_lacks_are_bought() -> None:
    """Of three units on one output, only the host is on its cable yet."""
    world = link_worlds.chained()
    needs = replace(world.needs, mic=24)
    links = [*world.rig.links[:2], replace(wire_of(world.rig.links[2]), tee=None)]
    found, todo = mended(world, wired(world, links=links), needs)
    # Two word cables are a pack of two. Whoever has no end of its own stands inside.
    assert WORD.price is not None
    assert TEE.price is not None
    assert END.price is not None
    assert found.money == WORD.price + 2 * TEE.price
    assert [line for line in todo if line.startswith("Put")] == [
        "Put: a T-piece at host-1 in 1: T-piece",
        "Put: a T-piece at expander-2 in 1: T-piece",
    ]
    # Where nobody has one, the last takes a T-piece with a terminator.
    units = [replace(u, device=replace(u.device, word_end="none")) for u in world.rig.units]
    links = [*world.rig.links[:2], wire_of(world.rig.links[2])]
    found, todo = mended(world, wired(world, units=units, links=links), needs)
    assert found.money == WORD.price + 2 * TEE.price + END.price
    put = [line for line in todo if line.startswith("Put")]
    assert len(put) == 2
    assert put[1].startswith("Put: a T-piece and a terminator at expander-")


@pytest.mark.parametrize(
    ("lost", "added"),
    [(2, "word clock-1 out 1 -> host-1 in 1"), (3, "word host-1 tee -> expander-1 in 1")],
)
def test_what_follows_a_cable_that_is_gone_stays(lost: int, added: str) -> None:
    """A cable and a T-piece are at hand: nothing else has to be taken off."""
    world = link_worlds.chained()
    needs = replace(world.needs, mic=24, owned={TEE.id: 4, WORD.id: 5})
    found, todo = mended(world, wired(world, links=without(world.rig.links, lost)), needs)
    name = added.split()[-3]
    assert todo == [
        f"Add: {added}, for clock: word-clock cable 1 m + T-piece",
        f"Put: a T-piece at {name} in 1: T-piece",
    ]
    assert (found.money, found.removed) == (0, ())


def test_a_chain_is_no_longer_than_the_needs_allow() -> None:
    world = link_worlds.chained()
    tick = replace(TICK, word_out=2)
    units = edited(world.rig.units, "clock-1", lambda unit: replace(unit, device=tick))
    rig = wired(world, units=units)
    needs = replace(world.needs, mic=24, word_inputs=2)
    assert [fault.rule for fault in examine(rig, needs).findings] == ["chain-long"]
    found, _ = mended(world, rig, needs)
    assert found.money == 0
    assert len(found.moved) == 1


def test_a_desk_as_it_was_before_keeps_its_repair() -> None:
    """A return cable over plain light-pipe, where a trunk stands beside it unused."""
    units = [
        master("host-1", DESK),
        locked("expander-1", PRE, "expander", "optical", 1, "host-1"),
    ]
    world = link_worlds.world(units, [], 0, Needs(mic=16, master="host"))
    rig = WiredRig(
        48_000,
        tuple(units),
        carried(units, [wire("optical", "expander-1", 1, "host-1", 1, OPT)], 48_000),
    )
    found, _ = mended(world, rig)
    assert found.money == OPT.price
    assert BOTH.id not in {link.format.id for link in found.rig.links}
