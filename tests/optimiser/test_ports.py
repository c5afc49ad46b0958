"""Sockets that are alike in what a link on them can do, and which may stand in for which."""

from __future__ import annotations

import itertools
import random
from dataclasses import dataclass, replace

import networkx as nx
import pytest

from rigopt.catalogue.types import BLOCKS, Device
from rigopt.optimiser.problem import ports
from rigopt.optimiser.problem.at_rate import DeviceAtRate
from rigopt.optimiser.problem.ports import Port, Use, covers, hostings

BOTH = Port("optical", "in", (("light-pipe", 8), ("stereo", 2)))


@pytest.mark.parametrize(
    ("other", "does"),
    [
        (BOTH, True),
        (BOTH._replace(arrives=BOTH.arrives[:1]), True),
        (BOTH._replace(arrives=BOTH.arrives[1:]), True),
        (BOTH._replace(arrives=(("light-pipe", 8), ("stereo", 3))), False),
        (BOTH._replace(arrives=(("light-pipe", 9), ("stereo", 2))), False),
        (BOTH._replace(arrives=(("light-pipe", 8), ("t16", 0))), False),
        (BOTH._replace(locks=True), False),
        (BOTH._replace(side="out"), False),
        (BOTH._replace(side="both"), False),
        (BOTH._replace(kind="coax"), False),
    ],
)
def test_one_socket_stands_in_for_another_if_it_does_all_that(other: Port, does: bool) -> None:
    assert BOTH.covers(other) is does
    assert BOTH._replace(locks=True, side="both").covers(other) is (
        does or other.locks or other.side != "in"
    )


@pytest.mark.parametrize(
    ("use", "serves"),
    [
        (Use("in", "stereo"), True),
        (Use("in", "stereo", 2), True),
        (Use("in", "stereo", 3), False),
        (Use("in", "t16"), False),
        (Use("out", "stereo"), False),
        (Use("in", "stereo", 2, locks=True), False),
    ],
)
def test_a_link_is_on_a_socket_that_does_what_it_wants(use: Use, serves: bool) -> None:
    assert BOTH.serves(use) is serves
    assert BOTH._replace(side="both").serves(use._replace(locks=False)) is (
        serves or use.locks or use.side == "out"
    )


@dataclass(frozen=True)
class Sort:
    """A sort that covers those whose numbers it knows."""

    number: int
    knows: frozenset[int]

    def covers(self, other: Sort) -> bool:
        return other.number in self.knows


def drawn(seed: int) -> tuple[list[tuple[Sort, int]], list[tuple[Sort, int]]]:
    """Three sorts to stand in, three to be stood in for, and how many there are of each."""
    draw = random.Random(seed)
    others = [(Sort(number, frozenset()), draw.randint(1, 2)) for number in range(3)]
    known = [frozenset(n for n in range(3) if draw.random() < 0.6) for _ in range(3)]
    return [(Sort(9 + n, k), draw.randint(1, 3)) for n, k in enumerate(known)], others


def test_sorts_stand_in_for_others_one_for_one() -> None:
    """As a largest matching of single things says."""
    said = []
    for seed in range(200):
        mine, others = drawn(seed)
        graph = nx.Graph()
        wanted = [("other", sort, place) for sort, n in others for place in range(n)]
        graph.add_nodes_from(wanted)
        for sort, number in mine:
            for place in range(number):
                graph.add_node(("mine", sort, place))
                for one in wanted:
                    if sort.covers(one[1]):
                        graph.add_edge(("mine", sort, place), one)
        matched = nx.bipartite.maximum_matching(graph, top_nodes=wanted)
        right = len(matched) // 2 == len(wanted)
        assert covers(tuple(mine), tuple(others)) is right, seed
        said.append(right)
    assert 20 < sum(said) < 180


def test_of_sockets_that_hold_another_format_each_effect_is_among_those_looked_at(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """As if every set of them were looked at."""

    def every(number: int) -> list[tuple[int, ...]]:
        sizes = range(number + 1)
        return [one for size in sizes for one in itertools.combinations(range(number), size)]

    hosts = []
    for seed in range(60):
        draw = random.Random(seed)
        sockets = draw.randint(1, 4)
        host = Device("host", "", "host", mic_line=2, optical_in=sockets, clock_in=("optical",))
        order = draw.sample(BLOCKS, len(BLOCKS))
        host = replace(host, optical_stereo=draw.randint(1, sockets), input_order=tuple(order))
        hosts.append(DeviceAtRate(replace(host, max_in_1x=draw.randint(2, 34)), 48_000))
    few = [set(hostings(host)) for host in hosts]
    monkeypatch.setattr(ports, "_sets", every)
    hostings.cache_clear()
    assert [set(hostings(host)) for host in hosts] == few
    hostings.cache_clear()
    assert {len(ways) for ways in few} > {1, 2, 3}
