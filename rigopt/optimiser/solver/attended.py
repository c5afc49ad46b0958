"""The solver at work in a thread of its own, so that this one hears Ctrl-C meanwhile.

A solver that handles the signal itself would end the program after its answer; one in the
main thread would keep Python from seeing it.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from concurrent.futures import Future
from typing import TypeVar

from ortools.sat.python import cp_model

from rigopt.optimiser.solver.linear import Terms, amount
from rigopt.optimiser.solver.watch import Watch

T = TypeVar("T")

HEARING_S = 0.1
"""Seconds between two looks at whether to stop."""


class _Told(cp_model.CpSolverSolutionCallback):
    """Tells the watch what each rig that is found costs."""

    def __init__(self, watch: Watch, money: Terms) -> None:
        super().__init__()
        self._watch, self._money = watch, money

    def on_solution_callback(self) -> None:
        """Called by the solver, in its thread."""
        self._watch.found(amount(self._money, self.value))


def solve_attended(
    solver: cp_model.CpSolver, model: cp_model.CpModel, watch: Watch, money: Terms | None = None
) -> cp_model.CpSolverStatus:
    """Solve `model`; the search ends early if the watch is asked to stop.

    `money`: what a solution costs, if its solutions are rigs worth keeping.
    """
    solver.parameters.catch_sigint_signal = False
    told = None if money is None else _Told(watch, money)
    return attend(lambda: solver.solve(model, told), solver.stop_search, watch)


def attend(work: Callable[[], T], stop: Callable[[], object], watch: Watch) -> T:
    """What `work` gives, in a thread of its own; `stop` is called once the watch says so."""
    future: Future[T] = Future()
    thread = threading.Thread(target=_work, args=(future, work), daemon=True)
    try:
        watch.busy = True
        thread.start()
        while True:
            try:
                return future.result(HEARING_S)
            except TimeoutError:
                if watch.stopped:
                    stop()
    finally:
        # A thread that was interrupted on its way finds nothing to do any more.
        if not future.cancel():
            while not future.done():
                stop()
                thread.join(HEARING_S)
        watch.busy = False


def _work(future: Future[T], work: Callable[[], T]) -> None:
    if not future.set_running_or_notify_cancel():
        return
    try:
        future.set_result(work())
    except BaseException as error:
        future.set_exception(error)
