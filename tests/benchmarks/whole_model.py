"""The optimiser's own model, unpruned, given to HiGHS: the same rows, another solver."""

from __future__ import annotations

import time
from dataclasses import dataclass

import numpy as np
from ortools.sat.python import cp_model
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array

from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.optimiser.model.model import build, columns, objective_of
from rigopt.optimiser.problem.problem import state
from rigopt.optimiser.solver.linear import total


@dataclass(frozen=True, slots=True)
class Solved:
    """Money in minor units (None: none proven in the time), and seconds of solving."""

    money: int | None
    seconds: float
    variables: int


def by_highs(catalogue: Catalogue, needs: Needs, limit_s: float) -> Solved:
    """Solve the counted model, dominated columns dropped, as a mixed-integer program."""
    problem = state(catalogue, needs)
    model = cp_model.CpModel()
    rig = build(model, problem, columns(problem))
    objective = objective_of(rig)
    model.minimize(total(objective.terms))
    proto = model.proto
    count = len(proto.variables)
    cost = np.zeros(count)
    for index, factor in zip(proto.objective.vars, proto.objective.coeffs, strict=True):
        cost[index] += factor / objective.money
    rows, cols, values, least, most = [], [], [], [], []
    for place, constraint in enumerate(proto.constraints):
        linear, shift = constraint.linear, 0
        for index, factor in zip(linear.vars, linear.coeffs, strict=True):
            if index < 0:
                shift += factor
            rows.append(place)
            cols.append(index if index >= 0 else -index - 1)
            values.append(float(factor if index >= 0 else -factor))
        low, high = linear.domain[0], linear.domain[len(linear.domain) - 1]
        least.append(float(low - shift) if low > -(10**15) else -np.inf)
        most.append(float(high - shift) if high < 10**15 else np.inf)
    matrix = coo_array((values, (rows, cols)), shape=(len(least), count)).tocsr()
    lower = [v.domain[0] for v in proto.variables]
    upper = [v.domain[len(v.domain) - 1] for v in proto.variables]
    begun = time.perf_counter()
    found = milp(
        cost,
        integrality=np.ones(count),
        bounds=Bounds(lower, upper),
        constraints=LinearConstraint(matrix, least, most),
        options={"time_limit": limit_s, "mip_rel_gap": 0.0},
    )
    seconds = time.perf_counter() - begun
    if found.status != 0:
        return Solved(None, seconds, count)
    spent = {var.index: 0 for var, _ in rig.spent()}
    for var, price in rig.spent():
        spent[var.index] += price
    money = sum(price * round(found.x[index]) for index, price in spent.items())
    return Solved(money, seconds, count)
