"""The question answered: choose the mix of types, settle ties, wire the mix, name it."""

from __future__ import annotations

from dataclasses import replace

from ortools.sat.python import cp_model

from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.optimiser.decode import decode
from rigopt.optimiser.model import Goal, build, goal
from rigopt.optimiser.problem import Problem, state
from rigopt.optimiser.reasons import reasons
from rigopt.optimiser.run import Deadline, Result, run
from rigopt.optimiser.ties import Mix, first_mix, mix_of
from rigopt.optimiser.variables import Counted, RigVars, total
from rigopt.rig.outcome import Answered, Impossible, Outcome, OutOfTime


def solve(catalogue: Catalogue, needs: Needs, time_limit: float | None = None) -> Outcome:
    """The cheapest rig, or why there is none. `time_limit` in seconds.

    Raises:
        TooLargeError: When prices and counts are too large to add up exactly.
    """
    problem = state(catalogue, needs)
    deadline = Deadline(time_limit)
    model, rig, cost = minimise(problem)
    result = run(model, deadline)
    if result.status == "infeasible":
        return Impossible(reasons(problem))
    if result.status == "unknown":
        return OutOfTime(time_limit or 0.0)
    counted = rig.read(result.value)
    if result.status == "optimal":
        spent = sum(factor * result.value(var) for var, factor in cost.terms)
        mix = first_mix(model, rig, cost, spent, mix_of(rig, result.value), deadline)
        counted = wire(problem, mix)
    found = decode(problem, counted)
    return Answered(found, *_proof(found.total, cost, result))


def minimise(problem: Problem) -> tuple[cp_model.CpModel, RigVars, Goal]:
    """The model of a problem, with its goal."""
    model = cp_model.CpModel()
    rig = build(model, problem)
    cost = goal(rig)
    model.minimize(total(cost.terms))
    return model, rig, cost


def wire(problem: Problem, mix: Mix) -> Counted:
    """The best wiring of a mix that is known to work.

    Only the types of the mix are looked at, so that the answer does not depend on
    anything in the catalogue that is not in it.
    """
    small = replace(
        problem,
        hosts=tuple(d for d in problem.hosts if mix.units.get(d.id)),
        satellites=tuple(d for d in problem.satellites if mix.units.get(d.id)),
        cables=tuple(c for c in problem.cables if mix.packs.get(c.id) or problem.owned(c.id)),
    )
    model = cp_model.CpModel()
    rig = build(model, small, prune=False)
    for item, units in rig.units_by_type.items():
        model.add(total(units) == mix.units[item])
    model.minimize(total(goal(rig).terms))
    result = run(model, Deadline(None))
    return rig.read(result.value)


def _proof(spent: int, cost: Goal, result: Result) -> tuple[int, bool]:
    if result.status == "optimal":
        return spent, True
    return max(0, min(spent, result.bound // cost.money)), False
