"""One call of the solver, with the settings that every call uses.

One worker is the only setting that repeats byte for byte, and the fastest at these sizes.
No gap is set, so OPTIMAL means optimal. Values are read as integers, one by one; the
solver's own objective passes through a float and is not used for money.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from ortools.sat.python import cp_model, cp_model_helper

from rigopt.optimiser.solver.attended import solve_attended
from rigopt.optimiser.solver.linear import Terms, TooLargeError, Var
from rigopt.optimiser.solver.watch import Watch

SEED = 1
LINEAR = 2
SMALL = 400
"""Up to so many variables, simplifying a model takes longer than solving it as it is."""

MOMENT_S = 0.001
RESERVE_S, RESERVED_SHARE = 1.0, 10
"""A tenth of the time is left for that, and no more than a second."""

LATE_S, LATE_SHARE, STOPPED_S = 0.3, 10, 1.0
"""So much, or a tenth, beyond the deadline a rig is still made of what was found; after a stop,
a second."""

GRACE_S = 3.0
"""Time for what an answer that is there would be lost without, whatever the deadline."""


class TimeIsUpError(Exception):
    """Raised by `Deadline.check`; it is caught where the search began, in `search`."""


class Deadline:
    """A point in time that several solver calls share, or the moment the user says stop."""

    def __init__(self, seconds: float | None, watch: Watch | None = None) -> None:
        self.seconds = seconds
        self.watch = watch or Watch()
        self._end = None if seconds is None else time.monotonic() + seconds

    @property
    def left(self) -> float | None:
        """Seconds left, at least a moment; None without a limit."""
        if self.watch.stopped:
            return MOMENT_S
        return None if self._end is None else max(MOMENT_S, self._end - time.monotonic())

    @property
    def over(self) -> bool:
        """Whether the time is up, or the user said stop."""
        return self.left == MOMENT_S

    def check(self) -> None:
        """To be called now and then by what takes long without a solver.

        Raises:
            TimeIsUpError: When it is over.
        """
        if self.over:
            raise TimeIsUpError

    def early(self) -> Deadline:
        """A little sooner, so that there is time to make a rig of what is found by then."""
        if self._end is None or self.seconds is None:
            return self
        reserve = min(RESERVE_S, self.seconds / RESERVED_SHARE)
        return Deadline(max(MOMENT_S, self._end - reserve - time.monotonic()), self.watch)

    def late(self) -> Deadline:
        """A little later, all in all, so that what was found by then is not lost."""
        now = time.monotonic()
        if self.watch.stopped:
            if self.watch.late is None:
                self.watch.late = now + STOPPED_S
            return Deadline(max(0.0, self.watch.late - now))
        if self._end is None or self.seconds is None:
            return self
        end = self._end + max(LATE_S, self.seconds / LATE_SHARE)
        return Deadline(max(0.0, end - now), self.watch)

    def share(self, parts: int) -> Deadline:
        """The deadline of the next one of `parts` questions that share what is left."""
        left = None if self._end is None else self._end - time.monotonic()
        return Deadline(None if left is None else max(MOMENT_S, left / parts), self.watch)


NO_END = Deadline(None)


@dataclass(frozen=True, slots=True)
class Result:
    """How a call ended; `value` may be called if it found anything.

    `first`: of all that are as good, it comes first in the order that settles ties.
    """

    status: Literal["optimal", "feasible", "infeasible", "unknown"]
    bound: int
    value: Callable[[Var], int]
    first: bool = False

    @property
    def found(self) -> bool:
        """Whether there is a solution."""
        return self.status in ("optimal", "feasible")


def run(
    model: cp_model.CpModel,
    deadline: Deadline,
    money: Terms | None = None,
    effort: float | None = None,
) -> Result:
    """Solve `model` until the deadline; `money` is what a solution costs, if that is news.

    `effort`: the most work to be done, in units of the solver that are about a second and
    do not depend on the machine.

    Raises:
        TooLargeError: When sums grow beyond 64 bits while the solver simplifies the model.
        RuntimeError: When the model is not well formed, which is a fault of this program.
    """
    left = deadline.left
    if left == MOMENT_S:
        return Result("unknown", 0, lambda _: 0)
    solver = cp_model.CpSolver()
    # The reasons, with numbers, are in DEVELOPERS.md under 'Parameters'.
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = SEED
    solver.parameters.linearization_level = LINEAR
    solver.parameters.cp_model_presolve = len(model.proto.variables) > SMALL
    solver.parameters.max_presolve_iterations = 1
    # Not for speed: with it the solver calls some rigs optimal that are not.
    solver.parameters.presolve_inclusion_work_limit = 0
    solver.parameters.cp_model_probing_level = 0
    solver.parameters.symmetry_level = 0
    solver.parameters.cut_level = 0
    solver.parameters.new_constraints_batch_size = 200
    solver.parameters.inprocessing_dtime_ratio = 0.0
    solver.parameters.inprocessing_probing_dtime = 0.0
    solver.parameters.preferred_variable_order = cp_model_helper.SatParameters.IN_REVERSE_ORDER
    if effort is not None:
        solver.parameters.max_deterministic_time = effort
    if left is not None:
        solver.parameters.max_time_in_seconds = left
    status = solve_attended(solver, model, deadline.watch, money)
    if status == cp_model.MODEL_INVALID:
        if fault := model.validate():
            raise RuntimeError(fault)
        raise TooLargeError
    names: dict[cp_model.CpSolverStatus, Literal["optimal", "feasible", "infeasible"]] = {
        cp_model.OPTIMAL: "optimal",
        cp_model.FEASIBLE: "feasible",
        cp_model.INFEASIBLE: "infeasible",
    }
    bound = 0
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        bound = solver.response_proto.inner_objective_lower_bound
    return Result(names.get(status, "unknown"), bound, solver.value)


def run_even_late(model: cp_model.CpModel, deadline: Deadline) -> Result:
    """The same, and past the deadline for a moment more: to be asked for what an answer that
    is there would be lost without."""
    result = run(model, deadline)
    return run(model, Deadline(GRACE_S)) if result.status == "unknown" else result


def run_late(model: cp_model.CpModel, deadline: Deadline, money: Terms) -> Result:
    """The same for rigs that cost `money`, only a little later than the deadline; and for a
    second after a stop."""
    result = run(model, deadline.late(), money)
    stopped = result.status == "unknown" and deadline.watch.stopped
    return run(model, deadline.late(), money) if stopped else result
