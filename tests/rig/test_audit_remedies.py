"""Which change the audit proposes, and which cable it names, where there are several."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pytest

from rigopt.catalogue.types import Extra
from rigopt.facts import Format
from rigopt.output.words.findings import change, says
from rigopt.rig.audit import audit_wiring
from rigopt.rig.audit.finding import Finding
from rigopt.rig.types import ClockSetting, Link, Purchase, Unit
from tests.rig import line_worlds
from tests.rig.rig_builders import (
    COAX,
    DESK,
    OPT,
    PRE,
    World,
    locked,
    master,
    with_link,
    with_needs,
    with_rig,
)
from tests.rig.worlds import DUPLEX, SIMPLEX
from tests.wires import link

HUB = replace(DESK, optical_in=2, optical_2x=2)
TWIN = replace(PRE, optical_out=2)


def found(rule: str, units: Sequence[Unit], links: Sequence[Link]) -> list[Finding]:
    return [one for one in audit_wiring(units, links, 48000) if one.rule == rule]


def audio(sender: str, out: int, to: str, into: int, *carries: str) -> Link:
    more: Any = ("audio", *carries)
    return link("optical", sender, out, to, into, 8, more, OPT)


def test_the_unit_at_the_end_of_the_chain_becomes_the_master() -> None:
    units = [
        locked("host-1", DESK, "host", "optical", 1, "expander-1"),
        Unit("expander-1", PRE, "expander", ClockSetting("optical", 1)),
    ]
    (one,) = found("clock-master", units, [audio("expander-1", 1, "host-1", 1, "clock")])
    assert change(one) == "set expander-1 to its internal clock"


def test_a_new_cable_comes_from_the_unit_nearest_to_the_master() -> None:
    """The expander, a hop away, has light-pipe to give; the master has word clock."""
    host = replace(HUB, optical_out=0, word_out=1)
    near = replace(TWIN, coax_in=1, optical_in=0, clock_in=("coax",))
    units = [
        master("host-1", host),
        locked("expander-1", near, "expander", "coax", 1, "host-1"),
        Unit("expander-2", PRE, "expander", ClockSetting("coax", 1)),
    ]
    links = [
        link("coax", "host-1", 1, "expander-1", 1, 2, ("audio", "clock"), COAX),
        audio("expander-1", 1, "host-1", 1),
        audio("expander-2", 1, "host-1", 2),
    ]
    (one,) = found("clock-kind", units, links)
    assert "from host-1 out 1 into expander-2 in 1" in change(one)
    assert "word" in change(one)


def test_the_first_cable_with_audio_between_clocks_is_named() -> None:
    units = [
        master("host-1", HUB),
        master("expander-1", PRE, "expander"),
        master("expander-2", PRE, "expander"),
    ]
    links = [audio("expander-1", 1, "host-1", 1), audio("expander-2", 1, "host-1", 2)]
    (one,) = found("clock-tree", units, links)
    assert "expander-1 out 1 -> host-1 in 1" in says(one)
    assert "expander-2 out" not in says(one)


def test_the_first_cable_is_named_where_one_unit_sends_to_two_hosts() -> None:
    units = [
        master("host-1", HUB),
        master("host-2", HUB),
        master("expander-1", TWIN, "expander"),
    ]
    links = [audio("expander-1", 1, "host-1", 1), audio("expander-1", 2, "host-2", 1)]
    (one,) = found("clock-tree", units, links)
    assert "expander-1 out 1 -> host-1 in 1" in says(one)


def test_what_comes_back_over_a_duplex_cable_counts_as_audio() -> None:
    """It feeds 4 line outputs."""
    host = replace(DESK, trunk=DUPLEX, trunk_in=1, clock_in=("trunk",))
    box = replace(PRE, trunk=DUPLEX, trunk_in=1, line_out=4, clock_in=("trunk",))
    units = [
        master("host-1", host),
        locked("expander-1", box, "expander", "trunk", 1, "host-1"),
    ]
    wrong = link(DUPLEX, "expander-1", 1, "host-1", 1, 0, ("clock",), OPT, back=4)
    (one,) = found("carries-audio", units, [wrong])
    assert one.fact("count") == 4


def test_a_box_without_a_trunk_has_no_socket_for_one() -> None:
    units = [
        master("host-1", DESK),
        locked("expander-1", PRE, "expander", "trunk", 1, "host-1"),
    ]
    wrong = link(DUPLEX, "expander-1", 1, "host-1", 1, 0, ("clock",), OPT)
    missing = found("socket-missing", units, [wrong])
    assert [one.fact("count") for one in missing] == [0, 0]


@pytest.mark.parametrize("own", [DUPLEX, SIMPLEX._replace(id="other")])
def test_a_trunk_does_not_speak_the_format_of_another(own: Format) -> None:
    """Neither where the sockets are of another way, nor where they are of the same."""
    host = replace(DESK, trunk=own, trunk_in=1, clock_in=("trunk",))
    box = replace(PRE, trunk=SIMPLEX, trunk_in=1, trunk_out=1)
    units = [master("host-1", host), master("expander-1", box, "expander")]
    wrong = link(SIMPLEX, "expander-1", 1, "host-1", 1, 8, ("audio",), OPT)
    assert len(found("socket-format", units, [wrong])) == 1


def test_a_trunk_of_both_ways_gives_out_none_of_one() -> None:
    host = replace(DESK, trunk=SIMPLEX, trunk_in=1)
    box = replace(PRE, trunk=DUPLEX, trunk_in=1)
    units = [master("host-1", host), master("expander-1", box, "expander")]
    wrong = link(SIMPLEX, "expander-1", 1, "host-1", 1, 8, ("audio",), OPT)
    assert [one.fact("unit") for one in found("socket-format", units, [wrong])] == [
        "expander-1"
    ]
    assert found("socket-missing", units, [wrong]) == []


def test_a_line_of_nothing_is_no_pack_too_many(band: World) -> None:
    none = Purchase("coax-1m", "", "cable", 0, 500)
    owner = with_needs(band, owned={"coax-1m": 1})
    rules = with_rig(owner, purchases=(*band.rig.purchases, none)).rules()
    assert rules == ["quantity"]


def test_a_line_from_no_socket_carries_no_channel() -> None:
    world = with_link(line_worlds.leads(), 3, from_socket=0)
    assert "input-path" in world.rules()
    first = with_link(line_worlds.leads(), 0, from_socket=0)
    told = [one for one in first.rules() if one == "input-path"]
    assert len(told) == 1


@pytest.mark.parametrize(
    ("per", "pieces"),
    [("rig", 1), ("unit", 2), ("rack_unit", 3), ("mains", 5), ("mic", 14), ("source", 16)],
)
def test_as_many_extras_as_there_is_of_what_they_are_bought_by(
    per: Any, pieces: int, band: World
) -> None:
    """Two units, of one and two rack units, of two and three mains plugs."""
    tall, small = replace(DESK, rack_units=2, mains=2), replace(PRE, mains=3)
    units = tuple(
        replace(unit, device=tall if unit.role == "host" else small) for unit in band.rig.units
    )
    shop = replace(
        band.catalogue,
        devices={**band.catalogue.devices, tall.id: tall, small.id: small},
        extras={"thing": Extra("thing", "", per, 100)},
    )
    for number in (pieces - 1, pieces, pieces + 1):
        line = Purchase("thing", "", "extra", number, 100, 1)
        lines = (*band.rig.purchases, *([line] if number else []))
        rig = with_rig(band, units=units, purchases=lines, total=band.rig.total + 100 * number)
        rules = replace(rig, catalogue=shop).rules()
        assert rules == [] if number == pieces else rules, (number, rules)
        assert ("extras-few" in rules) is (number < pieces)
        assert ("extras-many" in rules) is (number > pieces)
