"""A program like `rigopt` whose solver will not end: run with `python slow.py WHEN ARGS`.

WHEN 'found': it has found its best rig, and looks for a better one until it is stopped.
WHEN 'before': it has found nothing, and looks on until it is stopped.
WHEN 'deaf': like 'before', but it does not hear that it should stop.
WHEN 'later': the second question is like 'before'.
WHEN it is not stopped within PATIENCE_S, that is a fault, and it ends with one.
A line 'at work' on standard output says that it has come so far.
"""

from __future__ import annotations

import signal
import sys
import threading
from typing import Any

from ortools.sat.python import cp_model

from rigopt.cli.main import main
from rigopt.optimiser.solver import run
from rigopt.optimiser.solver.watch import Watch

WHEN = sys.argv[1]
PATIENCE_S = 60
STOPPED = threading.Event()
SOLVE, STOP = cp_model.CpSolver.solve, cp_model.CpSolver.stop_search
ATTENDED = run.solve_attended
ABOUT: list[str] = []
"""What each search was about; '' where nobody watches it, as when a rig is looked at again."""


def attended(solver: Any, model: Any, watch: Watch, money: Any = None) -> Any:
    """Solve, and note what it is about."""
    ABOUT.append(watch.about)
    return ATTENDED(solver, model, watch, money)


def hangs() -> bool:
    """Whether the search that begins is the one that will not end."""
    return WHEN != "later" or (ABOUT[-1] != "" and len({*ABOUT, ""}) > 2)


def solve(self: Any, model: Any, callback: Any = None) -> Any:
    """The first call takes its time; what it found is kept, and not proven."""
    if callback is None or STOPPED.is_set() or not hangs():
        return SOLVE(self, model, callback)
    assert len(model.proto.objective.vars) > 0
    status = SOLVE(self, model, callback) if WHEN == "found" else cp_model.UNKNOWN
    print("at work", flush=True)
    assert STOPPED.wait(PATIENCE_S), "nobody stopped it"
    return cp_model.FEASIBLE if status == cp_model.OPTIMAL else status


def stop_search(self: Any) -> None:
    """Hear that it should stop."""
    if WHEN != "deaf":
        STOPPED.set()
    STOP(self)


# As in a terminal, though a shell makes what it starts in the background ignore Ctrl-C.
signal.signal(signal.SIGINT, signal.default_int_handler)
run.solve_attended = attended
cp_model.CpSolver.solve = solve  # type: ignore[assignment,method-assign]
cp_model.CpSolver.stop_search = stop_search  # type: ignore[method-assign]
main(sys.argv[2:])
