"""The folders of the package import one way: what stands below, never what stands above."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

from tests.docs import pages

PACKAGE = pages.PACKAGE

FLOORS = (
    ("facts", "money", "errors"),
    ("files",),
    ("catalogue",),
    ("needs",),
    ("rig",),
    ("rig/reading", "rig/audit"),
    ("answers",),
    ("optimiser", "optimiser/solver"),
    ("optimiser/problem",),
    ("optimiser/model",),
    ("optimiser/search", "optimiser/decode"),
    ("optimiser/questions",),
    ("output",),
    ("output/facts",),
    ("output/words",),
    ("output/sheets",),
    ("output/terminal", "output/data"),
    ("output/page",),
    ("api",),
    ("__init__",),
    ("cli",),
    ("__main__",),
)
"""Folders and modules from the ground up; those of one floor do not import each other."""

FLOOR = {place: floor for floor, places in enumerate(FLOORS) for place in places}


def place_of(path: Path) -> str:
    """The innermost place that a module belongs to."""
    inside = path.relative_to(PACKAGE).with_suffix("")
    return next(str(part) for part in (inside, *inside.parents) if str(part) in FLOOR)


def imported(source: str) -> Iterator[Path]:
    """The modules of the package that `source` imports, on whatever line, for whatever."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports name the whole way"
            names = [f"{node.module}.{one.name}" for one in node.names]
        elif isinstance(node, ast.Import):
            names = [one.name for one in node.names]
        else:
            continue
        yield from (module for name in names if (module := module_of(name)) is not None)


def module_of(name: str) -> Path | None:
    """The file of a module or of what it holds; None for what is not of the package."""
    first, *rest = name.split(".")
    if first != PACKAGE.name:
        return None
    path = PACKAGE.joinpath(*rest)
    if path.with_suffix(".py").exists():
        return path.with_suffix(".py")
    if path.is_dir():
        return path / "__init__.py"
    return module_of(name.rpartition(".")[0])


def test_imports_are_found_wherever_they_stand() -> None:
    source = (
        "import json, rigopt.money\n"
        "from rigopt import facts, __version__\n"
        "def late():\n    from rigopt.rig.types import Rig\n    import rigopt.output.words\n"
    )
    wanted = {"money.py", "facts.py", "__init__.py", "rig/types.py", "output/words/__init__.py"}
    assert {path.relative_to(PACKAGE).as_posix() for path in imported(source)} == wanted


def test_every_floor_is_there() -> None:
    found = {place_of(path) for path in PACKAGE.rglob("*.py")}
    assert found == set(FLOOR)


def test_folders_import_one_way() -> None:
    wrong = set()
    for path in PACKAGE.rglob("*.py"):
        here = place_of(path)
        for there in map(place_of, imported(path.read_text("utf-8"))):
            if there != here and FLOOR[there] >= FLOOR[here]:
                wrong.add(f"{path.relative_to(PACKAGE)} imports {there}")
    assert wrong == set()
