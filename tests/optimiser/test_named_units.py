"""What is said of a unit by name: which of its channels leave it, and which are occupied."""

from __future__ import annotations

from ortools.sat.python import cp_model

from rigopt.optimiser.model.taps import Named
from rigopt.optimiser.model.variables import Site
from rigopt.optimiser.problem.analogue import Face
from tests.world import PRE


def test_what_is_occupied_does_not_leave_by_a_direct_out() -> None:
    """Two channels arrive by light-pipe and take a line; two leave by direct outs."""
    model = cp_model.CpModel()
    there = model.new_bool_var("there")
    moves = {n: [(model.new_bool_var(f"{n}"), 1)] for n in range(1, 5)}
    face = Face("pre-8", PRE, False, False, arriving=(1, 2), direct=(3, 4), inlets=(1, 2))
    unit = Named(Site(face, 0), there, moves)
    every = (1, 2, 3, 4, 5)
    assert unit.sent(every) == [*moves[3], *moves[4]]
    assert unit.taken(every) == [*moves[1], *moves[2]]
    assert unit.sent((1, 3)) == moves[3]
    assert unit.taken((1, 3)) == moves[1]
