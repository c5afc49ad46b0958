"""One size, with every kind of row, in a process of its own, so that its memory is its own.

    python -m tests.benchmarks.one_size INPUTS HOSTS TYPES SEED LIMIT_S

Prints JSON: seconds of processor time to the first rig and to the end, whether it was proven,
and the most memory in MB that the process took.
"""

from __future__ import annotations

import json
import sys
import time
from pathlib import Path

from rigopt.answers.outcome import Answered, Impossible
from rigopt.needs.types import Needs
from rigopt.optimiser.questions.plan import solve
from rigopt.optimiser.solver.watch import Watch
from tests.benchmarks.rich import rich_catalogue


class _Clock(Watch):
    """Notes when the first rig was found."""

    def __init__(self) -> None:
        super().__init__()
        self.begun = time.process_time()
        self.first: float | None = None

    def found(self, money: int) -> None:
        """A rig was found that costs this."""
        super().found(money)
        if self.first is None:
            self.first = time.process_time() - self.begun


def _most_memory() -> float:
    """Of this process alone; getrusage(2) would count what its parent had before the exec."""
    status = Path("/proc/self/status").read_text(encoding="ascii")
    line = next(line for line in status.splitlines() if line.startswith("VmHWM:"))
    return int(line.split()[1]) / 1024


def main(inputs: int, hosts: int, types: int, seed: int, limit_s: float) -> None:
    """Measure and print."""
    needs = Needs(
        mic=inputs,
        phantom=inputs // 4,
        no_phantom=2,
        out_line=4,
        out_phones=2,
        max_hosts=hosts,
        own_clocks=bool(seed % 2),
    )
    shop = rich_catalogue(seed, types)
    clock = _Clock()
    answer = solve(shop, needs, limit_s, clock)
    proof = time.process_time() - clock.begun
    memory = _most_memory()
    found = {
        "first": clock.first,
        "proof": proof,
        "proven": answer.proven
        if isinstance(answer, Answered)
        else isinstance(answer, Impossible),
        "memory": memory,
    }
    print(json.dumps(found))


if __name__ == "__main__":
    inputs, hosts, types, seed = map(int, sys.argv[1:5])
    main(inputs, hosts, types, seed, float(sys.argv[5]))
