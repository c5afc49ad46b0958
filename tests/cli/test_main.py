"""The command line from outside: help, errors, streams. No rig is solved for here."""

from __future__ import annotations

import errno
import io
import os
import shlex
import signal
import subprocess
import sys
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import NoReturn

import click
import pytest

from rigopt import __main__ as start
from rigopt.api.audited import AuditFailedError
from rigopt.cli import leaving
from rigopt.cli import main as cli
from rigopt.errors import RigoptError
from rigopt.output.files import write_all

ROOT = Path(__file__).parents[2]


def rigopt(*args: str, **env: str) -> subprocess.CompletedProcess[bytes]:
    command = [sys.executable, "-m", "rigopt", *args]
    return subprocess.run(
        command, capture_output=True, cwd=ROOT, env={**os.environ, **env}, check=False
    )


@pytest.mark.parametrize("option", ["--help", "-h"])
def test_help_lists_the_commands(option: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run([option]) == 0
    shown = capsys.readouterr().out
    for name, line in cli.COMMANDS.items():
        assert name in shown
        assert line in shown


def test_every_command_listed_is_there() -> None:
    group = cli.commands
    ctx = click.Context(group)
    for name in group.list_commands(ctx):
        command = group.get_command(ctx, name)
        assert command is not None
        assert command.name == name
    assert group.get_command(ctx, "nothing") is None


@pytest.mark.parametrize("args", [["--help"], ["--version"], []])
def test_help_and_version_import_nothing_heavy(args: list[str]) -> None:
    code = (
        "import sys\n"
        "from rigopt.cli.main import run\n"
        f"run({args!r})\n"
        "heavy = {'ortools', 'pandas', 'pydantic', 'numpy', 'wcwidth', 'tabulate', 'openpyxl', "
        "'python_calamine'}\n"
        "sys.exit(sorted(heavy & set(sys.modules)) or 0)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, cwd=ROOT, check=False
    )
    assert (done.returncode, done.stderr if args else b"") == (0, b"")


def test_help_of_plan_does_not_import_the_solver() -> None:
    code = (
        "import sys\n"
        "from rigopt.cli.main import run\n"
        "run(['plan', '--help'])\n"
        "sys.exit('ortools' in sys.modules)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, cwd=ROOT, check=False
    )
    assert done.returncode == 0


def test_version(capsys: pytest.CaptureFixture[str]) -> None:
    """That of the package as it is installed; where it differs, install it anew."""
    assert cli.run(["--version"]) == 0
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    assert capsys.readouterr().out == f"rigopt {project['version']}\n"


def test_no_command_shows_the_help_as_wrong_use(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run([]) == 2
    shown = capsys.readouterr()
    assert shown.out == ""
    assert "Commands:" in shown.err


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (["plam"], "there is no command 'plam'; did you mean 'plan'?"),
        (["zzzzzz"], "there is no command 'zzzzzz'\n"),
        (["--zzz"], "No such option"),
        (["\x1b[31mplan\n"], "there is no command '␛[31mplan"),
    ],
)
def test_wrong_use(args: list[str], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(args) == 2
    shown = capsys.readouterr()
    assert shown.out == ""
    assert shown.err.startswith("rigopt: ")
    assert said in shown.err
    assert "For help: rigopt --help" in shown.err
    assert "\x1b" not in shown.err


class _SomeError(RigoptError):
    def __str__(self) -> str:
        return "first line\nsecond \x1b[2J line"


def _raising(error: BaseException) -> click.Command:
    def fail() -> None:
        raise error

    return click.Command("plan", callback=fail)


@pytest.mark.parametrize(
    ("error", "status", "said"),
    [
        (_SomeError(), 2, "rigopt: first line\n        second ␛[2J line\n"),
        (click.FileError("gone"), 1, "gone"),
        (KeyboardInterrupt(), 130, "rigopt: stopped\n"),
        (AuditFailedError(()), 70, "does not pass the audit"),
        (ZeroDivisionError("by zero"), 70, "ZeroDivisionError: by zero"),
        (RecursionError(), 70, "RecursionError"),
    ],
)
def test_errors_become_lines_and_a_status(
    error: BaseException,
    status: int,
    said: str,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setattr(cli._Commands, "get_command", lambda *_: _raising(error))
    assert cli.run(["plan"]) == status
    shown = capsys.readouterr()
    assert shown.out == ""
    assert said in shown.err
    assert "Traceback" not in shown.err


def test_a_fault_of_the_program_names_the_place_but_no_folder(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(cli._Commands, "get_command", lambda *_: _raising(ValueError("x")))
    cli.run(["plan"])
    said = capsys.readouterr().err
    assert "test_main.py:" in said
    assert str(ROOT) not in said


def test_main_leaves_with_the_status(monkeypatch: pytest.MonkeyPatch) -> None:
    left: list[int] = []
    monkeypatch.setattr(cli, "run", len)
    monkeypatch.setattr(os, "_exit", left.append)
    cli.main(["a", "b", "c"])
    assert left == [3]


@pytest.mark.parametrize(
    ("env", "said"),
    [
        ({"LC_ALL": "C"}, "'é–'".encode()),
        ({"PYTHONIOENCODING": "ascii"}, "'é–'".encode()),
        ({"PYTHONIOENCODING": "cp437"}, "'é-'".encode("cp437")),
        ({"PYTHONIOENCODING": "latin-1"}, "'é-'".encode("latin-1")),
    ],
)
def test_any_locale_gets_something_to_read(env: dict[str, str], said: bytes) -> None:
    done = rigopt("é–", **{"LC_ALL": "C.UTF-8", **env})
    assert done.returncode == 2
    assert said in done.stderr
    assert b"Traceback" not in done.stderr


@pytest.mark.parametrize(
    ("encoding", "said"),
    [("ascii", "é–…"), ("latin-1", "é-~"), ("cp437", "é-~"), ("utf-8", "é–…")],
)
def test_streams_of_any_encoding(
    encoding: str, said: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    stream = io.TextIOWrapper(io.BytesIO(), encoding=encoding, errors="strict")
    monkeypatch.setattr(sys, "stdout", stream)
    monkeypatch.setattr(sys, "stderr", None)
    cli._speak_safely()
    stream.write("é–…")
    stream.flush()
    assert stream.buffer.getvalue().decode(stream.encoding) == said


def test_only_encoding_has_a_plainer_way() -> None:
    stream = io.TextIOWrapper(io.BytesIO(b"\xff"), encoding="ascii", errors="rigopt-plain")
    cli._speak_safely()
    with pytest.raises(UnicodeDecodeError):
        stream.read()


@pytest.mark.parametrize(
    ("args", "redirect", "status", "said"),
    [
        # Of shells: 128 and the number of SIGPIPE, 13 (POSIX signal.h, from memory).
        ("--help", "| true", 141, b""),
        ("list", "| true", 141, b""),
        ("--help", "> /dev/full", 2, b"cannot write standard output: the disk is full"),
        ("--version", "> /dev/full", 2, b"cannot write standard output: the disk is full"),
        ("list", "> /dev/full", 2, b"cannot write standard output: the disk is full"),
        ("--help", ">&-", 0, b""),
        ("list", ">&-", 2, b"cannot write standard output: it is closed"),
        ("about needs", ">&-", 2, b"cannot write standard output: it is closed"),
    ],
)
def test_nobody_reads(args: str, redirect: str, status: int, said: bytes) -> None:
    # A shell that waits for the reader to have left.
    gone = "(sleep 0.1;" if "|" in redirect else "("
    rigopt = f"{shlex.quote(sys.executable)} -m rigopt"
    command = f"{gone} {rigopt} {args}; echo status $? >&2) {redirect}"
    done = subprocess.run(["sh", "-c", command], capture_output=True, cwd=ROOT, check=False)
    lines = done.stderr.removeprefix(b"rigopt: ").splitlines()
    assert lines == [*filter(None, [said]), f"status {status}".encode()]


def test_another_fault_of_a_device_is_not_called_a_full_disk(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    odd = _raising(OSError(errno.EBADF, "odd"))
    monkeypatch.setattr(cli._Commands, "get_command", lambda *_: odd)
    assert cli.run(["plan"]) == 70
    assert "odd" in capsys.readouterr().err


def test_another_way_to_leave_is_left_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cli._Commands, "get_command", lambda *_: _raising(SystemExit(143)))
    with pytest.raises(SystemExit, match="143"):
        cli.run(["plan"])


@pytest.mark.parametrize("code", [0, 2])
def test_only_a_pipe_that_is_broken_is_a_reader_who_left(
    code: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(cli._Commands, "get_command", lambda *_: _raising(SystemExit(1)))
    assert cli.run(["plan"]) == 141
    monkeypatch.setattr(cli._Commands, "get_command", lambda *_: _raising(SystemExit(code)))
    with pytest.raises(SystemExit):
        cli.run(["plan"])


@pytest.mark.parametrize(
    ("asked", "status"),
    [
        ({"_RIGOPT_COMPLETE": "bash_source"}, 0),
        ({"_RIGOPT_COMPLETE": "fish_complete", "COMP_WORDS": "rigopt", "COMP_CWORD": ""}, 0),
        ({"_RIGOPT_COMPLETE": "zsh_complete", "COMP_WORDS": "rigopt", "COMP_CWORD": "1"}, 0),
        ({"_RIGOPT_COMPLETE": "zsh_complete", "COMP_WORDS": "rigopt"}, 2),
        ({"_RIGOPT_COMPLETE": "zsh_complete", "COMP_CWORD": "1"}, 2),
        ({"_RIGOPT_COMPLETE": "bash"}, 2),
        ({"_RIGOPT_COMPLETE": "some_source"}, 2),
    ],
)
def test_completion(asked: dict[str, str], status: int) -> None:
    done = rigopt(**asked)
    assert done.returncode == status
    line = b"rigopt: _RIGOPT_COMPLETE asks for completion in no way that a shell does"
    assert done.stderr.strip() == (line if status else b"")


def test_completion_that_nobody_asks_for() -> None:
    assert rigopt("--version", _RIGOPT_COMPLETE="").stdout.startswith(b"rigopt")


# --- signals -------------------------------------------------------------------------------

LOADING = """
import signal, sys
class Slow:
    def find_spec(self, name, path=None, target=None):
        if name == "rigopt.cli.main":
            signal.raise_signal(signal.SIGINT)
sys.meta_path.insert(0, Slow())
from rigopt.__main__ import main
sys.argv = ["rigopt", "--version"]
main()
"""


def test_ctrl_c_while_it_is_loaded() -> None:
    # Who runs the tests in the background may have had it ignored.
    heard = LOADING.replace(
        "class", "signal.signal(signal.SIGINT, signal.default_int_handler)\nclass"
    )
    done = subprocess.run(
        [sys.executable, "-c", heard], capture_output=True, cwd=ROOT, check=False
    )
    assert (done.returncode, done.stdout, done.stderr) == (130, b"", b"rigopt: stopped\n")


def test_next_to_nothing_is_loaded_before_ctrl_c_is_heard() -> None:
    """Until then it ends in Python's own traceback."""
    loading = (
        f"import sys; sys.path.insert(0, {str(Path(start.__file__).parents[1])!r})\n"
        "import os, signal; before = {*sys.modules}\n"
        "import rigopt.__main__; print(*sorted({*sys.modules} - before))"
    )
    done = subprocess.run(
        [sys.executable, "-S", "-c", loading], capture_output=True, check=True
    )
    own = [b"rigopt", b"rigopt.__main__", b"rigopt.cli", b"rigopt.cli.leaving"]
    assert done.stdout.split() == own


def test_ctrl_c_where_it_is_ignored_stays_so() -> None:
    ignoring = LOADING.replace("class", "signal.signal(signal.SIGINT, signal.SIG_IGN)\nclass")
    done = subprocess.run(
        [sys.executable, "-c", ignoring], capture_output=True, cwd=ROOT, check=False
    )
    assert (done.returncode, done.stderr) == (0, b"")


def test_ctrl_c_that_became_another_error_on_its_way(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A package that is being loaded may say that it cannot be."""
    broken = ImportError("cannot load")
    broken.__context__ = KeyboardInterrupt()
    monkeypatch.setattr(cli._Commands, "get_command", lambda *_: _raising(broken))
    assert cli.run(["plan"]) == 130
    assert capsys.readouterr().err == "rigopt: stopped\n"


def _ending(folder: Path, left: list[str]) -> Callable[[int], NoReturn]:
    """An end at which nothing else is put away: what is in `folder` then is left there."""

    def ended(status: int) -> NoReturn:
        left.extend(path.name for path in folder.iterdir())
        raise SystemExit(status)

    return ended


TERMINATED = """
import signal, sys, weakref
class Slow:
    def find_spec(self, name, path=None, target=None):
        if name == "rigopt.cli.main":
            thing = Slow()
            end = weakref.finalize(thing, signal.raise_signal, signal.SIGTERM)
            del thing
sys.meta_path.insert(0, Slow())
from rigopt.__main__ import main
sys.argv = ["rigopt", "--version"]
main()
"""


def test_asked_to_end_where_an_exception_would_be_lost() -> None:
    done = subprocess.run(
        [sys.executable, "-c", TERMINATED], capture_output=True, cwd=ROOT, check=False
    )
    assert (done.returncode, done.stdout, done.stderr) == (143, b"", b"")


def test_ctrl_c_where_an_exception_would_be_lost() -> None:
    """Later too, where a command is being loaded."""
    lost = TERMINATED.replace("SIGTERM", "SIGINT").replace("cli.main", "cli.plan")
    heard = lost.replace("--version", 'plan", "--help').replace(
        "class", "signal.signal(signal.SIGINT, signal.default_int_handler)\nclass"
    )
    done = subprocess.run(
        [sys.executable, "-c", heard], capture_output=True, cwd=ROOT, check=False
    )
    assert (done.returncode, done.stdout, done.stderr) == (130, b"", b"rigopt: stopped\n")


def test_asked_to_end_while_it_copies_it_leaves_no_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    left: list[str] = []
    monkeypatch.setattr(os, "_exit", _ending(tmp_path, left))
    monkeypatch.setattr(Path, "rename", lambda *_: signal.raise_signal(signal.SIGTERM))
    before = signal.signal(signal.SIGTERM, leaving.ended)
    try:
        with pytest.raises(SystemExit, match="143"):
            cli.run(["new", str(tmp_path / "shop")])
    finally:
        signal.signal(signal.SIGTERM, before)
    assert (left, [*tmp_path.iterdir()]) == ([], [])


def test_asked_to_end_while_it_writes_it_leaves_no_half_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    left: list[str] = []
    monkeypatch.setattr(os, "_exit", _ending(tmp_path, left))
    target = tmp_path / "list.csv"
    target.write_text("old", "utf-8")
    monkeypatch.setattr(os, "fsync", lambda _: signal.raise_signal(signal.SIGTERM))
    before = signal.signal(signal.SIGTERM, leaving.ended)
    try:
        with pytest.raises(SystemExit, match="143"):
            write_all([(str(target), "new")])
    finally:
        signal.signal(signal.SIGTERM, before)
    assert left == [path.name for path in tmp_path.iterdir()] == ["list.csv"]
    assert target.read_text("utf-8") == "old"
