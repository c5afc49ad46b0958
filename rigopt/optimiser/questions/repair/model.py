"""The whole model of one repair, and its objectives one after another."""

from __future__ import annotations

from dataclasses import dataclass

from ortools.sat.python import cp_model

from rigopt.optimiser.questions.repair import audio, clock, demands, pieces, returns, sockets
from rigopt.optimiser.questions.repair.case import Case
from rigopt.optimiser.questions.repair.objectives import objectives
from rigopt.optimiser.questions.repair.variables import Rewire
from rigopt.optimiser.solver.linear import amount, total
from rigopt.optimiser.solver.run import Deadline, Result, run


@dataclass(frozen=True, slots=True)
class Solved:
    """The variables with a solution, if there is any; `proven`: it is the best."""

    rewire: Rewire
    result: Result
    proven: bool


def build(case: Case) -> Rewire:
    """The model: first the cables that several rules count, then the rules."""
    rewire = Rewire(case, cp_model.CpModel())
    returns.create(rewire)
    audio.add(rewire)
    clock.create(rewire)
    for rule in (clock, sockets, returns, pieces, demands):
        rule.add(rewire)
    return rewire


def solve(case: Case, deadline: Deadline) -> Solved:
    """The best repair, objective by objective; or a result that found none."""
    rewire = build(case)
    best: Result | None = None
    for terms in objectives(rewire):
        rewire.model.minimize(total(terms))
        result = run(rewire.model, deadline)
        if not result.found:
            return Solved(rewire, best or result, False)
        best = result
        if result.status != "optimal":
            return Solved(rewire, best, False)
        reached = amount(terms, result.value)
        rewire.model.add(total(terms) <= reached)
    assert best is not None
    return Solved(rewire, best, True)


def can(case: Case, deadline: Deadline) -> bool:
    """Whether there is any repair."""
    return run(build(case).model, deadline).found
