"""Which of several equal answers is given: by ids, and by the order of sockets."""

from __future__ import annotations

import itertools
from dataclasses import replace
from operator import mul
from types import SimpleNamespace
from typing import Any

import pytest
from ortools.sat.python import cp_model

from rigopt.catalogue.types import Device
from rigopt.optimiser.search.ties import (
    Mix,
    earlier,
    exclude_supersets,
    first_mix,
    mix_of,
    no_good,
    place,
)
from rigopt.optimiser.solver.linear import total
from rigopt.optimiser.solver.run import Deadline
from tests.world import DESK, HUB, PRE, rig


def test_more_of_the_first_id_comes_first() -> None:
    mixes = [
        Mix({"a": 2}, {}),
        Mix({"a": 1, "b": 2}, {}),
        Mix({"a": 1, "b": 1, "c": 1}, {}),
        Mix({"b": 2}, {}),
        Mix({"c": 3}, {}),
    ]
    for number, one in enumerate(mixes):
        for later in mixes[number + 1 :]:
            assert place(one, later) < place(later, one)


def test_of_equal_hosts_the_first_by_id_are_taken() -> None:
    """Of one host, and of two that are wired apart from each other."""
    twins = [replace(DESK, id=name) for name in ("twin-b", "twin-a", "twin-c")]
    assert [unit.device.id for unit in rig(*twins, mic=8).units] == ["twin-a"]
    two = rig(*twins, mic=16, max_hosts=2)
    assert [unit.device.id for unit in two.units] == ["twin-a", "twin-a"]


def test_a_link_for_the_clock_alone_takes_the_last_input() -> None:
    """One hop at most: host and expander both hang on the generator."""
    generator = Device("star", "", "clock", 5000, optical_out=1, word_out=1)
    hub = replace(HUB, internal_clock=False)
    follower = replace(PRE, optical_in=0, word_in=1, clock_in=("word",), internal_clock=False)
    found = rig(generator, hub, follower, mic=8, max_hops=1)
    into = {link.carries: link.to_socket for link in found.links if link.to_unit == "host-1"}
    assert into == {("audio",): 1, ("clock",): 4}


# --- cuts ------------------------------------------------------------------------------------

COUNTS = list(itertools.product(range(3), repeat=3))
"""Units of a and b, packs of a cable."""


class Shelf:
    """A model of two types of unit and a cable."""

    def __init__(self) -> None:
        self.model = cp_model.CpModel()
        self.vars = [self.model.new_int_var(0, 2, name) for name in "abc"]
        a, b, c = self.vars
        cable = SimpleNamespace(id="c")
        self.rig: Any = SimpleNamespace(
            units_by_type={"b": [(b, 1)], "a": [(a, 1)]},
            packs={"c": ([(c, 1)],)},
            problem=SimpleNamespace(
                ways=lambda _: (),
                cables=(cable,),
                extras=(),
                order_terms={},
                max_units=2,
                max_links=2,
                max_leads=0,
                max_packs=4,
            ),
        )

    def left(self) -> set[tuple[int, ...]]:
        """What may be there."""
        found = set()
        for counts in COUNTS:
            model = self.model.clone()
            for var, number in zip(self.vars, counts, strict=True):
                model.add(var == number)
            if cp_model.CpSolver().solve(model) == cp_model.OPTIMAL:
                found.add(counts)
        return found


def mixed(a: int, b: int, c: int) -> Mix:
    units = {name: number for name, number in (("a", a), ("b", b)) if number}
    return Mix(units, {"c": (c,)} if c else {})


@pytest.mark.parametrize("counts", [(1, 1, 1), (0, 2, 0), (2, 0, 2), (0, 0, 0)])
def test_what_comes_before_a_mix(counts: tuple[int, int, int]) -> None:
    """More of the first that differs."""
    shelf = Shelf()
    earlier(shelf.model, shelf.rig, mixed(*counts))
    assert shelf.left() == {one for one in COUNTS if one > counts}


@pytest.mark.parametrize("counts", [(1, 1, 1), (0, 2, 0), (2, 0, 2), (0, 0, 0)])
def test_what_costs_less_comes_before_a_mix_as_well(counts: tuple[int, int, int]) -> None:
    shelf = Shelf()
    costs = (3, 1, 2)

    def cost(one: tuple[int, ...]) -> int:
        return sum(map(mul, costs, one))

    than = list(zip(shelf.vars, costs, strict=True)), cost(counts)
    earlier(shelf.model, shelf.rig, mixed(*counts), than)
    assert shelf.left() == {one for one in COUNTS if one > counts or cost(one) < cost(counts)}


@pytest.mark.parametrize("what", [{"order_terms": {"shop": None}}, {"extras": True}])
def test_packs_may_be_more_than_units_and_links(what: dict[str, Any]) -> None:
    """Where orders are filled, or extras are bought."""
    shelf = Shelf()
    problem = shelf.rig.problem
    if "extras" in what:
        what = {"extras": problem.cables, "cables": ()}
    for name, value in {"max_units": 0, "max_links": 0, **what}.items():
        setattr(problem, name, value)
    earlier(shelf.model, shelf.rig, mixed(0, 0, 0))
    assert shelf.left() == {one for one in COUNTS if one > (0, 0, 0)}


@pytest.mark.parametrize("counts", [(1, 1, 1), (0, 2, 0), (2, 0, 2)])
def test_another_mix_and_one_without_some_of_it(counts: tuple[int, int, int]) -> None:
    shelf = Shelf()
    no_good(shelf.model, shelf.rig, mixed(*counts))
    assert shelf.left() == {one for one in COUNTS if one[:2] != counts[:2]}
    shelf = Shelf()
    exclude_supersets(shelf.model, shelf.rig, mixed(*counts))
    assert shelf.left() == {one for one in COUNTS if one[0] < counts[0] or one[1] < counts[1]}


def test_the_first_of_equal_mixes() -> None:
    """Three in all: the most of the first, then of the second."""
    shelf = Shelf()
    sums = [(var, 1) for var in shelf.vars]
    shelf.model.add(total(sums) >= 3)
    first = first_mix(shelf.model, shelf.rig, sums, 3, mixed(0, 1, 2), Deadline(None))
    assert first == mixed(2, 1, 0)
    assert mix_of(shelf.rig, lambda _: 2) == mixed(2, 2, 2)
    assert mix_of(shelf.rig, lambda _: 0) == Mix({}, {})
