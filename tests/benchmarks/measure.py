"""Measure the tool and print ratios; nothing here is a test, no time is asserted.

    python -m tests.benchmarks.measure [--quick] [--out FOLDER]

Everything is timed in one run, repeats are interleaved, and medians are compared, so that
what else the machine does falls on both sides of a ratio. With --out, the results are
written there as a CSV and a Markdown table, named by the day.
"""

from __future__ import annotations

import argparse
import csv
import datetime
import importlib.metadata
import json
import os
import platform
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any, TypeVar

from rigopt.answers.outcome import Answered, Outcome
from rigopt.catalogue import shipped
from rigopt.catalogue.read import read_folder
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs, Stage
from rigopt.optimiser.questions.alternatives import alternatives
from rigopt.optimiser.questions.curve import curve
from rigopt.optimiser.questions.growth.grow import grow
from rigopt.optimiser.questions.plan import solve
from rigopt.optimiser.solver.run import Deadline
from tests.benchmarks.instances import catalogue
from tests.benchmarks.rich import rich_catalogue
from tests.benchmarks.whole_model import by_highs
from tests.oracle import brute, instances, mip

T = TypeVar("T")

ROOT = Path(__file__).resolve().parents[2]
LIMIT_S = 60.0


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the results: what was measured, on what, and the number."""

    what: str
    size: str
    value: str
    unit: str
    note: str = ""


def main() -> None:
    """Measure, print, and write."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true", help="few repeats, small sizes")
    parser.add_argument("--out", type=Path, help="folder for the CSV and the Markdown table")
    parser.add_argument("--only", help="sections, separated by commas")
    given = parser.parse_args()
    sections: dict[str, Callable[[bool], Iterator[Row]]] = {
        "process": process,
        "solving": solving,
        "rich": rich,
        "growth": growth_table,
        "small": small,
        "series": series,
        "stages": stages,
    }
    names = given.only.split(",") if given.only else list(sections)
    rows = list(about())
    for row in rows:
        show(row)
    for name in names:
        for row in sections[name](given.quick):
            rows.append(row)
            show(row)
    if given.out:
        write(rows, given.out)


def about() -> Iterator[Row]:
    """The machine and the versions."""
    yield Row("machine", "", f"{platform.machine()}, {os.cpu_count()} cores", "")
    yield Row("load average at the start", "", f"{os.getloadavg()[0]:.1f}", "")
    for name in ("ortools", "scipy", "pandas", "pydantic", "click"):
        yield Row("version", name, importlib.metadata.version(name), "")
    yield Row("version", "python", platform.python_version(), "")


def process(quick: bool) -> Iterator[Row]:
    """Whole processes: from pressing return to the finished text."""
    python = sys.executable
    commands = {
        "import the solver": [python, "-c", "from ortools.sat.python import cp_model"],
        "rigopt plan --mic 24 --rate 48": [
            python,
            "-m",
            "rigopt",
            "plan",
            "--mic",
            "24",
            "--rate",
            "48",
        ],
        "import click": [python, "-c", "import click"],
        "rigopt --help": [python, "-m", "rigopt", "--help"],
        "rigopt plan --mic 32": [python, "-m", "rigopt", "plan", "--mic", "32"],
        "rigopt plan --mic 32 --alternatives 20": [
            python,
            "-m",
            "rigopt",
            "plan",
            "--mic",
            "32",
            "--alternatives",
            "20",
        ],
        "rigopt curve --from 4 --to 32 --step 4": [
            python,
            "-m",
            "rigopt",
            "curve",
            "--from",
            "4",
            "--to",
            "32",
            "--step",
            "4",
        ],
    }
    wall: dict[str, list[float]] = {name: [] for name in commands}
    work: dict[str, list[float]] = {name: [] for name in commands}
    with tempfile.TemporaryDirectory() as caches:
        for turn in range(4 if quick else 16):
            for name, command in commands.items():
                seconds, busy = _process(command, caches)
                if turn:  # the first turn warms the caches
                    wall[name].append(seconds)
                    work[name].append(busy)
    for name in commands:
        yield Row("process", name, f"{statistics.median(wall[name]):.3f}", "s")
    for one, other in (
        ("rigopt plan --mic 24 --rate 48", "import the solver"),
        ("rigopt --help", "import click"),
        ("rigopt plan --mic 32 --alternatives 20", "rigopt plan --mic 32"),
        ("rigopt curve --from 4 --to 32 --step 4", "rigopt plan --mic 32"),
    ):
        for what, times in (("wall", wall), ("processor", work)):
            ratio = statistics.median(times[one]) / statistics.median(times[other])
            yield Row(f"ratio, {what} time", f"{one} / {other}", f"{ratio:.2f}", "")


def _process(command: list[str], caches: str) -> tuple[float, float]:
    # As after an installation: compiled files are kept, whatever is set here.
    env = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    env["PYTHONPYCACHEPREFIX"] = caches
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    begun = time.perf_counter()
    subprocess.run(command, cwd=ROOT, env=env, check=True, capture_output=True)
    seconds = time.perf_counter() - begun
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    busy = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return seconds, busy


FULL: dict[str, Any] = {
    "phantom": 16,
    "no_phantom": 4,
    "out_line": 8,
    "out_phones": 2,
    "max_hosts": 2,
}


def solving(quick: bool) -> Iterator[Row]:
    """64 inputs of 200 types with every kind of need, beside two models under HiGHS."""
    ours, theirs, ratios = [], [], []
    for seed in range(3 if quick else 10):
        shop, needs = catalogue(seed, 200), Needs(mic=64, **FULL)
        seconds, answer = _timed(partial(solve, shop, needs, LIMIT_S))
        assert isinstance(answer, Answered)
        other = by_highs(shop, needs, LIMIT_S)
        # HiGHS gets the hosts pooled, which is the easier model: it may be a little cheaper.
        assert other.money is None or other.money <= answer.rig.total
        ours.append(seconds)
        theirs.append(other.seconds)
        ratios.append(other.seconds / seconds)
    size = "64 inputs, 200 types, 2 hosts"
    yield Row("solve and decode, median", size, f"{statistics.median(ours):.3f}", "s")
    yield Row("solve and decode, worst", size, f"{max(ours):.3f}", "s")
    yield Row(
        "counted model under HiGHS, median", size, f"{statistics.median(theirs):.3f}", "s"
    )
    yield Row(
        "ratio counted HiGHS / ours, median", size, f"{statistics.median(ratios):.1f}", ""
    )
    yield from _numbered("16 inputs, 20 types, 1 host", 0, 20, {"mic": 16})
    if not quick:
        yield from _numbered("24 inputs, 40 types, 1 host", 0, 40, {"mic": 24})
        for seed in range(3):
            name = f"{size}, catalogue {seed}"
            yield from _numbered(name, seed, 200, {"mic": 64, **FULL}, helped=True)


def rich(quick: bool) -> Iterator[Row]:
    """Catalogues with every kind of row, every second question with hosts on own clocks.

    Processor time, since that depends least on what else the machine does.
    """
    sizes: dict[str, tuple[int, dict[str, Any]]] = {
        "64 inputs, 200 types, 2 hosts": (200, {"mic": 64, **FULL}),
        "256 inputs, 500 types, 8 hosts": (500, {"mic": 256, "max_hosts": 8}),
    }
    for size, (types, wanted) in sizes.items():
        times, unproven = [], 0
        for seed in range(3 if quick else 20):
            shop, needs = (
                rich_catalogue(seed, types),
                Needs(own_clocks=bool(seed % 2), **wanted),
            )
            begun = time.process_time()
            answer = solve(shop, needs, LIMIT_S)
            times.append(time.process_time() - begun)
            unproven += not (isinstance(answer, Answered) and answer.proven)
        note = f"{unproven} of {len(times)} unproven" if unproven else ""
        yield Row(
            "every kind of row, median", size, f"{statistics.median(times):.2f}", "s", note
        )
        yield Row("every kind of row, worst", size, f"{max(times):.2f}", "s", note)


def _numbered(
    size: str, seed: int, types: int, wanted: dict[str, Any], helped: bool = False
) -> Iterator[Row]:
    """One question to the evidence's model, which numbers its units, and to ours.

    HiGHS is asked for money alone, and the time to build its model does not count. Where it
    is `helped`, it is also told how many units there are: without that, a large model is
    not even built in minutes.
    """
    ours, answer = _timed(lambda: solve(catalogue(seed, types), Needs(**wanted), LIMIT_S))
    assert isinstance(answer, Answered)
    told_units = {"units": len(answer.rig.units)} if helped else {}
    needs = json.dumps({**wanted, **told_units})
    command = [sys.executable, "-m", "tests.benchmarks.numbered", str(types), str(seed), needs]
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True) as other:
        assert other.stdout is not None
        assert other.stdout.readline() == "built\n"
        try:
            told, _ = other.communicate(timeout=LIMIT_S)
        except subprocess.TimeoutExpired:
            other.kill()
            theirs, more, note = LIMIT_S, "> ", "given up"
        else:
            theirs, more, note = float(told), "", ""
    yield Row("numbered model under HiGHS", size, f"{more}{theirs:.2f}", "s", note)
    yield Row("ratio numbered HiGHS / ours", size, f"{more}{theirs / ours:.0f}", "")


SIZES = {8: 1, 16: 1, 32: 1, 64: 2, 128: 4, 256: 8}
"""Inputs and the number of hosts allowed for them."""


def growth_table(quick: bool) -> Iterator[Row]:
    """First rig, proof, variables and memory, by inputs and types; a process for each."""
    for inputs, hosts in SIZES.items():
        for types in (20, 50, 200) if quick else (20, 50, 200, 500):
            runs = [
                _in_a_process(inputs, hosts, types, seed) for seed in range(1 if quick else 3)
            ]
            size = f"{inputs} inputs, {types} types"
            found = [one for one in runs if one["first"] is not None]
            if not found:
                yield Row("growth", size, "no rig", "")
                continue
            unproven = sum(not one["proven"] for one in found)
            note = f"{unproven} of {len(found)} unproven" if unproven else ""
            proofs = [one["proof"] for one in found]
            for what, key in (("first rig", "first"), ("proof", "proof")):
                middle = statistics.median(one[key] for one in found)
                yield Row(f"time to the {what}", size, f"{middle:.3f}", "s", note)
            yield Row("worst time to the proof", size, f"{max(proofs):.3f}", "s")
            for what, unit in (
                ("columns", ""),
                ("variables", ""),
                ("memory", "MB, with all that is imported"),
            ):
                middle = statistics.median(one[what] for one in found)
                yield Row(what, size, f"{middle:.0f}", unit)


def _in_a_process(inputs: int, hosts: int, types: int, seed: int) -> dict[str, Any]:
    command = [sys.executable, "-m", "tests.benchmarks.one_size"]
    numbers = [str(number) for number in (inputs, hosts, types, seed, LIMIT_S)]
    told = subprocess.run(command + numbers, cwd=ROOT, check=True, capture_output=True)
    found: dict[str, Any] = json.loads(told.stdout)
    return found


def small(quick: bool) -> Iterator[Row]:
    """Small instances, beside enumeration and the numbered mixed-integer model."""
    ours, theirs, linear = [], [], []
    for seed in range(10 if quick else 40):
        shop, needs = instances.instance(seed)
        linear.append(_timed(partial(mip.milp_key, shop, needs))[0])
        ours.append(_timed(partial(solve, shop, needs))[0])
        theirs.append(_timed(partial(brute.brute_best, shop, needs))[0])
    size = "3 to 5 types, up to 5 units"
    yield Row("solve and decode, median", size, f"{statistics.median(ours):.4f}", "s")
    yield Row("enumeration, median", size, f"{statistics.median(theirs):.4f}", "s")
    ratio = statistics.median(linear) / statistics.median(ours)
    yield Row(
        "numbered model under HiGHS, median", size, f"{statistics.median(linear):.4f}", "s"
    )
    yield Row("ratio numbered HiGHS / ours", size, f"{ratio:.1f}", "")
    yield Row("enumeration, worst", size, f"{max(theirs):.3f}", "s")


def series(quick: bool) -> Iterator[Row]:
    """A curve of 8 points and 20 alternatives, each against one plan of the largest size."""
    demo = read_folder(shipped.demo_catalogue())
    shops = {"the demo": demo, "40 types": catalogue(1, 40), "200 types": catalogue(2, 200)}
    for name, shop in shops.items():
        needs = Needs(mic=32)
        first = solve(shop, needs)
        assert isinstance(first, Answered)
        calls: dict[str, Callable[[], object]] = {
            "plan": partial(solve, shop, needs),
            "curve": partial(curve, shop, needs, range(4, 36, 4), Deadline(None)),
            "others": partial(alternatives, shop, needs, first.rig, 20, Deadline(None)),
        }
        times: dict[str, list[float]] = {call: [] for call in calls}
        for _ in range(2 if quick else 5):
            for call, make in calls.items():
                times[call].append(_timed(make)[0])
        plan, along, others = (statistics.median(times[call]) for call in calls)
        size = f"32 inputs, {name}"
        yield Row("one plan, solving", size, f"{plan:.3f}", "s")
        yield Row("ratio curve of 8 points / plan", size, f"{along / plan:.1f}", "")
        yield Row("ratio 20 alternatives / plan", size, f"{others / plan:.1f}", "")


def stages(quick: bool) -> Iterator[Row]:
    """Three growth stages chosen together, against a plan for each stage."""
    for types in (50,) if quick else (50, 200):
        times, plans = [], []
        for seed in range(1 if quick else 3):
            shop = catalogue(seed, types)
            trip = [Stage(f"{mic}", Needs(mic=mic)) for mic in (8, 24, 32)]
            times.append(_timed(partial(grow, shop, trip, Deadline(LIMIT_S)))[0])
            plans.append(_timed(partial(_each, shop, trip))[0])
        size = f"8, 24, 32 inputs, {types} types"
        grown, alone = statistics.median(times), statistics.median(plans)
        yield Row("growth in 3 stages, median", size, f"{grown:.2f}", "s")
        yield Row("ratio growth / 3 plans", size, f"{grown / alone:.1f}", "")


def _each(shop: Catalogue, stages: list[Stage]) -> list[Outcome]:
    """The plans of the stages, each for itself."""
    return [solve(shop, stage.needs) for stage in stages]


def _timed(call: Callable[[], T]) -> tuple[float, T]:
    begun = time.perf_counter()
    found = call()
    return time.perf_counter() - begun, found


def show(row: Row) -> None:
    """One line to standard output."""
    print(f"{row.what:34} {row.size:48} {row.value:>12} {row.unit} {row.note}", flush=True)


def write(rows: list[Row], folder: Path) -> None:
    """The rows as CSV and as a Markdown table."""
    folder.mkdir(parents=True, exist_ok=True)
    day = datetime.date.today().isoformat()
    fields = ("what", "size", "value", "unit", "note")
    with (folder / f"{day}.csv").open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file)
        writer.writerow(fields)
        writer.writerows([getattr(row, field) for field in fields] for row in rows)
    lines = [f"| {' | '.join(fields)} |", f"|{' --- |' * len(fields)}"]
    lines += [f"| {' | '.join(getattr(row, f) for f in fields)} |" for row in rows]
    (folder / f"{day}.md").write_text("\n".join([f"# {day}", "", *lines, ""]), encoding="utf-8")


if __name__ == "__main__":
    main()
