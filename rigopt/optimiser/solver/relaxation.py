"""What the linear relaxation says: a bound, and what each variable would add to it.

Without whole numbers the model is a linear program, and on problems of this shape its
optimum lies within a fraction of a percent of the true one. Its dual values give every
column a reduced cost: a rig with that column costs at least the bound plus that. So a
column whose reduced cost exceeds what the best known rig lies above the bound is in no
better rig, and can be left out.

The linear solver works in floating point, but the conclusions are exact. Any dual values
give a valid bound (weak duality); they are rounded to whole numbers of the objective's unit,
and bound and reduced costs are then computed from them in integers. Rows that are not
linear are left out, which can only lower the bound.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from ortools.linear_solver import linear_solver_pb2, pywraplp  # type: ignore[import-untyped]
from ortools.sat.python import cp_model

from rigopt.optimiser.solver.rows import linear_row
from rigopt.optimiser.solver.run import NO_END, Deadline

INFINITE = 10**15
"""Bounds beyond this stand for none."""

DUAL = (
    "use_dual_simplex: true perturb_costs_in_dual_simplex: true "
    "initial_basis: NONE use_preprocessing: false"
)
"""No cost is negative, so no column at all is where the dual simplex may begin."""


@dataclass(frozen=True, slots=True)
class Relaxation:
    """A lower bound on the objective, and reduced costs by variable index, in its units.

    `spans`: of the variables, when they were relaxed.
    """

    bound: int
    reduced_costs: Mapping[int, int]
    spans: Sequence[tuple[int, int]] = ()

    def hold(self, model: cp_model.CpModel, upper: int) -> bool:
        """Leave the variables what they can be in a solution up to `upper`; whether any loses
        something.

        `model` is the one that was relaxed, or a copy of it, with more rules perhaps.
        """
        slack, held = upper - self.bound, False
        if slack < 0:
            return False
        variables = model.proto.variables
        for (low, high), (index, each) in zip(
            self.spans, self.reduced_costs.items(), strict=True
        ):
            if abs(each) * (high - low) > slack:
                steps = slack // abs(each)
                domain = variables[index].domain
                domain.clear()
                domain.extend((low, low + steps) if each > 0 else (high - steps, high))
                held = True
        return held

    def only(self, indices: Iterable[int]) -> Relaxation:
        """What is known of some of the variables."""
        known = [index for index in indices if index in self.reduced_costs]
        costs = {index: self.reduced_costs[index] for index in known}
        return Relaxation(self.bound, costs, [self.spans[index] for index in known])


@dataclass(frozen=True, slots=True)
class _Row:
    terms: Mapping[int, int]
    lower: int | None
    upper: int | None

    @property
    def sides(self) -> tuple[float, float]:
        """Between what it lies, as the linear solver takes it."""
        lower = -math.inf if self.lower is None else float(self.lower)
        return lower, math.inf if self.upper is None else float(self.upper)


def relax(model: cp_model.CpModel, unit: int, deadline: Deadline = NO_END) -> Relaxation:
    """The relaxation of `model`, as `Linear` has it, asked once.

    Raises:
        TimeIsUpError: When the deadline comes first.
    """
    return Linear(model, unit, deadline).relaxation(deadline)


class Linear:
    """The relaxation of `model`, which minimises what is never negative, to be asked more than
    once; no variable of it has gaps between its values.

    The linear solver goes on from where it ended, so another price takes it little. `unit`:
    the objective is divided by this for it, to keep its numbers small.

    Raises:
        TimeIsUpError: When the deadline comes first.
    """

    def __init__(self, model: cp_model.CpModel, unit: int, deadline: Deadline = NO_END) -> None:
        proto = model.proto
        self.unit = unit
        self._spans = [(d[0], d[1]) for d in [v.domain for v in proto.variables]]
        self._rows = list(_rows(proto, deadline))
        self._factors = dict.fromkeys(range(len(self._spans)), 0)
        for index, factor in zip(proto.objective.vars, proto.objective.coeffs, strict=True):
            self._factors[index] += factor
        self._solver = pywraplp.Solver("relaxation", pywraplp.Solver.GLOP_LINEAR_PROGRAMMING)
        self._solver.SetSolverSpecificParametersAsString(DUAL)
        # Loaded as a whole, for to add each factor by itself takes longer than to solve.
        self._solver.LoadModelFromProto(self._whole())
        self._constraints = list(self._solver.constraints())
        self._known: Relaxation | None = None
        self.limited: dict[str, int] = {}
        """Which row each limit is, by its name."""

    @cached_property
    def _variables(self) -> Sequence[Any]:
        """What the linear solver has for each variable."""
        found: Sequence[Any] = self._solver.variables()
        return found

    def _whole(self) -> Any:
        """All of it, as the linear solver takes it."""
        whole = linear_solver_pb2.MPModelProto()
        for (low, high), factor in zip(self._spans, self._factors.values(), strict=True):
            whole.variable.add(
                lower_bound=low, upper_bound=high, objective_coefficient=factor / self.unit
            )
        for row in self._rows:
            lower, upper = row.sides
            whole.constraint.add(
                var_index=row.terms,
                coefficient=row.terms.values(),
                lower_bound=lower,
                upper_bound=upper,
            )
        return whole

    def price(self, goal: Any) -> None:
        """Take the objective of a model whose variables are the same."""
        anew = dict.fromkeys(self._factors, 0)
        for index, factor in zip(goal.vars, goal.coeffs, strict=True):
            anew[index] += factor
        objective = self._solver.Objective()
        for index, factor in anew.items():
            if factor != self._factors[index]:
                self._known = None
                objective.SetCoefficient(self._variables[index], factor / self.unit)
        self._factors = anew

    def limit(self, name: str, indices: Iterable[int], lower: int, upper: int) -> None:
        """Let these variables add up to something from `lower` to `upper`, from now on; a limit
        of the same name is moved."""
        row, place = _Row(dict.fromkeys(indices, 1), lower, upper), self.limited.get(name)
        if place is None:
            self.limited[name] = len(self._rows)
            self._rows.append(row)
            self._constraints.append(self._constraint(row))
        elif row == self._rows[place]:
            return
        else:
            self._rows[place] = row
            self._constraints[place].SetBounds(float(lower), float(upper))
        self._known = None

    def relaxation(self, deadline: Deadline = NO_END) -> Relaxation:
        """What it says now; if the linear solver fails, no more than that is known.

        Raises:
            TimeIsUpError: When the deadline comes first.
        """
        if self._known is None:
            self._known = self._asked(deadline)
        return self._known

    def _asked(self, deadline: Deadline) -> Relaxation:
        duals = self._duals(deadline)
        deadline.check()
        if duals is None:
            return Relaxation(0, {})
        return Relaxation(*_priced(self._spans, self._factors, self._rows, duals), self._spans)

    def value(self, index: int) -> float:
        """What a variable is where the relaxation is at its best."""
        return float(self._variables[index].solution_value())

    def _constraint(self, row: _Row) -> Any:
        constraint = self._solver.RowConstraint(*row.sides, "")
        for index, factor in row.terms.items():
            constraint.SetCoefficient(self._variables[index], factor)
        return constraint

    def _duals(self, deadline: Deadline) -> list[int] | None:
        """Dual values in units of the objective; a sign only for rows with that side."""
        if deadline.left is not None:
            self._solver.SetTimeLimit(max(1, int(1000 * deadline.left)))
        if self._solver.Solve() != pywraplp.Solver.OPTIMAL:
            return None
        values = [round(each.dual_value() * self.unit) for each in self._constraints]
        return [
            0
            if (value > 0 and row.lower is None) or (value < 0 and row.upper is None)
            else value
            for value, row in zip(values, self._rows, strict=True)
        ]


def _rows(proto: Any, deadline: Deadline) -> Iterator[_Row]:
    for constraint in proto.constraints:
        deadline.check()
        row = linear_row(constraint)
        if row is None or not row.terms or row.when:
            continue
        yield _Row(
            row.terms,
            row.lower if row.lower > -INFINITE else None,
            row.upper if row.upper < INFINITE else None,
        )


def _priced(
    bounds: list[tuple[int, int]],
    factors: Mapping[int, int],
    rows: list[_Row],
    duals: list[int],
) -> tuple[int, Mapping[int, int]]:
    costs = dict(factors)
    bound = 0
    for row, dual in zip(rows, duals, strict=True):
        if dual:
            bound += dual * ((row.lower if dual > 0 else row.upper) or 0)
            for index, factor in row.terms.items():
                costs[index] -= dual * factor
    for index, (low, high) in enumerate(bounds):
        bound += costs[index] * (low if costs[index] > 0 else high)
    return bound, costs
