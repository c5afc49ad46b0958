"""Graph theory's view of a finished rig: the clock is a tree, the sources find channels."""

from __future__ import annotations

import networkx as nx

from rigopt.needs.types import Needs
from rigopt.rig.types import Rig


def clock_graph(rig: Rig) -> nx.DiGraph:
    """Units, and an edge for each unit that is not master from what it is locked to."""
    graph = nx.DiGraph()
    graph.add_nodes_from(unit.name for unit in rig.units)
    ends = {(link.kind, link.to_unit, link.to_socket): link.from_unit for link in rig.links}
    for unit in rig.units:
        if unit.clock.source != "internal":
            assert unit.clock.socket is not None
            graph.add_edge(ends[unit.clock.source, unit.name, unit.clock.socket], unit.name)
    return graph


def clock_tree_faults(rig: Rig) -> list[str]:
    """What keeps the clock from being a tree as deep as the rig says it is."""
    graph = clock_graph(rig)
    if not nx.is_arborescence(graph):
        return ["the clock is no tree"]
    roots = [name for name, degree in graph.in_degree() if degree == 0]
    hops = max(nx.single_source_shortest_path_length(graph, roots[0]).values())
    faults = [] if roots == [rig.master.name] else ["the root is not the master"]
    return faults if hops == rig.clock_hops else [*faults, f"{hops} hops"]


def channels_suffice(rig: Rig, needs: Needs) -> bool:
    """Whether all sources flow to inputs that accept them, one each (maximum flow)."""
    rest = needs.mic - needs.phantom - needs.no_phantom
    sources = [
        ("mic", True, needs.phantom),
        ("mic", False, needs.no_phantom),
        ("mic", None, rest),
        ("line", None, needs.line),
        ("instrument", None, needs.instrument),
    ]
    graph = nx.DiGraph()
    graph.add_nodes_from(["all sources", "computer"])
    for what, phantom, count in sources:
        graph.add_edge("all sources", (what, phantom), capacity=count)
        for one in rig.inputs:
            if what in one.accepts and phantom in (None, one.phantom):
                graph.add_edge((what, phantom), one.computer_input, capacity=1)
                graph.add_edge(one.computer_input, "computer", capacity=1)
    flow: int = nx.maximum_flow_value(graph, "all sources", "computer")
    return flow == needs.inputs
