"""The evidence's numbered model under HiGHS, in a process that can be given up.

    python -m tests.benchmarks.numbered INPUTS TYPES SEED

Prints the seconds that it took to prove the cheapest rig, or that there is none.
"""

from __future__ import annotations

import sys
import time

from rigopt.needs.types import Needs
from tests.benchmarks.instances import catalogue
from tests.oracle import mip


def main(inputs: int, types: int, seed: int) -> None:
    """Measure and print."""
    begun = time.perf_counter()
    mip.milp_key(catalogue(seed, types), Needs(mic=inputs))
    print(time.perf_counter() - begun)


if __name__ == "__main__":
    main(*map(int, sys.argv[1:4]))
