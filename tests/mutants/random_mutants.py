"""Small changes of the program made at random, one at a time, each tried against quick tests.

    python -m tests.mutants.random_mutants --module rigopt/rig/audit --seed 1 --number 40

A change that no test notices is printed. It needs a test, or a line in `equal.py` that says
why the program is the same. `--number 0` tries every change there is.

The tree is left as it is: all this happens in a copy of it, in a folder for the time of the
run. The tests run once to see which of them goes where, and how long it takes. Then they are
loaded, and for each change a process is split off in which the function is another one. What
lives and is run while modules are loaded is tried from the start, with the file changed.
"""

from __future__ import annotations

import importlib
import os
import random
import shutil
import signal
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Any, Final

import click
import coverage
import pytest

from tests.mutants.changes import changes
from tests.mutants.equal import EQUAL
from tests.mutants.inside import Inside, Only, Place, Times, runs
from tests.mutants.quick import quick_tests

ROOT: Final = Path(__file__).parents[2]
NO_COPY: Final = shutil.ignore_patterns(".*", "__pycache__", "*.egg-info", "results")
LOADED: Final = ("ortools.sat.python.cp_model", "pandas", "pydantic", "jinja2")
"""What no change touches and takes long to import: loaded once."""

ALONE: Final = ("-n0", "--dist=no")
"""In this process: coverage takes any way to deal tests out for more than one, and then does
not tell one test from another."""

COVERED: Final = ("--cov", "--cov-context=test", "--cov-report=")
"""Before any change, it is seen which test goes where."""

OF_PROCESSES: Final = "rigopt/cli/"
"""What tests start as a process of its own, which knows the changed file alone."""

LEAST_S: Final = 60
TIMES: Final = 6
"""Seconds, and times what the tests take without a change, until a change counts as noticed
since it never ends."""


@click.command()
@click.option("--module", "modules", multiple=True, required=True, help="A file or folder.")
@click.option("--seed", default=1)
@click.option("--number", default=40, help="How many changes of each module; 0 for all.")
@click.option("--test", "tests", multiple=True, help="In place of the tests that are known.")
def main(modules: Sequence[str], seed: int, number: int, tests: Sequence[str]) -> None:
    """Print how many changes were noticed, and those that were not."""
    for name in LOADED:
        importlib.import_module(name)
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder, "copy")
        shutil.copytree(ROOT, copy, ignore=NO_COPY)
        left = [_tried(copy, module, seed, number, tests) for module in modules]
    sys.exit(any(left))


def _tried(copy: Path, module: str, seed: int, number: int, tests: Sequence[str]) -> int:
    """Try a sample of the changes of `module`; how many were not noticed and are none."""
    places = list(_places(copy, module))
    if number:
        places = random.Random(seed).sample(places, min(number, len(places)))
    survived = _survivors(copy, places, tests or quick_tests(module))
    equal = [place for place in survived if _reason(place)]
    for place in survived:
        print(f"{_told(place)}\n    {_reason(place) or 'SURVIVES'}", flush=True)
    killed, lives = len(places) - len(survived), len(survived) - len(equal)
    print(f"{module}: {len(places)} tried, {killed} killed, {len(equal)} equal, {lives} left")
    return lives


def _places(copy: Path, module: str) -> Iterator[Place]:
    start = copy / module
    for path in sorted(start.rglob("*.py")) if start.is_dir() else [start]:
        for change in changes(path.read_text("utf-8")):
            yield Place(path.relative_to(copy).as_posix(), change)


def _survivors(copy: Path, places: Sequence[Place], tests: Sequence[str]) -> list[Place]:
    start = time.monotonic()
    times = Times(copy)
    if _in_a_process(lambda: _test(copy, [*COVERED, *tests], times)):
        raise click.ClickException(f"{' '.join(tests)}: a test fails without any change")
    seconds = max(LEAST_S, int(TIMES * (time.monotonic() - start)))
    data = coverage.CoverageData(str(copy / ".coverage"))
    data.read()
    if not any(data.measured_contexts()):
        raise click.ClickException("it is not seen which test runs a line")
    known = [(place, runs(data, copy, place)) for place in places]
    inside = Inside(copy, known, times.read())
    _in_a_process(lambda: _test(copy, tests, inside))
    left = [known[at] for at in inside.survivors()]
    return [
        place
        for place, run in left
        if not (run.loading or place.file.startswith(OF_PROCESSES))
        or _reason(place)
        or _survives(copy, place, run.tests, tests, seconds)
    ]


def _survives(
    copy: Path, place: Place, first: frozenset[str], tests: Sequence[str], seconds: int
) -> bool:
    """Whether all tests pass with the file changed: those that run it, and then the others,
    which may see a number of it without running a line of it."""
    path = copy / place.file
    before = path.read_text("utf-8")
    files = sorted({test.partition("::")[0] for test in first})
    path.write_text(place.change.text, "utf-8")
    try:
        # Two changes in one second may leave files of one size, which Python takes for one.
        _forget(path)
        ways: tuple[Callable[[], int], ...] = (
            lambda: _test(copy, files, Only(first)),
            lambda: _test(copy, tests),
        )
        return all(_in_a_process(way, seconds) == 0 for way in ways[not first :])
    finally:
        path.write_text(before, "utf-8")
        _forget(path)


def _forget(path: Path) -> None:
    for compiled in (path.parent / "__pycache__").glob(f"{path.stem}.*"):
        compiled.unlink()


def _in_a_process(action: Callable[[], int], seconds: int = 0) -> int:
    """The status of `action`, split off; it is ended after `seconds`, if there are any."""
    child = os.fork()
    if child == 0:
        signal.alarm(seconds)
        os._exit(action())
    return os.waitpid(child, 0)[1]


def _test(copy: Path, args: Sequence[str], *plugins: object) -> int:
    """The status of the tests of the copy, with nothing imported from here."""
    for name in [name for name in sys.modules if name.split(".")[0] in ("rigopt", "tests")]:
        del sys.modules[name]
    os.chdir(copy)
    os.environ["PYTHONPATH"] = str(copy)
    sys.path[:] = [str(copy), *(entry for entry in sys.path if Path(entry or ".") != ROOT)]
    os.replace = _unless_a_device(os.replace)  # type: ignore[assignment]
    quiet = os.open(os.devnull, os.O_WRONLY)
    os.dup2(quiet, 1)
    if not os.environ.get("MUTANTS_ERRORS"):
        os.dup2(quiet, 2)
    places = ["-p", "no:cacheprovider", f"--basetemp={copy.parent / 'tmp'}"]
    return int(pytest.main([*ALONE, "-x", "-q", "--tb=no", *places, *args], plugins))


def _unless_a_device(give_name: Callable[[Any, Any], None]) -> Callable[[Any, Any], None]:
    """What gives a file a name, but takes no device from the machine: where the tests write to
    one, a change could take it for a file."""

    def guarded(source: Any, target: Any) -> None:
        assert not str(target).startswith("/dev/"), f"{target} would be replaced"
        give_name(source, target)

    return guarded


def _reason(place: Place) -> str | None:
    """Why the program is the same, if somebody has said so."""
    change = place.change
    return EQUAL.get((place.file, change.within, change.line, change.what))


def _told(place: Place) -> str:
    change = place.change
    where = f"{place.file}:{change.first} in {change.within or 'the module'}"
    return f"{where}\n    {change.line}\n    {change.what}"


if __name__ == "__main__":
    main()
