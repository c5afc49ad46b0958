"""One size measured in a process of its own, so that its memory is its own.

    python -m tests.benchmarks.one_size INPUTS HOSTS TYPES SEED LIMIT_S

Prints JSON: seconds to the first rig and to the end, whether it was proven, columns,
variables of the whole model, and the most memory in MB that the process took.
"""

from __future__ import annotations

import json
import sys
import time
from pathlib import Path

from ortools.sat.python import cp_model

from rigopt.needs.types import Needs
from rigopt.optimiser.model.model import build, columns
from rigopt.optimiser.problem.problem import state
from rigopt.optimiser.search.pooled import Best, Search
from rigopt.optimiser.solver.run import Deadline
from rigopt.optimiser.solver.watch import Watch
from tests.benchmarks.instances import catalogue


class _Clock(Watch):
    """Notes when the first rig was found."""

    def __init__(self) -> None:
        super().__init__()
        self.begun = time.perf_counter()
        self.first: float | None = None

    def found(self, money: int) -> None:
        """A rig was found that costs this."""
        super().found(money)
        if self.first is None:
            self.first = time.perf_counter() - self.begun


def _most_memory() -> float:
    """Of this process alone; getrusage(2) would count what its parent had before the exec."""
    status = Path("/proc/self/status").read_text(encoding="ascii")
    line = next(line for line in status.splitlines() if line.startswith("VmHWM:"))
    return int(line.split()[1]) / 1024


def main(inputs: int, hosts: int, types: int, seed: int, limit_s: float) -> None:
    """Measure and print."""
    shop, needs = catalogue(seed, types), Needs(mic=inputs, max_hosts=hosts)
    clock = _Clock()
    problem = state(shop, needs)
    best = Search(problem).best(Deadline(limit_s, clock))
    proof = time.perf_counter() - clock.begun
    memory = _most_memory()
    model, counted = cp_model.CpModel(), columns(problem)
    build(model, problem, counted)
    found = {
        "first": clock.first,
        "proof": proof,
        "proven": isinstance(best, Best) and best.proven,
        "columns": len(counted),
        "variables": len(model.proto.variables),
        "memory": memory,
    }
    print(json.dumps(found))


if __name__ == "__main__":
    inputs, hosts, types, seed = map(int, sys.argv[1:5])
    main(inputs, hosts, types, seed, float(sys.argv[5]))
