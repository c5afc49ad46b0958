"""Two ways to the same answer: the derivation and the audit, the clock tree and a graph."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import networkx as nx
from hypothesis import given, settings
from hypothesis import strategies as st

from rigopt.catalogue.types import BLOCKS, CHANNEL_COLUMNS, MANY, Blank, Device, InOut
from rigopt.facts import Format
from rigopt.rig.audit.channels import check_channels
from rigopt.rig.audit.clock import hops
from rigopt.rig.audit.figures import check_figures
from rigopt.rig.audit.forest import Place, forest
from rigopt.rig.audit.inputs import check_inputs
from rigopt.rig.audit.wiring import Wiring
from rigopt.rig.figures import figures
from rigopt.rig.folding import fold
from rigopt.rig.links import Wire, derive_links
from rigopt.rig.numbering import derive_inputs
from rigopt.rig.types import ClockSetting, Rig, Unit, ref
from tests.rig.rig_builders import INTERNAL
from tests.wires import wire
from tests.world import ALL

WIDE = Format("trunk-16", "trunk", "trunk of 16", "t16", (16, 8, 0))
BOTH = Format("both-6", "trunk", "both ways", "b6", (6, 3, 2), duplex=True)
TRUNKS = (WIDE, BOTH)

few = st.integers(0, 3)
some = st.integers(0, 10)


limit = st.sampled_from([MANY, 0, 1, 2]) | st.builds(InOut, few, few)
blank = st.builds(Blank, few, few, few)
blocks = st.permutations(BLOCKS).flatmap(
    lambda order: st.lists(blank, max_size=2).flatmap(
        lambda gaps: st.permutations([*order, *gaps]).map(tuple)
    )
)


banked: st.SearchStrategy[Any] = st.sampled_from([0, 1, 4, 8, (2, 1), (1, 1, 1)])


@st.composite
def devices(draw: st.DrawFn, role: Any) -> Any:
    trunk = draw(st.sampled_from([None, *TRUNKS]))
    return Device(
        f"{role}-device",
        role,
        role,
        price=1,
        mic_line_inst=draw(few),
        mic_line=draw(some),
        line=draw(few),
        inst=draw(few),
        phantom_bank=draw(banked),
        line_out=draw(some),
        channel_order=tuple(draw(st.permutations(CHANNEL_COLUMNS))),
        optical_in=draw(few),
        optical_out=draw(few),
        optical_1x=draw(limit),
        optical_2x=draw(limit),
        optical_4x=draw(limit),
        optical_stereo=draw(few),
        coax_in=draw(few),
        coax_out=draw(few),
        coax_2x=draw(few),
        coax_4x=draw(few),
        trunk=trunk,
        trunk_in=draw(few),
        trunk_out=draw(few) if trunk != BOTH else 0,
        rate_converter=draw(st.sampled_from([(), ("optical", "trunk"), ("coax",)])),
        rates_hz=ALL,
        max_in_1x=draw(st.none() | st.integers(0, 30)),
        max_in_2x=draw(st.none() | some),
        max_in_4x=draw(st.none() | few),
        analogue_2x=draw(st.just(MANY) | some),
        analogue_4x=draw(st.just(MANY) | few),
        input_order=draw(blocks),
    )


def start(one: Wire) -> Any:
    return one.from_unit, ref(one.format, "out", one.from_socket)


@st.composite
def wired(draw: st.DrawFn) -> Any:
    """Up to two hosts and two expanders, with any wires between them; sockets may be dead,
    absent or taken twice, but no wire is there twice."""
    roles: list[Any] = ["host"] * draw(st.integers(1, 2)) + ["expander"] * draw(
        st.integers(0, 2)
    )
    banks = st.sampled_from([(), (1,), (1, 2)])
    names = [f"unit-{n}" for n in range(len(roles))]
    lockable = st.sampled_from(["optical", "coax", "trunk"])
    locks = st.just(INTERNAL) | st.builds(ClockSetting, lockable, some, st.sampled_from(names))
    units = tuple(
        Unit(name, draw(devices(role)), role, draw(locks), phantom_banks_on=draw(banks))
        for name, role in zip(names, roles, strict=True)
    )
    socket = st.integers(1, 3)
    kinds = st.sampled_from(["optical", "optical", "stereo", "coax", *TRUNKS])
    name = st.sampled_from(names)
    made = st.builds(wire, kinds, name, socket, name, socket, st.none(), st.booleans())
    wires = draw(st.lists(made, max_size=9))
    taken: set[object] = set()
    kept = []
    for one in wires:
        if taken.isdisjoint(ends := (start(one), (one.to_unit, one.end))):
            taken |= set(ends)
            kept.append(one)
    return units, tuple(kept), draw(st.sampled_from(ALL))


@settings(deadline=None, max_examples=40)  # the machine may be busy
@given(wired())
def test_what_is_derived_passes_the_audit(world: Any) -> None:
    units, wires, rate_hz = world
    links = derive_links(units, wires, rate_hz)
    wiring = Wiring(units, links, rate_hz)
    inputs = derive_inputs(units, links, rate_hz)
    others = ("duplex-start", "carries-nothing")
    assert [one for one in check_channels(wiring) if one.rule not in others] == []
    assert list(check_inputs(wiring, inputs)) == []
    rig = Rig(rate_hz, units, links, inputs, (), hops(units), 12345)
    assert list(check_figures(rig, figures(rig))) == []


@settings(deadline=None, max_examples=40)  # the machine may be busy
@given(wired())
def test_derived_links_derive_the_same_again(world: Any) -> None:
    """What carries audio is a fixed point: nothing is lost by writing it down."""
    units, wires, rate_hz = world
    links = derive_links(units, wires, rate_hz)
    rewired = [
        replace(wire, audio="audio" in link.carries)
        for wire, link in zip(wires, links, strict=True)
    ]
    assert derive_links(units, rewired, rate_hz) == links


@settings(deadline=None, max_examples=40)  # the machine may be busy
@given(wired())
def test_folding_loses_nothing(world: Any) -> None:
    units, wires, rate_hz = world
    inputs = derive_inputs(units, derive_links(units, wires, rate_hz), rate_hz)
    unfolded = [
        (run.first_input + step, run.unit, run.first_channel + step)
        for run in fold(inputs)
        for step in range(run.last_input - run.first_input + 1)
    ]
    assert unfolded == [(item.computer_input, item.unit, item.channel) for item in inputs]


@settings(deadline=None)  # the machine may be busy
@given(st.lists(st.none() | st.integers(0, 6), min_size=1, max_size=7))
def test_the_clock_tree_against_a_graph(parents: Any) -> None:
    """Unit n is a master, or locked to unit parents[n] (which may not be there)."""
    device = Device("d", "d", "clock", price=1)
    units = [
        Unit(
            f"u{n}",
            device,
            "clock",
            INTERNAL if parent is None else ClockSetting("word", 1, f"u{parent}"),
        )
        for n, parent in enumerate(parents)
    ]
    graph = nx.DiGraph()
    graph.add_nodes_from(unit.name for unit in units)
    graph.add_edges_from(
        (unit.clock.from_unit, unit.name)
        for unit in units
        if unit.clock is not None and unit.clock.from_unit
    )
    masters = [unit.name for unit in units if unit.clock == INTERNAL]
    reached = nx.multi_source_dijkstra_path_length(graph, masters) if masters else {}
    roots = {name: m for m in masters for name in nx.descendants(graph, m) | {m}}
    assert forest(units) == {name: Place(roots[name], reached[name]) for name in reached}
    assert hops(units) == max(reached.values(), default=0)
