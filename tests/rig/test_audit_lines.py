"""All that the audit says of analogue lines, their pieces and D-sub connectors."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from rigopt.rig.audit import audit_wiring
from rigopt.rig.audit.finding import Rule
from rigopt.rig.audit.lines import check_lines
from rigopt.rig.audit.names import plays
from rigopt.rig.audit.wiring import Wiring
from rigopt.rig.types import Link
from tests.rig import line_worlds as worlds
from tests.rig.line_worlds import PREAMP, TAIL
from tests.rig.rig_builders import DESK, PRE, World, with_device, with_link, with_rig
from tests.rig.test_rig_lines import arriving

Bend = Callable[[World], World]


def shifted(world: World) -> World:
    """The host has two inputs for microphones alone before those for line."""
    world = with_device(world, "host-1", mic=2)
    return with_links(world, lambda one: replace(one, to_socket=one.to_socket + 2))


def with_links(world: World, change: Callable[[Link], Link]) -> World:
    return with_rig(world, links=tuple(change(one) for one in world.rig.links))


def across(world: World) -> World:
    """One cable alone, half of it in one connector and half in the next."""
    few = with_rig(world, links=world.rig.links[4:12])
    return with_links(few, lambda one: replace(one, piece=1))


def swapped(world: World) -> World:
    return with_link(with_link(world, 0, to_socket=2), 1, to_socket=1)


def jacks(world: World) -> World:
    """The preamp has no D-sub connectors."""
    return with_device(world, "preamp-1", direct_plug="jack")


WIRED: list[tuple[str, Bend, list[Rule]]] = [
    ("leads", lambda w: with_link(w, 0, from_socket=0), ["line-out"]),
    ("leads", lambda w: with_link(w, 0, to_socket=0), ["line-in"]),
    ("leads", lambda w: with_link(w, 0, to_socket=9), ["line-in"]),
    ("leads", lambda w: with_device(w, "host-1", mic=4, mic_line=0), []),
    ("leads", lambda w: with_links(w, lambda one: replace(one, cable=None)), []),
    ("loomed", lambda w: with_links(w, lambda one: replace(one, cable=None)), []),
    ("loomed", lambda w: with_link(w, 0, cable=TAIL), ["piece-differs", "piece-plugs"]),
    ("combs", lambda w: with_link(w, 0, to_socket=99), ["line-in"]),
    ("combs", shifted, []),
    ("combs", lambda w: swapped(shifted(w)), ["line-in", "line-in"]),
    ("combs", swapped, ["piece-places", "piece-places"]),
    ("combs", lambda w: jacks(swapped(w)), ["piece-plugs", "piece-plugs"]),
    ("combs", across, ["connector-taken"] * 4),
]


@pytest.mark.parametrize(("name", "bend", "rules"), WIRED)
def test_of_lines(name: str, bend: Bend, rules: list[Rule]) -> None:
    rig = bend(getattr(worlds, name)()).rig
    found = audit_wiring(rig.units, rig.links, rig.rate_hz)
    assert [one.rule for one in found] == rules


def test_connectors_are_numbered_from_one() -> None:
    rig = across(worlds.combs()).rig
    found = audit_wiring(rig.units, rig.links, rig.rate_hz)
    assert [(one.fact("side"), one.fact("connector")) for one in found] == [
        ("out", 1),
        ("out", 2),
        ("in", 1),
        ("in", 2),
    ]


def test_a_connector_is_looked_at_on_its_side() -> None:
    """Two cables share a connector of the preamp, and have one each at the host."""
    rig = worlds.combs().rig
    links = [
        *rig.links[:4],
        *(replace(one, to_socket=one.to_socket + 4, piece=2) for one in rig.links[4:8]),
    ]
    found = [
        (one.fact("unit"), one.fact("side"), one.fact("connector"))
        for one in audit_wiring(rig.units, links, 48000)
        if one.rule == "connector-taken"
    ]
    assert found == [("preamp-1", "out", 1)]


def test_a_piece_is_called_by_its_first_line() -> None:
    rig = with_link(worlds.loomed(), 3, cable=TAIL).rig
    (found,) = [
        one for one in audit_wiring(rig.units, rig.links, 48000) if one.rule == "piece-differs"
    ]
    assert found.fact("link") == "preamp-1 direct out 1 -> host-1 5"


def test_what_is_called_for_is_the_cable_of_the_first_line() -> None:
    world = with_link(worlds.loomed(), 0, cable=TAIL)
    assert world.rules() == ["piece-differs", "piece-plugs", "packs-few", "packs-many"]
    bare = with_link(worlds.loomed(), 3, cable=None)
    assert bare.rules() == ["piece-differs", "cable-unnamed"]
    assert with_link(worlds.leads(), 0, cable=None).rules() == ["cable-unnamed", "packs-many"]


@pytest.mark.parametrize(("rate_hz", "needless"), [(48000, [1, 2, 3, 4]), (96000, [1, 2])])
def test_a_line_is_needless_for_a_channel_that_arrives_over_light_pipe(
    rate_hz: int, needless: list[int]
) -> None:
    """Two of the preamp's four are converted at 2x."""
    world = with_device(arriving(worlds.leads()), "host-1", optical_2x=1)
    world = with_device(world, "preamp-1", optical_2x=1, analogue_2x=2)
    wiring = Wiring(world.rig.units, world.rig.links, rate_hz)
    found = [one.fact("link") for one in check_lines(wiring) if one.rule == "line-needless"]
    assert found == [f"preamp-1 direct out {n} -> host-1 {n + 4}" for n in needless]


def test_what_plays_a_preamp_has_direct_outs_and_is_no_host_alone() -> None:
    assert plays(replace(PRE, direct_out=1)) == ("expander", "preamp")
    assert plays(PRE) == ("expander",)
    assert plays(replace(DESK, direct_out=1)) == ("host",)
    assert plays(replace(DESK, direct_out=1, role="either")) == ("host", "expander", "preamp")
    assert plays(PREAMP) == ("preamp",)
