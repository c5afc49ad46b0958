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

CLOSE = 1000
"""To look at less than all that is of interest is worth while for a 1000th of it and more."""


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
    """A model that can be asked, the greatest objective for which it has all columns, and a
    bound: no objective is lower, whatever the columns. `steps`: greater ones, ascending, for
    which a model costs little: it is at hand, or not much larger."""

    posed: PosedT
    upper: int
    bound: int
    steps: tuple[int, ...] = ()

    def next(self, upper: int) -> int:
        """Up to where to look next on the way to `upper`."""
        return next((one for one in self.steps if self.upper < one < upper), upper)


class Widening(NamedTuple, Generic[PosedT]):
    """How a model is made for objectives up to a value, and solved.

    `solve` looks for an objective up to a limit, with so much effort at most; a solution comes
    with its objective. Where there is no solution, `further` tells up to where to look next.
    `look`: the effort of a look that need not come to an end, if there are to be any. It is
    for an objective up to `limit` at first; where that does not end, and from the start if
    the looks are to be `fine`, for no more than what a model has all columns for. Most of
    the solver's time goes into rigs that are too dear: without them one that is nearly the
    cheapest comes soon, and cuts off the rest. `before` makes a model ask for what comes
    before a solution alone: that of another model, with its objective.
    """

    further: Callable[[int], int]
    pose: Callable[[int], Asked[PosedT]]
    solve: Callable[[PosedT, int, float | None], tuple[Result, int]]
    look: float | None = None
    fine: bool = False
    before: Callable[[PosedT, PosedT, Result, int], object] | None = None

    def best(
        self, asked: Asked[PosedT], limit: int, last: tuple[PosedT, Result] | None = None
    ) -> tuple[PosedT, Result]:
        """The best solution up to `limit`, looked for in `asked` first; with a bound that
        holds for all columns. `last`: one whose objective is `limit`, if there is one.

        Raises:
            TimeIsUpError: When there is neither a solution nor time to make another model.
        """
        bound, look, fine = asked.bound, self.look, self.fine
        while True:
            posed, upper = asked.posed, asked.upper
            looks = look is not None and _far(upper, limit) and (fine or last is None)
            near = looks and fine
            # With a solution known, a part is asked for what it can prove alone.
            most = upper if near or (last and not fine) else limit
            effort = look if looks else None
            if last and self.before and most == limit:
                self.before(posed, *last, limit)
            result, objective = self.solve(posed, most, effort)
            optimal = result.status == "optimal"
            # What the solver knows of a part is no bound for the whole.
            known = objective if optimal else min(result.bound, upper + 1)
            if looks and result.status == "unknown":
                look, fine = (None, False) if fine else (look, True)
                if last is None:
                    continue
                upper = limit
            elif result.status == "unknown" and last is not None:
                return last
            elif looks and result.status == "feasible":
                bound, limit, fine = max(bound, known), objective, True
                last = posed, Result("feasible", bound, result.value)
                upper = _midst(bound, limit)
            elif optimal and objective > upper:
                last = posed, Result("feasible", bound, result.value)
                limit = objective
                upper = asked.next(objective)
            elif result.status == "infeasible" and limit > upper:
                bound = upper + 1
                midst = _midst(bound, limit) if near else limit
                upper = asked.next(midst if last else self.further(upper))
            elif result.status == "infeasible" and last:
                return last[0], Result("optimal", limit, last[1].value, first=True)
            else:
                return posed, Result(result.status, max(bound, known), result.value)
            try:
                asked = self.pose(upper)
            except TimeIsUpError:
                if last is None:
                    raise
                return last
            bound = max(bound, asked.bound)


def _far(upper: int, limit: int) -> bool:
    """Whether it is worth while to look up to `upper` first on the way to `limit`."""
    return (limit - upper) * CLOSE > upper


def _midst(lower: int, limit: int) -> int:
    """Half way, if that is far from the limit."""
    midst = (lower + limit) // 2
    return midst if _far(midst, limit) else limit
