"""A model of some columns, ready to be solved, and more than once.

It can be asked with other cuts, limits, spans of the objective and prices. Its relaxation tells
what no rig up to an objective holds.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from copy import copy
from typing import TYPE_CHECKING

from ortools.sat.python import cp_model

from rigopt.optimiser.model.model import Objective, build, objective_of
from rigopt.optimiser.model.variables import RigVars
from rigopt.optimiser.problem.columns import Columns
from rigopt.optimiser.problem.problem import Problem
from rigopt.optimiser.solver.linear import LARGEST, TooLargeError, reach, rise, total
from rigopt.optimiser.solver.run import NO_END, Deadline

if TYPE_CHECKING:
    from rigopt.optimiser.solver.relaxation import Linear, Relaxation

Cut = Callable[[cp_model.CpModel, RigVars], object]

Limits = Mapping[str, tuple[int, int]]
"""Lower and upper bound on the units of some types."""


class Posed:
    """A model of some columns, ready to be solved, and more than once.

    A cut stays once it is added. Limits and the span of the objective are set anew each time;
    prices, when they change.
    """

    def __init__(
        self,
        problem: Problem,
        counted: Columns,
        cuts: Sequence[Cut],
        deadline: Deadline = NO_END,
        *,
        clocked: bool = True,
    ) -> None:
        self.problem = problem
        self.model = cp_model.CpModel()
        self.rig = build(self.model, problem, counted, clocked=clocked, beat=deadline.check)
        self.objective = self._first = objective_of(self.rig)
        self.model.minimize(total(self.objective.terms))
        self.known: Relaxation | None = None
        """Its relaxation, if that was asked for."""
        self._linear: Linear | None = None
        self._before: tuple[dict[int, int], int] | None = None
        """Factors of the objective by variable and its reach, before prices changed."""
        self._cuts: list[Cut] = []
        self._limits: dict[str, cp_model.Constraint] = {}
        self._span: cp_model.Constraint | None = None
        self._cut(cuts)

    @property
    def bound(self) -> int:
        """No objective is lower, as far as is known."""
        return 0 if self.known is None else self.known.bound

    def relax(self, deadline: Deadline, *, again: bool = False) -> Relaxation:
        """Its relaxation; `again`: that is to be `relaxed` at other prices and within limits.

        Raises:
            TimeIsUpError: When the deadline comes first.
        """
        # Here and not above, so that a small problem does not wait for the linear solver.
        from rigopt.optimiser.solver.relaxation import Linear  # noqa: PLC0415

        linear = Linear(self.model, self.objective.money, deadline)
        self.known = linear.relaxation(deadline)
        self._linear = linear if again else None
        return self.known

    def relaxed(self, limits: Limits, deadline: Deadline) -> Relaxation:
        """Its relaxation at the prices that it has now, within limits; without cuts that came
        after `relax`.

        Raises:
            TimeIsUpError: When the deadline comes first.
        """
        assert self._linear is not None
        self._linear.price(self.model.proto.objective)
        for item, span in self._spans(self._linear.limited, limits):
            units = [count.index for count, _ in self.rig.units_by_type.get(item, [])]
            self._linear.limit(item, units, *span)
        return self._linear.relaxation(deadline)

    def hold(self, upper: int) -> bool:
        """Leave out what no rig up to an objective holds; whether that is anything."""
        return self.known is not None and self.known.hold(self.model, upper)

    def outlook(self, problem: Problem, item: str, deadline: Deadline) -> tuple[int, float]:
        """At the prices of `problem`: a bound on the objective of rigs with a unit of `item`,
        and how many of it a relaxation buys.

        Raises:
            TimeIsUpError: When the deadline comes first.
        """
        assert self._linear is not None
        self.priced(problem)
        known = self.relaxed({item: (1, problem.max_units)}, deadline)
        if not known.reduced_costs:
            return 0, 0.0
        bought = self._linear.value
        return known.bound, sum(
            each * bought(var.index) for terms in self.rig.packs[item] for var, each in terms
        )

    def most(self, upper: int) -> dict[str, int]:
        """How many units of each type there can be up to an objective, as its variables and
        prices are now."""
        problem, money = self.rig.problem, upper // self.objective.money
        found = {}
        for item, units in self.rig.units_by_type.items():
            number = min(reach(units), problem.max_units)
            price = problem.price(item)
            if problem.pricing is None and price:
                # It is rounded: up by half a unit at most.
                number = min(number, problem.owned(item) + 2 * money // (2 * price - 1))
            if number:
                found[item] = number
        return found

    def priced(self, problem: Problem) -> None:
        """Take the prices of `problem`, which differs from its own in these alone.

        Raises:
            TooLargeError: When the sums could exceed what is exact.
        """
        terms, money = self._first
        goal = self.model.proto.objective
        if self._before is None:
            before = dict(zip(list(goal.vars), list(goal.coeffs), strict=True))
            self._before = before, reach(terms)
        factors, most = dict(self._before[0]), self._before[1]
        more = [(var, each * money) for var, each in self.rig.dearer(self.problem, problem)]
        if most + rise(more) > LARGEST:
            raise TooLargeError
        self.rig.problem = problem
        self.objective = Objective([*terms, *more], money)
        rows = [goal]
        if self._span is not None:
            rows.append(self._span.proto.linear)
        for var, each in more:
            factors[var.index] = factors.get(var.index, 0) + each
        for row in rows:
            for part, anew in ((row.vars, factors), (row.coeffs, factors.values())):
                part.clear()
                part.extend(list(anew))

    def at(
        self,
        problem: Problem,
        cuts: Sequence[Cut],
        limits: Limits,
        span: tuple[int, int],
        deadline: Deadline,
    ) -> Posed:
        """A copy at the prices of `problem`, asked within limits for an objective of `span`.

        Raises:
            TooLargeError: When the sums could exceed what is exact.
            TimeIsUpError: When the deadline comes first.
        """
        self.priced(problem)
        self.ask((), limits, *span)
        posed = self.beside(cuts)
        if span[1] < LARGEST:
            posed.known = self.relaxed(limits, deadline)
            posed.hold(span[1])
        return posed

    def beside(self, cuts: Sequence[Cut]) -> Posed:
        """A copy to be solved with these cuts, and with what else is then asked of it."""
        other = copy(self)
        other.model, other._limits = self.model.clone(), {}
        other._cut(cuts)
        return other

    def serves(self, cuts: Sequence[Cut]) -> bool:
        """Whether no cut was added that is not among these."""
        return list(cuts[: len(self._cuts)]) == self._cuts

    def ask(self, cuts: Sequence[Cut], limits: Limits, lower: int, upper: int) -> None:
        """Ask for an objective from `lower` to `upper`, with these cuts and limits."""
        self._cut(cuts[len(self._cuts) :])
        for item, span in self._spans(self._limits, limits):
            if item not in self._limits:
                self._limits[item] = within(self.model, self.rig, item, *span)
            _move(self._limits[item], *span)
        if self._span is None:
            objective = total(self.objective.terms)
            self._span = self.model.add_linear_constraint(objective, lower, upper)
        else:
            _move(self._span, lower, upper)

    def _spans(
        self, limited: Iterable[str], limits: Limits
    ) -> Iterator[tuple[str, tuple[int, int]]]:
        """The limits, and as much as there can be of the types that were `limited` before."""
        free = (0, self.rig.problem.max_units)
        for item in sorted({*limited, *limits}):
            yield item, limits.get(item, free)

    def _cut(self, cuts: Sequence[Cut]) -> None:
        for cut in cuts:
            cut(self.model, self.rig)
        self._cuts = [*self._cuts, *cuts]


def _move(row: cp_model.Constraint, lower: int, upper: int) -> None:
    domain = row.proto.linear.domain
    domain.clear()
    domain.extend(cp_model.Domain(lower, upper).flattened_intervals())


def within(
    model: cp_model.CpModel, rig: RigVars, item: str, lower: int, upper: int
) -> cp_model.Constraint:
    """Ask for `lower` to `upper` units of a type."""
    units = total(rig.units_by_type.get(item, []))
    return model.add_linear_constraint(units, lower, upper)
