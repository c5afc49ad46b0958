"""Graph theory's view of a finished rig: clocks are trees, the sources find channels."""

from __future__ import annotations

import networkx as nx

from rigopt.needs.types import Needs
from rigopt.rig.types import Rig


def clock_graph(rig: Rig) -> nx.DiGraph:
    """Units with a clock, and an edge to each that is locked from what it is locked to.

    A duplex cable may bring the clock to the unit that it is said to come from.
    """
    graph = nx.DiGraph()
    ends = {(link.kind, link.from_unit, link.from_socket): link.to_unit for link in rig.links}
    ends |= {(link.kind, link.to_unit, link.to_socket): link.from_unit for link in rig.links}
    for unit in rig.units:
        if unit.clock is None:
            continue
        graph.add_node(unit.name)
        if unit.clock.source != "internal":
            assert unit.clock.socket is not None
            graph.add_edge(ends[unit.clock.source, unit.name, unit.clock.socket], unit.name)
    return graph


def clock_tree_faults(rig: Rig) -> list[str]:
    """What keeps the clocks from being trees as deep as the rig says they are."""
    graph = clock_graph(rig)
    if not nx.is_branching(graph):
        return ["the clocks are no trees"]
    internal = {u.name for u in rig.units if u.clock and u.clock.source == "internal"}
    roots = {name for name, degree in graph.in_degree() if degree == 0}
    hops = nx.dag_longest_path_length(graph)
    faults = [] if roots == internal else ["the roots are not those on internal clock"]
    return faults if hops == rig.clock_hops else [*faults, f"{hops} hops"]


def channels_suffice(rig: Rig, needs: Needs) -> bool:
    """Whether all sources flow to inputs that accept them, one each (maximum flow).

    An instrument may flow through a DI box; on a spare input sits a microphone of any sort.
    """
    rest = needs.mic - needs.phantom - needs.no_phantom + needs.spare
    sources = [
        ("mic", True, needs.phantom),
        ("mic", False, needs.no_phantom),
        ("mic", None, rest),
        ("line", None, needs.line),
        ("instrument", None, needs.instrument),
    ]
    boxes = [unit.device for unit in rig.units if unit.role == "di"]
    graph = nx.DiGraph()
    graph.add_nodes_from(["all sources", "computer"])
    for what, phantom, count in sources:
        graph.add_edge("all sources", (what, phantom), capacity=count)
        for one in rig.inputs:
            if what in one.accepts and phantom in (None, one.phantom):
                graph.add_edge((what, phantom), one.computer_input, capacity=1)
                graph.add_edge(one.computer_input, "computer", capacity=1)
    for number, box in enumerate(boxes):
        graph.add_edge(("instrument", None), ("box", number), capacity=box.inst)
        for one in rig.inputs:
            if "mic" in one.accepts and one.phantom >= box.di_phantom:
                graph.add_edge(("box", number), one.computer_input, capacity=1)
                graph.add_edge(one.computer_input, "computer", capacity=1)
    flow: int = nx.maximum_flow_value(graph, "all sources", "computer")
    return flow == needs.inputs + needs.spare
