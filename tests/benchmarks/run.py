"""Measure the tool in one run; nothing here is a test, and no time is asserted.

    python -m tests.benchmarks.run [--only PART,PART] [--quick] [--before CHECKOUT]
                                   [--out FOLDER]

Seconds are of processor time, which depends least on what else the machine does; medians are
compared, and of whole processes the repeats are interleaved. `--before` is a checkout of
another version, which is asked the whole commands that both know. Results are kept by their
day in `tests/benchmarks/results`, as JSON and as a table in Markdown, unless it is `--quick`.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path

from tests.benchmarks.processes import ROOT, again, processes
from tests.benchmarks.questions import questions
from tests.benchmarks.rows import Row, about, line, write
from tests.benchmarks.solving import kinds, solving


def main() -> None:
    """Measure, print, and write."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--only", help="parts, separated by commas")
    parser.add_argument("--quick", action="store_true", help="few repeats and sizes")
    parser.add_argument("--before", type=Path, help="a checkout of another version")
    parser.add_argument("--out", type=Path, help="folder for the results")
    given = parser.parse_args()
    parts: dict[str, Callable[[bool], Iterator[Row]]] = {
        "processes": partial(processes, given.before),
        "again": again,
        "solving": solving,
        "kinds": kinds,
        "questions": questions,
    }
    names = given.only.split(",") if given.only else list(parts)
    facts, rows, begun = about(), [], time.monotonic()
    print(*(f"{name}: {fact}" for name, fact in facts.items()), sep="\n", flush=True)
    for name in names:
        for row in parts[name](given.quick):
            rows.append(row)
            print(line(row), flush=True)
        print(f"-- {name}: {time.monotonic() - begun:.0f} s since the start", flush=True)
    out = given.out or (None if given.quick else ROOT / "tests" / "benchmarks" / "results")
    if out is not None:
        print(write(facts, rows, out))


if __name__ == "__main__":
    main()
