"""Ten questions at once from threads are answered as one after the other."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Barrier
from typing import Any

import pytest

import rigopt
from tests.api.api_world import QUESTIONS, SMALL, small

MANY = 10


def work() -> list[Callable[[], Any]]:
    """Ten different questions, each with all that its end can tell."""
    shop, demo = small(), rigopt.demo_catalogue()
    asked = [question for question in QUESTIONS if question.kind is not rigopt.OutOfTime]
    several = [q for q in asked if q.name in ("plan", "compare", "curve", "stretch", "grow")]
    several += [q for q in asked if q.name in ("no rig", "repair")]

    def told(end: Any) -> Any:
        tables = [end.units, end.links, end.inputs, end.purchases]
        return end.to_text(), end.to_dict(), end.to_html(), [t.to_json() for t in tables]

    def of(question: Any) -> Callable[[], Any]:
        return lambda: told(question.ask(shop))

    def plan(catalogue: rigopt.Catalogue, **said: Any) -> Callable[[], Any]:
        return lambda: told(rigopt.plan(rigopt.Needs(**said), catalogue))

    return [
        *map(of, several),
        plan(demo, mic=12, phantom=8),
        plan(shop, mic=12, master="host"),
        plan(shop, mic=4, line=2),
    ]


def at_once(jobs: list[Callable[[], Any]]) -> list[Any]:
    """What each job gives; none begins before all can."""
    gate = Barrier(len(jobs))

    def run(job: Callable[[], Any]) -> Any:
        gate.wait()
        return job()

    with ThreadPoolExecutor(len(jobs)) as pool:
        return list(pool.map(run, jobs))


@pytest.mark.full
def test_ten_at_once(shop: rigopt.Catalogue) -> None:
    del shop  # the folder with the files
    jobs = work()
    assert len(jobs) == MANY
    assert at_once(jobs) == [job() for job in jobs]


FRESH = """
import json, sys
sys.path[:0] = json.loads(sys.argv[1])
from concurrent.futures import ThreadPoolExecutor
from threading import Barrier
import pytest

import rigopt
gate = Barrier(10)
def ask(mic):
    gate.wait()
    shop = rigopt.read_catalogue(sys.argv[2])
    needs = rigopt.read_needs(sys.argv[3], shop) if mic % 2 else rigopt.Needs(mic=mic)
    return str(rigopt.plan(needs, shop).total)
with ThreadPoolExecutor(10) as pool:
    print(json.dumps(list(pool.map(ask, range(2, 12)))))
"""


@pytest.mark.full
def test_the_first_ten_ever(tmp_path: Path) -> None:
    """In a new process all that is imported, or made on first use, is so by ten at once."""
    file = tmp_path / "needs.toml"
    file.write_text("inputs.mic = 8\n")
    args = [json.dumps(sys.path), str(SMALL), str(file)]
    done = subprocess.run(
        [sys.executable, "-c", FRESH, *args], capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stderr) == (0, "")
    shop = small()
    wanted = [8 if mic % 2 else mic for mic in range(2, 12)]
    plans = [rigopt.plan(rigopt.Needs(mic=mic), shop) for mic in wanted]
    assert json.loads(done.stdout) == [str(plan.total) for plan in plans]
