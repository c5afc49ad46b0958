"""Lines of the results, how they are timed, and how they are kept."""

from __future__ import annotations

import datetime
import importlib.metadata
import json
import os
import platform
import statistics
import time
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import NamedTuple, TypeVar

T = TypeVar("T")

LIMIT_S = 60.0


class Row(NamedTuple):
    """What was measured on what, the number, what it is asked to be at most, and the same by
    the version before, if that was asked too."""

    what: str
    size: str
    value: float
    unit: str = "s"
    most: float | None = None
    before: float | None = None
    note: str = ""


Rows = Iterator[Row]


def timed(call: Callable[[], T]) -> tuple[float, T]:
    """Seconds of processor time, and what the call gives."""
    begun = time.process_time()
    found = call()
    return time.process_time() - begun, found


def median_of(call: Callable[[], object], times: int) -> float:
    """The median of several calls, in seconds of processor time."""
    return statistics.median(timed(call)[0] for _ in range(times))


def about() -> dict[str, str]:
    """The day, the machine and the versions."""
    names = ("ortools", "numpy", "pandas", "pydantic", "click", "rigopt")
    found = {
        "date": datetime.date.today().isoformat(),
        "machine": f"{platform.machine()}, {os.cpu_count()} cores",
        "load at the start": f"{os.getloadavg()[0]:.1f}",
        "python": platform.python_version(),
    }
    for name in names:
        try:
            found[name] = importlib.metadata.version(name)
        except importlib.metadata.PackageNotFoundError:
            continue
    return found


def line(row: Row) -> str:
    """One line for the terminal."""
    most = "" if row.most is None else f" asked {row.most:g}{_missed(row)}"
    before = "" if row.before is None else f" before {row.before:.3f}"
    number = f"{row.value:.3f} {row.unit}"
    return f"{row.what:34} {row.size:44} {number:>12}{most}{before} {row.note}".rstrip()


def _missed(row: Row) -> str:
    return ", missed" if row.most is not None and row.value > row.most else ""


def write(about: dict[str, str], rows: Iterable[Row], folder: Path) -> Path:
    """The results as JSON and as a table in Markdown, by their day."""
    folder.mkdir(parents=True, exist_ok=True)
    found = list(rows)
    path = folder / f"{about['date']}.md"
    data = {"about": about, "rows": [row._asdict() for row in found]}
    path.with_suffix(".json").write_text(json.dumps(data, indent=1) + "\n", encoding="utf-8")
    text = [f"# {about['date']}", "", *(f"- {k}: {v}" for k, v in about.items()), ""]
    text += [
        "| what | size | value | asked | before | note |",
        "| --- | --- | --- | --- | --- | --- |",
    ]
    for row in found:
        most = "" if row.most is None else f"{row.most:g}{_missed(row)}"
        before = "" if row.before is None else f"{row.before:.3f}"
        cells = (
            row.what,
            row.size,
            f"{row.value:.3f} {row.unit}".strip(),
            most,
            before,
            row.note,
        )
        text.append(f"| {' | '.join(cells)} |")
    path.write_text("\n".join([*text, ""]), encoding="utf-8")
    return path
