"""Linear expressions, and a growing model for HiGHS."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable
from typing import Any

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array

Terms = dict[int, float]
"""A linear expression: variable number to coefficient."""

TOLERANCE = 1e-5


class Linear:
    """A growing list of variables and rows, and the call of the solver."""

    def __init__(self) -> None:
        self.most: list[float] = []
        self.whole: list[int] = []
        self.rows: list[tuple[Terms, float, float]] = []

    def variable(self, most: float = 1, whole: bool = True) -> int:
        """A new variable from 0 to `most`."""
        self.most.append(most)
        self.whole.append(int(whole))
        return len(self.most) - 1

    def row(self, terms: Terms, least: float = -math.inf, most: float = math.inf) -> None:
        """A constraint least <= terms <= most."""
        self.rows.append((terms, least, most))

    def within(self, small: Terms, large: Terms, extra: float = 0) -> None:
        """A constraint small <= large + extra."""
        self.row(total(small, times(-1, large)), most=extra)

    def equal(self, one: Terms, other: Terms) -> None:
        """A constraint one = other."""
        self.row(total(one, times(-1, other)), least=0, most=0)

    def solve(self, goal: Terms) -> np.ndarray[Any, Any] | None:
        """The values that minimise `goal`; None when there are none.

        Raises:
            RuntimeError: When HiGHS neither solves the model nor proves that it cannot be.
        """
        cost = np.zeros(len(self.most))
        for column, factor in goal.items():
            cost[column] = factor
        cells = [(r, c, f) for r, row in enumerate(self.rows) for c, f in row[0].items()]
        where = ([r for r, _, _ in cells], [c for _, c, _ in cells])
        shape = (len(self.rows), len(self.most))
        matrix = csr_array(([f for _, _, f in cells], where), shape=shape)
        limits = [row[1] for row in self.rows], [row[2] for row in self.rows]
        for presolve in (True, False):
            answer = milp(
                cost,
                integrality=np.array(self.whole),
                bounds=Bounds(0, np.array(self.most)),
                constraints=LinearConstraint(matrix, *limits),
                # The default gap takes dearer rigs.
                options={"mip_rel_gap": 0.0, "presolve": presolve},
            )
            # Presolve called a model impossible that is not (scipy 1.17.1, see
            # regressions/held-money.json): that is believed without it alone.
            if answer.status == 0:
                return answer.x
        if answer.status != 2:
            raise RuntimeError(f"HiGHS: {answer.message}")
        return None

    def value(self, terms: Terms, values: np.ndarray[Any, Any]) -> int:
        """The whole value of an expression in a solution.

        Raises:
            RuntimeError: When HiGHS's value is not whole within the tolerance.
        """
        found = float(sum(factor * self.settled(values, c) for c, factor in terms.items()))
        if abs(found - round(found)) > TOLERANCE:
            raise RuntimeError(f"not whole: {found}")
        return round(found)

    def settled(self, values: np.ndarray[Any, Any], column: int) -> float:
        """A variable's value, whole if it has to be.

        Raises:
            RuntimeError: When it has to be and is not within the tolerance.
        """
        value = float(values[column])
        if not self.whole[column]:
            return value
        if abs(value - round(value)) > TOLERANCE:
            raise RuntimeError(f"not whole: {value}")
        return round(value)


def total(*parts: Terms) -> Terms:
    """The sum of linear expressions."""
    summed: Terms = defaultdict(float)
    for part in parts:
        for column, factor in part.items():
            summed[column] += factor
    return dict(summed)


def times(factor: float, terms: Terms) -> Terms:
    """A multiple of a linear expression."""
    return {column: factor * one for column, one in terms.items()}


def ones(columns: Iterable[int]) -> Terms:
    """The sum of variables."""
    return total(*({column: 1.0} for column in columns))
