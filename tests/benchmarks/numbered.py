"""The evidence's numbered model under HiGHS, in a process that can be given up.

    python -m tests.benchmarks.numbered TYPES SEED NEEDS

NEEDS is JSON. Prints a line when the model is built, and then the seconds that HiGHS took
to prove the least money, or that there is no rig.
"""

from __future__ import annotations

import json
import sys
import time

from rigopt.needs.types import Needs
from tests.benchmarks.instances import catalogue
from tests.oracle import mip


def main(types: int, seed: int, needs: str) -> None:
    """Measure and print."""
    model = mip.Model(catalogue(seed, types), Needs(**json.loads(needs)))
    print("built", flush=True)
    begun = time.perf_counter()
    model.least()
    print(time.perf_counter() - begun)


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]), sys.argv[3])
