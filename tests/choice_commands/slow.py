"""A program like `rigopt` whose solver will not end: run with `python slow.py WHEN ARGS`.

WHEN 'found': it has found its best rig, and looks for a better one until it is stopped.
WHEN 'before': it has found nothing, and looks on until it is stopped.
WHEN 'deaf': like 'before', but it does not hear that it should stop.
WHEN 'later': the second question is like 'before'.
A line 'at work' on standard output says that it has come so far.
"""

from __future__ import annotations

import sys
import threading
from typing import Any

from ortools.sat.python import cp_model

from rigopt.cli.main import main

WHEN = sys.argv[1]
STOPPED = threading.Event()
SOLVE, STOP = cp_model.CpSolver.solve, cp_model.CpSolver.stop_search
ASKED: list[int] = []


def solve(self: Any, model: Any, callback: Any = None) -> Any:
    """The first call takes its time; what it found is kept, and not proven."""
    known = len(model.proto.objective.vars) > 0
    if callback is None or STOPPED.is_set():
        return SOLVE(self, model, callback)
    ASKED.append(1)
    if WHEN == "later" and len(ASKED) < 3:
        return SOLVE(self, model, callback)
    status = SOLVE(self, model, callback) if WHEN == "found" else cp_model.UNKNOWN
    assert known
    print("at work", flush=True)
    STOPPED.wait(60)
    return cp_model.FEASIBLE if status == cp_model.OPTIMAL else status


def stop_search(self: Any) -> None:
    """Hear that it should stop."""
    if WHEN != "deaf":
        STOPPED.set()
    STOP(self)


cp_model.CpSolver.solve = solve  # type: ignore[method-assign]
cp_model.CpSolver.stop_search = stop_search  # type: ignore[method-assign]
main(sys.argv[2:])
