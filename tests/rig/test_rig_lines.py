"""Analogue lines, DI boxes, headphone amplifiers: sound rigs, each broken once, and edges."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from rigopt.answers.rates import by_rate
from rigopt.output.data.rates_json import rates_json
from rigopt.output.terminal.rates import rates_text
from rigopt.output.words.findings import change, says
from rigopt.rig.audit import audit_needs, warnings
from rigopt.rig.audit.finding import Rule
from rigopt.rig.types import ClockSetting
from rigopt.rig.wired import WiredRig
from tests.rig import line_worlds as worlds
from tests.rig.line_worlds import LEAD
from tests.rig.rig_builders import (
    INTERNAL,
    World,
    plus_link,
    with_cable,
    with_device,
    with_input,
    with_link,
    with_needs,
    with_rig,
    with_unit,
)
from tests.wires import link

Bend = Callable[[World], World]
SOUND = ["leads", "loomed", "combs", "tails", "shut", "dry", "converted"]


def made(name: str) -> World:
    found: World = getattr(worlds, name)()
    return found


@pytest.mark.parametrize("name", SOUND)
def test_sound_rigs_pass(name: str) -> None:
    world = made(name)
    assert world.rules() == []
    rig = world.rig
    assert audit_needs(rig.units, rig.links, rig.rate_hz, world.needs) == ()
    assert warnings(rig.units, rig.links, rig.rate_hz) == ()


def digital(world: World) -> World:
    """A light-pipe into the host from what is there as a preamp alone."""
    wide = with_device(world, "preamp-1", optical_out=1)
    return plus_link(wide, link("optical", "preamp-1", 1, "host-1", 1, 0, (), worlds.OPT))


def arriving(world: World) -> World:
    """The preamp is an expander whose channels arrive over a light-pipe."""
    wide = with_device(world, "preamp-1", role="expander", optical_out=1, rates_hz=(48000,))
    wide = with_unit(wide, "preamp-1", role="expander", clock=INTERNAL)
    wide = with_unit(wide, "host-1", clock=ClockSetting("optical", 1, "preamp-1"))
    more = link("optical", "preamp-1", 1, "host-1", 1, 4, ("audio", "clock"), worlds.OPT)
    return plus_link(wide, more)


def second_unit(world: World) -> World:
    """A second preamp, whose channel goes over a way of the same loom."""
    other = worlds.preamp(name="preamp-2")
    wide = with_rig(world, units=(*world.rig.units, other))
    return with_link(wide, 3, from_unit="preamp-2")


def jacks(world: World) -> World:
    """Both direct outs go into jacks, and the bank of the microphones there is on."""
    world = with_cable(with_device(world, "host-1", line_plug="jack"), 0, ends=("jack", "jack"))
    return with_unit(world, "host-1", phantom_banks_on=(1, 2))


def boxed(world: World, number: int, box: str = "di-1") -> World:
    """What sits on that input comes through a box."""
    return with_input(world, number, path=(box, "host-1"))


BROKEN: list[tuple[Rule, str, Bend]] = [
    # where a line may begin and end
    ("line-out", "leads", lambda w: with_link(w, 0, from_socket=5)),
    ("line-out", "leads", lambda w: with_device(w, "preamp-1", direct_out=3)),
    ("line-in", "leads", lambda w: with_link(w, 0, to_socket=9)),
    ("line-in", "leads", lambda w: with_device(w, "host-1", line=0, inst=4)),
    ("line-self", "converted", lambda w: with_link(w, 1, to_unit="preamp-1")),
    ("line-twice", "leads", lambda w: with_link(w, 0, to_socket=6)),
    ("line-twice", "leads", lambda w: with_link(w, 0, from_socket=2)),
    ("line-idle", "converted", lambda w: with_rig(w, links=w.rig.links[1:])),
    ("line-idle", "leads", lambda w: with_device(w, "host-1", max_in_1x=7)),
    ("line-needless", "leads", arriving),
    ("line-bank", "shut", lambda w: with_unit(w, "host-1", phantom_banks_on=(1, 2))),
    ("line-bank", "shut", lambda w: with_device(w, "host-1", phantom_bank=(1, 3))),
    ("line-channels", "leads", lambda w: with_link(w, 0, channels=0)),
    ("line-channels", "leads", lambda w: with_link(w, 0, carries=("audio", "clock"))),
    ("line-channels", "leads", lambda w: with_link(w, 0, back=1)),
    ("preamp-linked", "leads", digital),
    ("clock-idle", "leads", lambda w: with_unit(w, "preamp-1", clock=INTERNAL)),
    ("role", "leads", lambda w: with_unit(w, "preamp-1", role="expander")),
    ("role", "leads", lambda w: with_unit(w, "ears-1", role="di")),
    ("cable-long", "leads", lambda w: with_cable(w, 0, length_mm=30_001)),
    ("cable-short", "leads", lambda w: with_cable(w, 0, length_mm=999)),
    ("cable-kind", "leads", lambda w: with_cable(w, 0, kind="word", ends=None)),
    # pieces and connectors
    ("piece-units", "loomed", second_unit),
    ("piece-differs", "loomed", lambda w: with_link(w, 0, cable=worlds.TAIL)),
    ("piece-plugs", "leads", lambda w: with_cable(w, 0, ends=("jack", "xlr"))),
    ("piece-plugs", "leads", lambda w: with_device(w, "preamp-1", direct_plug="xlr")),
    ("piece-plugs", "leads", lambda w: with_device(w, "host-1", line_plug="xlr")),
    ("piece-ways", "loomed", lambda w: with_cable(w, 0, ways=3)),
    ("piece-ways", "leads", lambda w: with_link(w, 0, piece=2)),
    (
        "piece-places",
        "combs",
        lambda w: with_link(with_link(w, 0, to_socket=2), 1, to_socket=1),
    ),
    ("connector-taken", "combs", lambda w: with_link(w, 0, piece=3)),
    (
        "connector-taken",
        "combs",
        lambda w: with_link(with_link(w, 0, to_socket=9), 8, to_socket=1),
    ),
    ("connector-taken", "tails", lambda w: with_link(w, 0, piece=2)),
    ("packs-few", "leads", lambda w: with_link(w, 0, piece=99, cable=worlds.PLUG)),
    # what arrives, and where it is plugged in
    ("input-path", "leads", lambda w: with_input(w, 5, path=("preamp-1",))),
    ("input-path", "leads", lambda w: with_input(w, 1, path=("preamp-1", "host-1"))),
    ("input-path", "converted", lambda w: with_input(w, 9, path=("preamp-1", "host-1"))),
    ("input-channel", "leads", lambda w: with_input(w, 5, unit="host-1", channel=5)),
    ("input-accepts", "leads", lambda w: with_input(w, 5, accepts=("line",))),
    ("input-phantom", "leads", lambda w: with_unit(w, "preamp-1", phantom_banks_on=())),
    ("demand", "leads", lambda w: with_needs(w, line=5)),
    ("demand", "leads", lambda w: with_needs(w, instrument=3)),
    ("demand", "leads", lambda w: with_needs(w, spare=3)),
    ("demand", "leads", lambda w: with_unit(w, "host-1", phantom_banks_on=())),
    ("spare", "leads", lambda w: with_input(w, 3, use="line")),
    ("di-missing", "leads", lambda w: boxed(w, 1)),
    ("di-missing", "leads", lambda w: boxed(w, 2, "ears-1")),
    ("di-missing", "leads", lambda w: boxed(w, 2, "ghost")),
    ("use", "leads", lambda w: with_input(w, 2, path=("host-1",))),
    ("di-phantom", "leads", lambda w: boxed(with_input(w, 3, use="instrument"), 3)),
    # headphones
    ("phones", "leads", lambda w: with_needs(w, out_phones=6)),
    ("phones", "leads", lambda w: with_needs(w, out_line=3)),
    ("phones", "leads", lambda w: with_device(w, "ears-1", line_in=3)),
]


@pytest.mark.parametrize(("rule", "name", "bend"), BROKEN)
def test_each_break_is_named(rule: Any, name: str, bend: Any) -> None:
    world = bend(made(name))
    found = [one for one in audit(world) if one.rule == rule]
    assert found, world.rules()
    for one in found:
        assert "{" not in says(one) + change(one)


def audit(world: World) -> Any:
    from rigopt.rig.audit import audit as every

    return every(world.rig, world.catalogue, world.needs)


EDGES: list[tuple[str, str, Bend]] = [
    ("30 m", "leads", lambda w: with_cable(w, 0, length_mm=30_000)),
    ("ways that hang free", "loomed", lambda w: with_cable(w, 0, ways=8)),
    ("a jack needs no bank off", "shut", jacks),
    (
        "a digital expander needs no rate as a preamp",
        "leads",
        lambda w: with_device(w, "preamp-1", role="expander", rates_hz=(44100,)),
    ),
    (
        "an expander or host as a preamp",
        "leads",
        lambda w: with_device(w, "preamp-1", role="either", optical_out=1),
    ),
    ("no power for the box", "leads", lambda w: with_device(w, "di-1", di_phantom=False)),
    ("what is not spare", "leads", lambda w: with_needs(w, spare=0)),
]


@pytest.mark.parametrize(
    ("name", "bend"), [edge[1:] for edge in EDGES], ids=[edge[0] for edge in EDGES]
)
def test_edges_are_accepted(name: str, bend: Any) -> None:
    assert bend(made(name)).rules() == []


def test_a_line_without_a_number_is_a_piece_of_its_own() -> None:
    world = made("leads")
    links = tuple(replace(one, piece=None) for one in world.rig.links)
    assert with_rig(world, links=links).rules() == []
    assert sum(one.total for one in world.rig.purchases if one.item == LEAD.id) == 2000


def test_what_is_analogue_alone_stands_at_any_rate() -> None:
    """Even a digital expander of which only the direct outs are used."""
    world = with_device(
        made("leads"), "preamp-1", role="expander", optical_out=1, rates_hz=(44100,)
    )
    world = with_device(world, "host-1", analogue_2x=7, rates_hz=(48000, 96000))
    rig = world.rig
    found = by_rate(WiredRig(rig.rate_hz, rig.units, rig.links)).rates
    assert [one.rate_hz for one in found] == [48000, 96000]
    assert [one.works for one in found] == [True, True]
    assert [one.missing for one in found] == [(), ()]
    assert [one.arriving("preamp-1") for one in found] == [4, 3]
    assert [dead.unit for one in found for dead in one.dead] == ["host-1", "host-1"]
    assert [f.rule for f in found[1].verdict.warnings] == ["line-idle"]


def test_the_rates_of_a_rig_with_lines_are_told() -> None:
    rig = made("leads").rig
    found = by_rate(WiredRig(rig.rate_hz, rig.units, rig.links))
    assert "preamp-1" in rates_text(found)
    assert '"preamp-1": 4' in rates_json(found)
