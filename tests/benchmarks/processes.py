"""Whole processes, from pressing return to the finished text, by the version before as well."""

from __future__ import annotations

import os
import resource
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Mapping, Sequence
from itertools import pairwise
from pathlib import Path
from typing import Final

from tests.benchmarks.folders import write_folder
from tests.benchmarks.instances import catalogue
from tests.benchmarks.rows import Row, Rows

ROOT: Final = Path(__file__).resolve().parents[2]
FLOOR: Final = "import the solver"
DEMO: Final = "plan of the demo, 24 microphones"

PLAIN: Final[dict[str, Sequence[str]]] = {
    FLOOR: ["-c", "from ortools.sat.python import cp_model"],
    "import click": ["-c", "import click"],
    "--help": ["-m", "rigopt", "--help"],
    DEMO: ["-m", "rigopt", "plan", "--mic", "24", "--rate", "48"],
}
BOTH: Final[dict[str, tuple[int, Sequence[str]]]] = {
    "plan, 24 inputs, 40 types": (40, ["plan", "--mic", "24"]),
    "plan, 32 inputs, 40 types": (40, ["plan", "--mic", "32"]),
    "plan, 64 inputs, 200 types, 2 hosts": (200, ["plan", "--mic", "64", "HOSTS-2"]),
    "plan, 128 inputs, 200 types, 4 hosts": (200, ["plan", "--mic", "128", "HOSTS-4"]),
    "plan, 256 inputs, 500 types, 8 hosts": (500, ["plan", "--mic", "256", "HOSTS-8"]),
    "why, 24 inputs, 40 types": (40, ["plan", "--mic", "24", "--why"]),
    "why, 24 inputs, 40 types, 2 hosts": (
        40,
        ["plan", "--mic", "24", "HOSTS-2", "--why"],
    ),
    "20 alternatives, 32 inputs, 40 types": (
        40,
        ["plan", "--mic", "32", "--alternatives", "20"],
    ),
    "curve, 8 to 32 inputs, 40 types": (40, ["curve", "--from", "8", "--to", "32"]),
    "growth, 8, 24 and 32 inputs, 40 types": (40, ["grow", "STAGES"]),
    "no rig, 200 inputs at 192 kHz, 40 types": (40, ["plan", "--mic", "200", "--rate", "192"]),
}
"""Types of a random catalogue, and a command that both versions know."""

STAGES: Final = (8, 24, 32)


def processes(before: Path | None, quick: bool) -> Rows:
    """Medians of interleaved runs: seconds of processor time, and ratios."""
    with tempfile.TemporaryDirectory() as folder:
        shops = {
            types: str(write_folder(catalogue(1, types), Path(folder) / str(types)))
            for types in {types for types, _ in BOTH.values()}
        }
        commands = {name: list(args) for name, args in PLAIN.items()}
        for name, (types, args) in BOTH.items():
            given = [_in_a_file(arg, Path(folder)) for arg in args]
            commands[name] = ["-m", "rigopt", *given, "--catalog", shops[types]]
        plain = {name: commands.pop(name) for name in PLAIN}
        places = {"now": ROOT, **({"before": before} if before else {})}
        found = _medians(plain, places, 1 if quick else 15, folder, warm=not quick)
        found |= _medians(commands, places, 1 if quick else 2, folder)
    for name in BOTH | PLAIN:
        once = found.get((name, "before"))
        yield Row("whole process", name, found[name, "now"], before=once)
    for name, other, most in (
        (DEMO, FLOOR, 1.25),
        ("--help", "import click", None),
        ("why, 24 inputs, 40 types", "plan, 24 inputs, 40 types", 4),
        ("why, 24 inputs, 40 types, 2 hosts", "plan, 24 inputs, 40 types", 6),
        ("curve, 8 to 32 inputs, 40 types", "plan, 32 inputs, 40 types", 4),
        ("growth, 8, 24 and 32 inputs, 40 types", "plan, 32 inputs, 40 types", 4),
    ):
        then = None
        if before:
            then = found[name, "before"] / found[other, "before"]
        ratio = found[name, "now"] / found[other, "now"]
        yield Row("ratio of processes", f"{name} / {other}", ratio, "", most, then)


def _in_a_file(arg: str, folder: Path) -> str:
    """HOSTS-2 as a needs file that allows two, and STAGES as one with three stages."""
    if arg == "STAGES":
        text = "".join(f'[[stage]]\ntitle = "{n}"\ninputs.mic = {n}\n' for n in STAGES)
    elif arg.startswith("HOSTS-"):
        text = f"[computer]\nmax_hosts = {arg.removeprefix('HOSTS-')}\n"
    else:
        return arg
    path = folder / f"{arg}.toml"
    path.write_text(text, encoding="utf-8")
    return str(path)


def _medians(
    commands: Mapping[str, Sequence[str]],
    places: Mapping[str, Path],
    turns: int,
    folder: str,
    *,
    warm: bool = False,
) -> dict[tuple[str, str], float]:
    """Seconds of each command in each place; to `warm` is to run all once more, uncounted."""
    seconds: dict[tuple[str, str], list[float]] = {}
    for turn in range(-warm, turns):
        for name, args in commands.items():
            for place, root in places.items():
                busy = _processor(args, root, Path(folder) / f"caches of {place}")
                if turn >= 0:
                    seconds.setdefault((name, place), []).append(busy)
    return {key: statistics.median(each) for key, each in seconds.items()}


def _processor(args: Sequence[str], root: Path, caches: Path) -> float:
    # As after an installation: compiled files are kept, whatever is set here.
    env = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    env |= {"PYTHONPYCACHEPREFIX": str(caches), "PYTHONPATH": str(root)}
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    done = subprocess.run(
        [sys.executable, *args], cwd=root, env=env, check=False, capture_output=True, text=True
    )
    if done.returncode not in (0, 3):
        raise RuntimeError(f"{root}: {args} ended in {done.returncode}: {done.stderr}")
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


AGAIN: Final = """
import time
import rigopt
shop = rigopt.demo_catalogue()
ends = []
for _ in range(10):
    rigopt.plan(rigopt.Needs(mic=24, rate_khz=48), shop)
    ends.append(time.process_time())
print(*ends)
"""


def again(quick: bool) -> Rows:
    """The same question ten times in one process, against the first, from its start."""
    ratios, firsts = [], []
    for _ in range(1 if quick else 5):
        done = subprocess.run(
            [sys.executable, "-c", AGAIN], cwd=ROOT, check=True, capture_output=True, text=True
        )
        ends = [float(text) for text in done.stdout.split()]
        later = [latter - former for former, latter in pairwise(ends)]
        firsts.append(ends[0])
        ratios.append(statistics.median(later) / ends[0])
    size = "the demo from Python, 10 times"
    yield Row("first answer", size, statistics.median(firsts))
    yield Row("ratio of a later one to the first", size, statistics.median(ratios), "", 1 / 3)
