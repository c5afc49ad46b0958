"""A problem solved with as few columns as will do.

The linear relaxation tells which columns can be in a rig whose objective is at most a
little more than its bound. The model is solved with these alone. If the rig found lies
within what was allowed above the bound, no column that was left out is in a better one, and
the proof is complete; if not, its own objective says which columns must be looked at. If
there is no rig, more is allowed.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Generic, NamedTuple, TypeVar

from rigopt.optimiser.model.variables import RigVars
from rigopt.optimiser.problem.columns import Columns, HostColumn, SatelliteColumn
from rigopt.optimiser.solver.run import Result, TimeIsUpError

if TYPE_CHECKING:  # a small problem does not wait for the linear solver
    from rigopt.optimiser.solver.relaxation import Relaxation

PosedT = TypeVar("PosedT")


@dataclass(frozen=True, slots=True)
class Outlook:
    """The columns of a rig, a bound on the objective, and how much more than that a rig with
    each column costs at least, where that is known."""

    columns: Columns
    bound: int
    extra: Mapping[HostColumn | SatelliteColumn, int]

    def near(self, upper: int) -> Columns:
        """The columns that a rig may hold whose objective is at most `upper`."""
        return self.columns.only(lambda column: self.may_hold(column, upper))

    def may_hold(self, column: HostColumn | SatelliteColumn, upper: int) -> bool:
        """Whether a rig whose objective is at most `upper` may hold a column."""
        return self.extra.get(column, 0) <= upper - self.bound

    def reaching(self, number: int) -> int:
        """Up to which objective there are no more than so many columns."""
        extra = sorted(self.extra.values())
        return self.bound + (extra[number] - 1 if number < len(extra) else extra[-1])


def outlook(columns: Columns, rig: RigVars, known: Relaxation) -> Outlook:
    """What the relaxation of a model of all `columns` says of them."""
    costs = known.reduced_costs
    extra = {column: costs.get(count.index, 0) for column, count in rig.columns()}
    return Outlook(columns, known.bound, extra)


class Asked(NamedTuple, Generic[PosedT]):
    """A model that can be asked, and the greatest objective for which it has all columns."""

    posed: PosedT
    upper: int


class Widening(NamedTuple, Generic[PosedT]):
    """How a model is made for objectives up to a value, and solved.

    `solve` looks for an objective up to a limit; a solution comes with its objective. No
    objective is below `bound`. Where there is no solution, `factor` times as much is allowed
    above it. `ahead`: more is asked soon, so a little more room is worth while.
    """

    bound: int
    factor: int
    pose: Callable[[int], Asked[PosedT]]
    solve: Callable[[PosedT, int], tuple[Result, int]]
    ahead: bool = False

    def best(self, asked: Asked[PosedT], limit: int) -> tuple[PosedT, Result]:
        """The best solution up to `limit`, looked for in `asked` first; with a bound that
        holds for all columns.

        Raises:
            TimeIsUpError: When there is neither a solution nor time to make another model.
        """
        bound = self.bound
        last: tuple[PosedT, Result] | None = None
        while True:
            posed, upper = asked
            result, objective = self.solve(posed, limit)
            optimal = result.status == "optimal"
            if result.status == "unknown" and last is not None:
                return last
            if optimal and objective > upper:
                last = posed, Result("feasible", bound, result.value)
                upper = limit = objective
                if self.ahead:
                    upper += (objective - self.bound) // 2
            elif result.status == "infeasible" and limit > upper:
                bound = upper + 1
                upper = self.bound + self.factor * max(1, upper - self.bound)
            else:
                # What the solver knows of a part is no bound for the whole.
                known = objective if optimal else min(result.bound, upper + 1)
                return posed, Result(result.status, max(bound, known), result.value)
            try:
                asked = self.pose(upper)
            except TimeIsUpError:
                if last is None:
                    raise
                return last
