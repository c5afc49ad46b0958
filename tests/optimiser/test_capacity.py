"""What a few hosts take in: rounded up, no whole hosts are lost, and parts of one are."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from random import Random
from typing import Any

import pytest
from ortools.sat.python import cp_model

from rigopt.catalogue.types import Device
from rigopt.facts import SOCKET_KINDS
from rigopt.needs.types import Needs
from rigopt.optimiser.model import capacity, model
from rigopt.optimiser.model.capacity import rounded
from rigopt.optimiser.model.model import build, columns
from rigopt.optimiser.problem.problem import state
from rigopt.optimiser.questions.plan import solve
from rigopt.optimiser.search.posed import Posed
from rigopt.optimiser.solver.run import NO_END
from tests.benchmarks.rich import rich_catalogue
from tests.tiers import few
from tests.world import catalogue

pytestmark = pytest.mark.made_up


def test_by_hand() -> None:
    """Two hosts for 64 channels: two that take in 28 are 8 short, so one is larger; and there
    are two, or one that takes in all."""
    assert rounded([28, 44, 72], [], 64, 2) == [((1, 1, 1), 1), ((1, 1, 2), 2), ((0, 1, 1), 1)]
    # 128 by four: four of 28 are 16 short. One of 42 makes up for 14 of these, so there are two
    # of them, or a unit that brings the last two by other sockets.
    assert rounded([28, 42], [2], 128, 4) == [
        ((1, 1, 1), 4),
        ((0, 1, 1), 2),
        ((0, 2, 1), 3),
        ((0, 3, 1), 4),
    ]
    assert rounded([28, 44], [], 56, 2) == [((1, 1), 2)]
    assert rounded([28, 44], [], 28, 2) == [((1, 1), 1)]
    # It cannot be done.
    assert rounded([8], [], 24, 2) == [((1,), 2), ((0,), 2)]


@pytest.mark.parametrize("seed", range(40))
def test_no_hosts_that_will_do_are_lost(seed: int) -> None:
    random = Random(seed)
    hosts = sorted({random.randrange(1, 40) for _ in range(random.randrange(1, 5))})
    others = sorted({random.randrange(1, 20) for _ in range(random.randrange(3))})
    most, wanted = random.randrange(2, 5), random.randrange(1, 90)
    rows, enough, short = rounded(hosts, others, wanted, most), 0, 0
    for counts in product(range(5), repeat=len(hosts) + len(others)):
        if sum(counts[: len(hosts)]) > most:
            continue
        brought = sum(n * c for n, c in zip((*hosts, *others), counts, strict=True))
        refused = any(
            sum(f * c for f, c in zip(factors, counts, strict=True)) < least
            for factors, least in rows
        )
        enough += brought >= wanted
        short += refused
        assert not (refused and brought >= wanted), counts
    assert short
    assert enough or wanted > most * hosts[-1]


@pytest.mark.parametrize("channels", [1, 2, 7, 16, 36, 90])
@pytest.mark.parametrize("most", [2, 3, 8])
def test_of_sizes_that_make_as_many_parts_the_largest_says_all(
    channels: int, most: int
) -> None:
    sizes = {parts: size for size, parts in capacity._sizes(channels, most)}
    for size in range(1, channels + 1):
        parts = -(-channels // size)
        if parts <= most:
            assert sizes[parts] >= size
    assert all(-(-channels // size) == parts for parts, size in sizes.items())


SMALL = Device(
    "small", "", "host", 20000, mic=20, optical_in=1, optical_out=4, clock_in=("optical",)
)
"""It takes in 28 channels."""
LARGE = replace(SMALL, id="large", price=50000, mic=12, optical_in=4)
"""It takes in 44."""
BOX = Device(
    "box", "", "expander", 15000, mic=8, optical_in=1, optical_out=1, clock_in=("optical",)
)


def bound(shop: Any, needs: Needs) -> int:
    """What the relaxation of all columns says of the money."""
    problem = state(shop, needs)
    posed = Posed(problem, columns(problem, 0), ())
    return posed.relax(NO_END).bound // posed.objective.money


def test_a_part_of_a_larger_host_is_none(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two small ones are 8 channels short of 64, which half of a large one has more."""
    shop, needs = catalogue(SMALL, LARGE, BOX), Needs(mic=64, max_hosts=2)
    now = bound(shop, needs)
    monkeypatch.setattr(capacity, "KINDS", ())
    before = bound(shop, needs)
    # One and a half, half of a large one, and three and a half boxes for the other 28.
    assert 30000 + 25000 + 52500 <= before < 115000
    # A small one and a large one, and four boxes for the other 32.
    assert now >= 20000 + 50000 + 60000


def test_what_comes_by_other_sockets_is_counted_by_itself(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """128 by four: three small ones and one with 42, and two more channels by coax. Without
    that it takes a second larger one."""
    mixed = replace(LARGE, optical_in=3, mic=18, coax_in=1)
    two = Device("two", "", "expander", 30000, mic=2, coax_out=1, word_in=1, clock_in=("word",))
    shop, needs = catalogue(SMALL, mixed, BOX, two), Needs(mic=128, max_hosts=4)
    now = bound(shop, needs)
    monkeypatch.setattr(capacity, "KINDS", capacity.KINDS[:1])
    assert bound(shop, needs) < now


def test_it_counts_hosts_by_what_they_take_in_and_others_by_what_they_bring() -> None:
    two = Device("two", "", "expander", 30000, mic=2, coax_out=1, word_in=1, clock_in=("word",))
    mixed = replace(LARGE, coax_in=2, optical_stereo=4, word_out=2)
    problem = state(catalogue(mixed, two), Needs(mic=16, max_hosts=2))
    made = cp_model.CpModel()
    rig = build(made, problem, columns(problem, 0))
    every, optical = capacity.KINDS
    # Light-pipes bring most on sockets that take stereo too; what goes out brings nothing.
    assert [*capacity._hosts(made, rig, every)] == [12 + 4 * 8 + 2 * 2]
    hosts, others = capacity._hosts(made, rig, optical), capacity._others(made, rig, optical)
    assert ([*hosts], [*others]) == ([12 + 4 * 8], [2])
    assert not capacity._others(made, rig, every)
    made.maximize(others[2] - hosts[44])
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    assert solver.solve(made) == cp_model.OPTIMAL
    joined = [n for c, n in rig.satellites.items() if c.wiring.format is not None]
    assert solver.value(hosts[44]) == sum(map(solver.value, rig.hosts.values())) > 1
    assert solver.value(others[2]) == sum(map(solver.value, joined)) > 1


@pytest.mark.parametrize("seed", few(range(30), slow=range(10, 30)))
def test_it_changes_no_answer(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    shop = rich_catalogue(seed, 14)
    needs = Needs(
        mic=20 + seed % 5 * 8,
        phantom=4,
        instrument=seed % 3,
        out_line=seed % 4 * 2,
        max_hosts=2 + seed % 2,
        own_clocks=seed % 4 == 1,
    )
    usual = solve(shop, needs)
    rules = [rule for rule in model.RULES if rule is not capacity]
    assert len(rules) == len(model.RULES) - 1
    monkeypatch.setattr(model, "RULES", rules)
    other = solve(shop, needs)
    assert type(other) is type(usual)
    assert getattr(other, "rig", None) == getattr(usual, "rig", None)
    assert getattr(usual, "proven", True)


def test_every_kind_that_brings_channels_is_counted() -> None:
    assert capacity.KINDS[0] == {*SOCKET_KINDS} - {"word"}
    assert capacity.KINDS[1] < capacity.KINDS[0]
