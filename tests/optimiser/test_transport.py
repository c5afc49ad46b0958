"""Things that find places: as a flow of another library has it, in as few rows as it takes."""

from __future__ import annotations

import random

import networkx as nx
import pytest
from ortools.sat.python import cp_model

from rigopt.optimiser.model.sockets import _groups
from rigopt.optimiser.model.transport import _unions, transport
from rigopt.optimiser.problem.ports import Port
from rigopt.optimiser.solver.linear import Terms
from rigopt.optimiser.solver.run import Deadline, run

Counts = dict[str, int]


def served(wanted: Counts, there: Counts, more: Counts, able: set[tuple[str, str]]) -> bool:
    """Whether the rows let all that is wanted be served."""
    model = cp_model.CpModel()

    def fixed(counts: Counts) -> dict[str, Terms]:
        return {name: [(model.new_constant(n), 1)] for name, n in counts.items()}

    transport(
        model, fixed(wanted), fixed(there), lambda place, want: (want, place) in able, more
    )
    return run(model, Deadline(None)).found


def flows(wanted: Counts, there: Counts, able: set[tuple[str, str]]) -> bool:
    """Whether as much as is wanted flows to the places."""
    graph = nx.DiGraph()
    graph.add_nodes_from(("from", "to"))
    for want, number in wanted.items():
        graph.add_edge("from", want, capacity=number)
    for place, number in there.items():
        graph.add_edge(place, "to", capacity=number)
    graph.add_edges_from(able)
    return bool(nx.maximum_flow_value(graph, "from", "to") == sum(wanted.values()))


@pytest.mark.parametrize("seed", range(4))
def test_all_that_is_wanted_is_served_where_it_can_be(seed: int) -> None:
    chance = random.Random(seed)
    endings = set()
    for _ in range(40):
        wanted = {want: chance.randint(0, 3) for want in "abc"}
        there = {place: chance.randint(0, 3) for place in "xyz"}
        more = {place: chance.randint(0, 1) for place in "xz"}
        able = {(w, p) for w in "abc" for p in "xyz" if chance.random() < 0.5}
        both = {place: number + more.get(place, 0) for place, number in there.items()}
        right = flows(wanted, both, able)
        endings.add(right)
        assert served(wanted, there, more, able) is right, (wanted, there, more, able)
    assert endings == {True, False}


def sets(*several: str) -> list[frozenset[int]]:
    return [frozenset(map(int, one)) for one in several]


@pytest.mark.parametrize(
    ("several", "unions"),
    [
        (sets("1", "2"), sets("1", "2")),
        (sets("1", "2", "12"), sets("1", "2", "12")),
        (sets("12", "23", "4"), sets("12", "23", "123", "4")),
        (sets("12", "34", "23"), sets("12", "34", "23", "123", "234", "1234")),
        (sets("", "1"), sets("", "1")),
    ],
)
def test_only_unions_in_one_piece_are_looked_at(
    several: list[frozenset[int]], unions: list[frozenset[int]]
) -> None:
    found = list(_unions(several))
    assert set(found) == set(unions)
    assert len(found) == len(unions)


def test_sockets_that_can_be_both_ways_stay_with_those_of_one_way() -> None:
    both, in_, out = (Port("trunk", side, (("net", 8),)) for side in ("both", "in", "out"))
    coax_in, coax_out = (Port("coax", side, (("coax", 2),)) for side in ("in", "out"))
    there: dict[Port, Terms] = {port: [] for port in (both, coax_in, in_, out, coax_out)}
    assert [set(group) for group in _groups(there)] == [{both, in_, out}, {coax_in}, {coax_out}]
