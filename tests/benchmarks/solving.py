"""Solving with every kind of row, by size, and with one kind alone, by types."""

from __future__ import annotations

import json
import statistics
import subprocess
import sys
from functools import partial
from typing import Any, Final

from rigopt.answers.outcome import Answered
from rigopt.optimiser.questions.plan import solve
from tests.benchmarks.kinds import KINDS, needs_of, shop_of
from tests.benchmarks.processes import ROOT
from tests.benchmarks.rows import LIMIT_S, Row, Rows, timed

SIZES: Final = {8: 1, 16: 1, 32: 1, 64: 2, 128: 4, 256: 8}
"""Inputs and the number of hosts allowed for them."""

ASKED: Final = {(64, 200): (0.5, 2.0), (128, 200): (None, 2.0), (256, 500): (None, 20.0)}
"""What median and worst are asked to be at most."""

FIRST_RIG_S: Final = 1.0
TYPES: Final = (50, 100, 200, 500)


def solving(quick: bool) -> Rows:
    """First rig, proof and memory, by inputs and types; a process for each."""
    for inputs, hosts in SIZES.items():
        for types in (20, 200) if quick else (20, 50, 200, 500):
            asked = (inputs, types) in ASKED
            seeds = range(1 if quick or not asked else 10)
            runs = [_in_a_process(inputs, hosts, types, seed) for seed in seeds]
            size = f"{inputs} inputs, {types} types, {hosts} host{'s' * (hosts > 1)}"
            found = [run for run in runs if run["first"] is not None]
            unproven = sum(not run["proven"] for run in runs)
            note = f"{unproven} of {len(runs)} unproven" if unproven else ""
            if not found:
                yield Row("no rig found", size, max(run["proof"] for run in runs), note=note)
                continue
            median, worst = ASKED.get((inputs, types), (None, None))
            proofs = [run["proof"] for run in runs]
            first = max(run["first"] for run in found)
            most = FIRST_RIG_S if types == 500 and inputs == 256 else None
            yield Row("proof, median", size, statistics.median(proofs), most=median, note=note)
            yield Row("proof, worst", size, max(proofs), most=worst, note=note)
            yield Row("first rig, worst", size, first, most=most)
            yield Row("memory, most", size, max(run["memory"] for run in runs), "MB")


def _in_a_process(inputs: int, hosts: int, types: int, seed: int) -> dict[str, Any]:
    command = [sys.executable, "-m", "tests.benchmarks.one_size"]
    numbers = [str(number) for number in (inputs, hosts, types, seed, LIMIT_S)]
    told = subprocess.run(command + numbers, cwd=ROOT, check=True, capture_output=True)
    found: dict[str, Any] = json.loads(told.stdout)
    return found


def kinds(quick: bool) -> Rows:
    """How the time to the proof grows with the types, for each kind of row alone."""
    for name, kind in KINDS.items():
        medians = {}
        for types in (50, 200) if quick else TYPES:
            times, rigs = [], 0
            for seed in range(1 if quick else 3):
                shop, needs = shop_of(kind, seed, types), needs_of(kind)
                took, answer = timed(partial(solve, shop, needs, LIMIT_S))
                times.append(took)
                rigs += isinstance(answer, Answered) and answer.proven
            medians[types] = statistics.median(times)
            note = "" if rigs == len(times) else f"{rigs} of {len(times)} with a proven rig"
            size = f"{name}, 24 inputs, {types} types"
            yield Row("proof, median", size, medians[types], note=note)
        least, most = min(medians), max(medians)
        size = f"{name}, from {least} to {most} types"
        yield Row("ratio of times", size, medians[most] / medians[least], "", most / least)
