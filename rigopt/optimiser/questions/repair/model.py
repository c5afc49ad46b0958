"""The whole model of one repair, and its objectives one after another."""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

from ortools.sat.python import cp_model

from rigopt.optimiser.model.variables import RigVars
from rigopt.optimiser.questions.repair import (
    audio,
    chains,
    clock,
    demands,
    leads,
    lines,
    outputs,
    pieces,
    returns,
    sockets,
)
from rigopt.optimiser.questions.repair.case import Case
from rigopt.optimiser.questions.repair.objectives import objectives, ties
from rigopt.optimiser.questions.repair.variables import RepairVars
from rigopt.optimiser.solver.lexicographic import optimise
from rigopt.optimiser.solver.linear import amount, total
from rigopt.optimiser.solver.run import Deadline, Result, run

TIE_EFFORT = 0.5
"""Work for each choice among equals, in units of the solver that are about a second."""


class Solved(NamedTuple):
    """The variables with a solution, if there is any; `proven`: it is the best."""

    repair: RepairVars
    result: Result
    proven: bool


def build(case: Case) -> RepairVars:
    """The model: first the cables that several rules count, then the rules.

    Raises:
        TooLargeError: When an order could be too large to be rounded exactly.
    """
    repair = RepairVars(case, cp_model.CpModel(), RigVars(case.problem))
    sockets.create(repair)
    clock.create(repair)
    lines.create(repair)
    demands.create(repair)
    for rule in (
        sockets,
        clock,
        audio,
        lines,
        returns,
        chains,
        pieces,
        leads,
        demands,
        outputs,
    ):
        rule.add(repair)
    sockets.purpose(repair)
    _hint(repair)
    return repair


def _hint(repair: RepairVars) -> None:
    """Let the search begin with the cables as they are."""
    staying = {routes[0] for routes in repair.case.staying if routes}
    for route, plug in repair.plug.items():
        repair.model.add_hint(plug, route in staying)
    for var in (*repair.kept.values(), *repair.own.values()):
        repair.model.add_hint(var, True)
    there = set(repair.case.analogue.given)
    for line, var in repair.line.items():
        repair.model.add_hint(var, line in there)


def solve(case: Case, deadline: Deadline) -> Solved:
    """The best repair, objective by objective; or a result that found none.

    Raises:
        TooLargeError: When prices and counts are too large to add up exactly.
    """
    repair = build(case)
    result, proven = optimise(repair.model, objectives(repair), deadline)
    if proven:
        for terms in ties(repair):
            repair.model.minimize(total(terms))
            better = run(repair.model, deadline, effort=TIE_EFFORT)
            result = better if better.found else result
            repair.model.add(total(terms) <= amount(terms, result.value))
    return Solved(repair, result, proven)


def can(case: Case, deadline: Deadline, *without: str) -> bool:
    """Whether there is any repair, once these needs or means are left out."""
    relaxed = replace(case, relaxed=frozenset(without))
    return run(build(relaxed).model, deadline).found
