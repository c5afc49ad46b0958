"""Asked from Python, the program leaves the process as it finds it."""

from __future__ import annotations

import ast
import json
import subprocess
import sys
import typing
from collections.abc import Callable
from pathlib import Path

import pytest

import rigopt
from rigopt.api import face
from rigopt.optimiser.solver import attended, run
from tests.api.api_world import SMALL, stages

ISSUE = (
    *("read_catalogue", "demo_catalogue", "Needs", "read_needs", "plan", "compare", "curve"),
    *("stretch", "grow", "audit", "repair", "rates", "prices", "RigoptError"),
)

LEFT = """
import gc, json, logging, os, signal, sys, threading
sys.path[:0] = json.loads(sys.argv[1])

def state():
    return {
        "signals": [str(signal.getsignal(number)) for number in signal.valid_signals()],
        "environment": dict(os.environ),
        "collector": [gc.get_threshold(), gc.isenabled()],
        "streams": [
            (id(stream), stream.encoding, stream.errors) for stream in (sys.stdout, sys.stderr)
        ],
        "threads": threading.active_count(),
        "folder": os.getcwd(),
        "hooks": [str(sys.excepthook), str(sys.unraisablehook), str(threading.excepthook)],
        "logging": [logging.getLogger().level],
    }

before = state()
import rigopt
import rigopt.cli.main
for name in rigopt.__all__:
    getattr(rigopt, name)
shop = rigopt.read_catalogue(sys.argv[2])
needs = rigopt.Needs(mic=16)
answer = rigopt.plan(needs, shop, alternatives=1)
ends = [
    answer,
    rigopt.plan(rigopt.Needs(mic=16, rate_khz=192), shop),
    rigopt.compare([needs, rigopt.Needs(mic=8)], shop),
    rigopt.curve(rigopt.Needs(), shop, [2, 8]),
    rigopt.stretch(rigopt.Needs(budget=300), shop),
    rigopt.grow(rigopt.Needs(stages=[rigopt.Needs(mic=2), rigopt.Needs(mic=8)]), shop),
    rigopt.audit(answer.to_dict(), shop),
    rigopt.repair(answer.to_dict(), shop, rigopt.Needs(mic=17)),
    rigopt.rates(answer.to_dict(), shop),
]
for end in ends:
    end.to_text(), end.to_html(), end._repr_html_(), repr(end), end.inputs
try:
    rigopt.plan(rigopt.Needs(mic=-1), shop)
except rigopt.RigoptError:
    pass
changed = {key for key, value in state().items() if value != before[key]}
assert not changed, changed
"""


def python(code: str, *args: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-c", code, json.dumps(sys.path), *args]
    return subprocess.run(command, capture_output=True, text=True, check=False)


@pytest.mark.full
def test_nothing_is_left_behind_and_nothing_is_said() -> None:
    done = python(LEFT, str(SMALL))
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")


def test_the_program_does_set_what_a_program_may() -> None:
    code = (
        "import sys, json; sys.path[:0] = json.loads(sys.argv[1])\n"
        "import gc, os\n"
        "from rigopt.cli import main\n"
        "said = lambda args: print(\n"
        "    gc.get_threshold()[0], *map(os.environ.get, args), flush=True\n"
        ")\n"
        "main.run = lambda args: said(args) or 5\n"
        "main.main(['OPENBLAS_NUM_THREADS', 'PYDANTIC_DISABLE_PLUGINS'])\n"
    )
    done = python(code)
    assert done.returncode == 5
    assert done.stdout == "1000000 1 __all__\n"


def test_the_face_is_imported_piece_by_piece() -> None:
    code = (
        "import sys, json; sys.path[:0] = json.loads(sys.argv[1])\n"
        "import rigopt\n"
        "assert not [name for name in sys.modules if name.startswith('rigopt.')]\n"
        "rigopt.RigoptError, rigopt.Catalogue, rigopt.Needs, rigopt.Answered\n"
        "heavy = {'ortools', 'pandas', 'pydantic', 'numpy', 'jinja2'}\n"
        "rigopt.Needs(mic=3)\n"
        "print(sorted(heavy & set(sys.modules)))\n"
    )
    done = python(code)
    assert (done.stdout, done.stderr) == ("[]\n", "")


def test_the_names_are_those_promised_and_the_types_they_give() -> None:
    assert set(ISSUE) <= set(rigopt.__all__)
    assert dir(rigopt) == rigopt.__all__
    given = set()
    for name in ISSUE:
        if name in vars(face) and name != "Needs":
            hints = typing.get_type_hints(getattr(face, name))
            given |= {*typing.get_args(hints["return"]), hints["return"]}
    types = {kind.__name__ for kind in given if isinstance(kind, type)}
    assert set(rigopt.__all__) == {*ISSUE, *types}
    with pytest.raises(AttributeError, match="'nothing'"):
        rigopt.nothing  # type: ignore[attr-defined]  # noqa: B018


def test_a_checker_of_types_sees_every_name() -> None:
    tree = ast.parse(Path(rigopt.__file__).read_text("utf-8"))
    seen = {
        alias.name
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("rigopt.")
        for alias in node.names
    }
    assert seen == set(rigopt.__all__)
    assert (Path(rigopt.__file__).parent / "py.typed").exists()


@pytest.mark.parametrize(
    "ask",
    [
        lambda shop: rigopt.plan(rigopt.Needs(mic=16), shop),
        lambda shop: rigopt.compare([rigopt.Needs(mic=16), rigopt.Needs(mic=8)], shop),
        lambda shop: rigopt.curve(rigopt.Needs(), shop, [8, 16]),
        lambda shop: rigopt.stretch(rigopt.Needs(budget=900), shop),
        lambda shop: rigopt.grow(stages(shop), shop),
        lambda shop: rigopt.grow(stages(shop), shop, budget_per_stage=500),
        lambda shop: rigopt.repair("faulty.toml", shop),
    ],
)
@pytest.mark.parametrize("late", [0, 2])
def test_an_interruption_reaches_whoever_asked(
    ask: Callable[[rigopt.Catalogue], object],
    late: int,
    shop: rigopt.Catalogue,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """At the first call of the solver, or when there are answers already."""
    calls: list[int] = []

    def interrupted(*args: object) -> object:
        calls.append(1)
        if len(calls) > late:
            raise KeyboardInterrupt
        return attended.solve_attended(*args)  # type: ignore[arg-type]

    monkeypatch.setattr(run, "solve_attended", interrupted)
    try:
        ask(shop)
    except KeyboardInterrupt:
        return
    assert len(calls) <= late, "it was interrupted, and nobody heard of it"
