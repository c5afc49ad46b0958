"""Two ways to the same answer: the derivation and the audit, the clock tree and a graph."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import networkx as nx
from hypothesis import given, settings
from hypothesis import strategies as st

from rigopt.catalogue.types import Device
from rigopt.rig.audit.channels import check_channels
from rigopt.rig.audit.clock import chain, hops
from rigopt.rig.audit.figures import check_figures
from rigopt.rig.audit.inputs import check_inputs
from rigopt.rig.audit.wiring import Wiring
from rigopt.rig.figures import figures
from rigopt.rig.folding import fold
from rigopt.rig.links import derive_links
from rigopt.rig.numbering import derive_inputs
from rigopt.rig.types import ClockSetting, Rig, Unit
from tests.rig.rig_builders import INTERNAL, Wire
from tests.world import ALL

few = st.integers(0, 3)
some = st.integers(0, 10)


@st.composite
def devices(draw: st.DrawFn, role: Any) -> Any:
    return Device(
        f"{role}-device",
        role,
        role,
        price=1,
        mic_line_inst=draw(few),
        mic_line=draw(some),
        line=draw(few),
        inst=draw(few),
        phantom_bank=draw(st.sampled_from([0, 1, 4, 8])),
        line_out=draw(some),
        optical_in=draw(few),
        optical_out=draw(few),
        optical_2x=draw(few),
        optical_4x=draw(few),
        coax_in=draw(few),
        coax_out=draw(few),
        rates_hz=ALL,
        max_in_1x=draw(st.none() | st.integers(0, 30)),
        max_in_2x=draw(st.none() | some),
        max_in_4x=draw(st.none() | few),
    )


@st.composite
def wired(draw: st.DrawFn) -> Any:
    """Up to two hosts and two expanders, with any wires between them; sockets may be dead,
    absent or taken twice, but no wire is there twice."""
    roles: list[Any] = ["host"] * draw(st.integers(1, 2)) + ["expander"] * draw(
        st.integers(0, 2)
    )
    banks = st.sampled_from([(), (1,), (1, 2)])
    units = tuple(
        replace(Unit(f"unit-{n}", draw(devices(role)), role, INTERNAL), phantom_banks_on=on)
        for n, role in enumerate(roles)
        for on in [draw(banks)]
    )
    names = st.sampled_from([unit.name for unit in units])
    socket = st.integers(1, 3)
    kinds = st.sampled_from(["optical", "optical", "coax"])
    wire = st.builds(Wire, kinds, names, socket, names, socket, st.none(), st.booleans())
    ends = {
        "out": lambda w: (w.kind, w.from_unit, w.from_socket),
        "in": lambda w: (w.kind, w.to_unit, w.to_socket),
    }
    wires = draw(st.lists(wire, max_size=9, unique_by=tuple(ends.values())))
    return units, tuple(wires), draw(st.sampled_from(ALL))


@settings(deadline=None)  # the machine may be busy
@given(wired())
def test_what_is_derived_passes_the_audit(world: Any) -> None:
    units, wires, rate_hz = world
    links = derive_links(units, wires, rate_hz)
    wiring = Wiring(units, links, rate_hz)
    inputs = derive_inputs(units, links, rate_hz)
    found = [one for one in check_channels(wiring) if one.rule != "carries-nothing"]
    assert found == []
    assert list(check_inputs(wiring, inputs)) == []
    rig = Rig(rate_hz, units, links, inputs, (), 0, 12345)
    assert list(check_figures(rig, figures(rig))) == []


@settings(deadline=None)  # the machine may be busy
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


@settings(deadline=None)  # the machine may be busy
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
        (unit.clock.from_unit, unit.name) for unit in units if unit.clock.from_unit
    )
    masters = [unit.name for unit in units if unit.clock.source == "internal"]
    reached = nx.multi_source_dijkstra_path_length(graph, masters) if masters else {}
    for unit in units:
        names = chain(units, unit)
        assert (names is not None) == (unit.name in reached)
        if names is not None:
            assert len(names) - 1 == reached[unit.name]
    assert hops(units) == max(reached.values(), default=0)
