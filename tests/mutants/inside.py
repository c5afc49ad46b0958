"""Changes tried inside one run of pytest: tests are found once, and run as often as asked."""

from __future__ import annotations

import gc
import importlib
import json
import os
import signal
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from pathlib import Path
from types import CodeType, FunctionType
from typing import Final, NamedTuple

import coverage
import pytest

from tests.mutants.changes import Change

LEAST_S: Final = 5
TIMES: Final = 3
"""Seconds of the processor, and times what a test takes without a change, until a change counts
as noticed since it never ends."""


class Place(NamedTuple):
    """A change, and the file it is in, as in the tree."""

    file: str
    change: Change


class Runs(NamedTuple):
    """The tests that run a line of a change, and whether it is run while they are loaded."""

    tests: frozenset[str]
    loading: bool


def runs(data: coverage.CoverageData, copy: Path, place: Place) -> Runs:
    """Who runs it; all that run the module if it is run on loading, or by none that is seen,
    as what the solver calls is not."""
    by_line = _contexts(data, str(copy / place.file))
    change = place.change
    there = {c for n in range(change.first, change.last + 1) for c in by_line.get(n, ())}
    loading = "" in there
    if loading or not there:
        there |= {context for contexts in by_line.values() for context in contexts}
    return Runs(frozenset(context.rpartition("|")[0] for context in there if context), loading)


@cache
def _contexts(data: coverage.CoverageData, file: str) -> dict[int, list[str]]:
    return data.contexts_by_lineno(file)


class Only:
    """Of the tests that are found, those that are chosen."""

    def __init__(self, chosen: frozenset[str]) -> None:
        self.chosen = chosen

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        items[:] = [item for item in items if item.nodeid in self.chosen]


class Times:
    """Keeps how long each test takes, in seconds."""

    def __init__(self, copy: Path) -> None:
        self.result = copy / "times"
        self.took: dict[str, float] = {}

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        self.took[report.nodeid] = self.took.get(report.nodeid, 0) + report.duration

    def pytest_sessionfinish(self) -> None:
        self.result.write_text(json.dumps(self.took), "utf-8")

    def read(self) -> dict[str, float]:
        """What was kept, in another process too."""
        found: dict[str, float] = json.loads(self.result.read_text("utf-8"))
        return found


class Inside:
    """Runs the tests chosen for each change in a process of its own, with the change in it.

    Those that take the least time go first.
    """

    def __init__(
        self,
        copy: Path,
        places: Sequence[tuple[Place, Runs]],
        took: Mapping[str, float],
    ) -> None:
        self.copy, self.places, self.took = copy, places, took
        self.result = copy / "survivors"

    def survivors(self) -> list[int]:
        """The places of the changes that nothing noticed, after the run."""
        return list(map(int, self.result.read_text("ascii").split()))

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """In place of running all tests."""
        for file in {place.file for place, _ in self.places}:
            # Some are imported only when they are called, and a change has to find them.
            importlib.import_module(".".join(Path(file).with_suffix("").parts))
        known = _functions()
        gc.freeze()
        with self.result.open("w", encoding="ascii") as out:
            for at, (place, run) in enumerate(self.places):
                file = str(self.copy / place.file)
                its = _changed(known[file], place.change.within)
                if self._lives(session, its, file, place.change, run):
                    print(at, file=out, flush=True)
        return True

    def _lives(
        self,
        session: pytest.Session,
        its: Sequence[FunctionType],
        file: str,
        change: Change,
        run: Runs,
    ) -> bool:
        """Whether nothing notices it, or there is no function to change."""
        if not its:
            return True
        child = os.fork()
        if child == 0:
            _change(its, file, change)
            os._exit(self._noticed(session, run.tests))
        return os.waitpid(child, 0)[1] == 0

    def _noticed(self, session: pytest.Session, chosen: frozenset[str]) -> int:
        items = [item for item in session.items if item.nodeid in chosen]
        items.sort(key=lambda item: self.took[item.nodeid])
        for item, following in zip(items, [*items[1:], None], strict=False):
            limit = LEAST_S + TIMES * self.took[item.nodeid]
            signal.setitimer(signal.ITIMER_PROF, limit)
            item.config.hook.pytest_runtest_protocol(item=item, nextitem=following)
            if session.testsfailed:
                return 1
        return 0


def _change(its: Sequence[FunctionType], file: str, change: Change) -> None:
    """Give the function that a change is in its other code, wherever it is known."""
    codes = [*_codes(compile(change.text, file, "exec", dont_inherit=True))]
    new = {code.co_qualname: code for code in codes}
    often = Counter(code.co_qualname for code in codes)
    for function in its:
        name = function.__code__.co_qualname
        # What was made of functions inside it before, as on loading, is changed as well where
        # its name tells which it is and it still knows the same names of the outer one.
        if often[name] == 1 and new[name].co_freevars == function.__code__.co_freevars:
            function.__code__ = new[name]


def _changed(functions: Sequence[FunctionType], within: str) -> list[FunctionType]:
    """The function of that name, and those that were made inside it; none of a module."""
    inside = f"{within}.<locals>."
    names = [(one, one.__code__.co_qualname) for one in functions]
    return [
        one for one, name in names if within and (name == within or name.startswith(inside))
    ]


def _codes(code: CodeType) -> Iterator[CodeType]:
    """The codes of the functions in a module, and in its classes."""
    for inner in code.co_consts:
        if isinstance(inner, CodeType):
            yield inner
            yield from _codes(inner)


def _functions() -> dict[str, list[FunctionType]]:
    """All that there are, by their files."""
    found: dict[str, list[FunctionType]] = defaultdict(list)
    for one in gc.get_objects():
        if isinstance(one, FunctionType):
            found[one.__code__.co_filename].append(one)
    return found
