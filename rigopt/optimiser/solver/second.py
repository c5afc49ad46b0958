"""A second opinion on a proof, by a solver that works in another way.

The first one learns clauses; this one, of the same package, branches on a linear programme.
It sees the same variables and rules, so it tells a fault of a solver and not of the model.
It works in floating point: what it finds is rounded and tested in whole numbers against every
rule before it is believed, and money is compared in whole minor units.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Any, Final, NamedTuple

from ortools.linear_solver import pywraplp  # type: ignore[import-untyped]
from ortools.sat.python import cp_model

from rigopt.answers.outcome import Opinion
from rigopt.optimiser.solver.attended import attend
from rigopt.optimiser.solver.linear import Terms
from rigopt.optimiser.solver.rows import Row, linear_row, summed
from rigopt.optimiser.solver.run import Deadline

INFINITE: Final = 2**60
ENDLESS: Final = 2 * INFINITE
"""Bounds beyond this stand for none."""

HALF: Final = 0.5
"""Money differs where it differs by a minor unit; a bound within half of one is that one."""


class UnknownRuleError(Exception):
    """The model holds a kind of rule that is not known here."""


def opinion(
    model: cp_model.CpModel, money: Terms, claimed: int | None, deadline: Deadline
) -> Opinion:
    """What the second solver says of `claimed`, the least of `money`; None: there is none.

    "no opinion" where the time was short, or where what it says does not hold in whole numbers.

    Raises:
        UnknownRuleError: When the model holds a kind of rule that is not known here.
    """
    linear = _Linear(model)
    if deadline.over:
        return "no opinion"
    found = linear.least(money, deadline)
    if _beaten(linear, found, money, claimed):
        return "disagrees"
    if not found.ended:
        return "no opinion"
    if claimed is None:
        return "agrees" if found.values is None else "no opinion"
    if found.values is None or found.bound > claimed + HALF:
        return "disagrees"
    return "agrees" if found.bound > claimed - HALF else "no opinion"


def cheaper(
    model: cp_model.CpModel, money: Terms, claimed: int | None, deadline: Deadline
) -> Sequence[int] | None:
    """A solution with less than `claimed`, if the second solver finds one; None: any at all.

    Raises:
        UnknownRuleError: When the model holds a kind of rule that is not known here.
    """
    linear = _Linear(model)
    found = linear.least(money, deadline)
    return found.values if _beaten(linear, found, money, claimed) else None


def _beaten(linear: _Linear, found: _Found, money: Terms, claimed: int | None) -> bool:
    if found.values is None or not linear.holds(found.values):
        return False
    least = sum(factor * found.values[var.index] for var, factor in money)
    return claimed is None or least < claimed


class _Found(NamedTuple):
    """What it ended with: `values` rounded, if there are any; `ended`: it had the time."""

    values: Sequence[int] | None
    bound: float
    ended: bool


class _Linear:
    """A model as rows over variables with bounds, some of them beyond those of the model."""

    def __init__(self, model: cp_model.CpModel) -> None:
        domains = [list(variable.domain) for variable in model.proto.variables]
        if any(len(domain) != 2 for domain in domains):
            raise UnknownRuleError
        self.bounds = [(low, high) for low, high in domains]
        self.rows = [row for rule in model.proto.constraints for row in self._rows(rule)]

    def least(self, money: Terms, deadline: Deadline) -> _Found:
        """The solution with the least money."""
        solver = pywraplp.Solver.CreateSolver("SCIP")
        variables = [solver.IntVar(low, high, "") for low, high in self.bounds]
        for row in self.rows:
            for terms, lower in self._plain(row):
                posed = solver.RowConstraint(lower, solver.infinity(), "")
                for index, factor in terms.items():
                    posed.SetCoefficient(variables[index], factor)
        factors: dict[int, int] = {}
        for var, factor in money:
            factors[var.index] = factors.get(var.index, 0) + factor
        goal = solver.Objective()
        for index, factor in factors.items():
            goal.SetCoefficient(variables[index], factor)
        goal.SetMinimization()
        status = _solve(solver, deadline)
        if status not in (pywraplp.Solver.OPTIMAL, pywraplp.Solver.FEASIBLE):
            return _Found(None, math.inf, status == pywraplp.Solver.INFEASIBLE)
        values = [round(variable.solution_value()) for variable in variables]
        return _Found(values, goal.BestBound(), status == pywraplp.Solver.OPTIMAL)

    def holds(self, values: Sequence[int]) -> bool:
        """Whether whole values keep every rule."""
        within = all(
            low <= value <= high for value, (low, high) in zip(values, self.bounds, strict=True)
        )
        return within and all(
            sum(factor * values[index] for index, factor in terms.items()) >= lower
            for row in self.rows
            for terms, lower in self._plain(row)
        )

    def _plain(self, row: Row) -> Iterator[tuple[dict[int, int], int]]:
        """The same as terms that are at least so much, with no condition."""
        if row.lower > -INFINITE:
            yield self._always(row.terms, row.lower, row.when)
        if row.upper < INFINITE:
            turned = {index: -factor for index, factor in row.terms.items()}
            yield self._always(turned, -row.upper, row.when)

    def _always(
        self, terms: dict[int, int], lower: int, when: Sequence[int]
    ) -> tuple[dict[int, int], int]:
        """For each literal that is false, as much less as makes it no rule at all."""
        ends = (
            factor * self.bounds[index][factor < 0] for index, factor in terms.items() if factor
        )
        slack = max(0, lower - sum(ends))
        if not (when and slack):
            return terms, lower
        return summed(
            [*terms.items(), *((one, -slack) for one in when)], lower - slack * len(when)
        )

    def _rows(self, rule: Any) -> Iterator[Row]:
        """The rows of one rule of the model."""
        when = tuple(rule.enforcement_literal)
        if rule.has_linear():
            row = linear_row(rule)
            if row is None:
                raise UnknownRuleError
            yield row
        elif rule.has_bool_or():
            yield _count(rule.bool_or.literals, 1, ENDLESS, when)
        elif rule.has_bool_and():
            yield from (_count([one], 1, 1, when) for one in rule.bool_and.literals)
        elif rule.has_at_most_one():
            yield _count(rule.at_most_one.literals, 0, 1, when)
        elif rule.has_exactly_one():
            yield _count(rule.exactly_one.literals, 1, 1, when)
        elif rule.has_lin_max():
            yield from self._largest(rule.lin_max)
        else:
            raise UnknownRuleError

    def _largest(self, rule: Any) -> Iterator[Row]:
        """The target is no less than any, and no more than the one that is chosen."""
        chosen = []
        for one in rule.exprs:
            self.bounds.append((0, 1))
            chosen.append(len(self.bounds) - 1)
            pairs = [
                *zip(rule.target.vars, rule.target.coeffs, strict=True),
                *((index, -factor) for index, factor in zip(one.vars, one.coeffs, strict=True)),
            ]
            terms, shift = summed(pairs, one.offset - rule.target.offset)
            yield Row(terms, shift, ENDLESS, ())
            yield Row(terms, -ENDLESS, shift, (chosen[-1],))
        yield _count(chosen, 1, 1, ())


def _count(literals: Sequence[int], lower: int, upper: int, when: tuple[int, ...]) -> Row:
    """So many of these literals are true."""
    terms, shift = summed(((one, 1) for one in literals), 0)
    return Row(terms, lower + shift, upper + shift, when)


def _solve(solver: Any, deadline: Deadline) -> int:
    """Solve to the last unit."""
    parameters = pywraplp.MPSolverParameters()
    parameters.SetDoubleParam(pywraplp.MPSolverParameters.RELATIVE_MIP_GAP, 0.0)
    if deadline.left is not None:
        solver.SetTimeLimit(max(1, int(deadline.left * 1000)))
    status: int = attend(
        lambda: solver.Solve(parameters), solver.InterruptSolve, deadline.watch
    )
    return status
