"""Places without a home, a locale, a terminal, a working folder, or room to write anything."""

from __future__ import annotations

import shutil
import subprocess
import sys
import tomllib
from collections.abc import Callable, Sequence
from functools import partial
from itertools import count
from pathlib import Path
from types import FrameType
from typing import Any

import pytest

from rigopt.cli import new
from rigopt.cli.main import run
from rigopt.output import files

ROOT = Path(__file__).parents[2]
ASKED = ("plan", "--mic", "16")


PROGRAM = ("-m", "rigopt")


def started(
    cwd: Path, args: Sequence[str], code: Sequence[str] = PROGRAM, **env: str
) -> subprocess.CompletedProcess[bytes]:
    """The program with nothing in its environment but `env`, and nobody at its input."""
    return subprocess.run(
        [sys.executable, *code, *args],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        cwd=cwd,
        env={"PYTHONPATH": str(ROOT), **env},
        check=False,
    )


@pytest.fixture
def unpacked(tmp_path: Path) -> Path:
    """The tree as a wheel lays it out, on a path with spaces and umlauts."""
    if not (ROOT / "rigopt").is_dir():
        pytest.skip("the tree is not here: these tests run from a wheel")
    site = tmp_path / "spaß mit tönen" / "site packages"
    leave = shutil.ignore_patterns("__pycache__")
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
    wheel = project["tool"]["hatch"]["build"]["targets"]["wheel"]
    places = {name: name for name in wheel["packages"]} | wheel["force-include"]
    for there, here in places.items():
        shutil.copytree(ROOT / there, site / here, ignore=leave)
    return site


BARE = {"HOME": "/nonexistent", "TMPDIR": "/nonexistent", "LC_ALL": "C"}


def test_an_answer_from_a_wheel_in_a_bare_place(
    unpacked: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    room = unpacked.parent / "büro eins"
    room.mkdir()
    bare = {**BARE, "PYTHONPATH": str(unpacked)}
    put = started(room, ("new", "läden"), **bare)
    assert (put.returncode, put.stderr) == (0, b"")
    assert "rigopt plan --catalog 'läden'" in put.stdout.decode()
    outputs = ("--page", "bühne.html", "--json", "bühne.json")
    told = started(room, (*ASKED, *outputs), **bare)
    assert (told.returncode, told.stderr) == (0, b"")
    assert run(ASKED) == 0
    assert told.stdout.decode() == capsys.readouterr().out
    assert {file.name for file in room.iterdir()} == {"läden", "bühne.html", "bühne.json"}
    assert {file.name for file in unpacked.iterdir()} == {"rigopt"}


def test_without_any_environment(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    told = started(tmp_path, ("about", "rules"))
    assert run(["about", "rules"]) == 0
    assert (told.returncode, told.stderr) == (0, b"")
    assert told.stdout.decode() == capsys.readouterr().out


READ_ONLY = """
import errno, os, sys
def refuse(event, args):
    writes = event == "open" and args[2] & (os.O_WRONLY | os.O_RDWR | os.O_CREAT)
    if writes or event in ("os.mkdir", "os.rename", "os.link", "os.symlink"):
        raise OSError(errno.EROFS, "Read-only file system")
sys.addaudithook(refuse)
from rigopt.__main__ import main
main()
"""
"""The program where a disk that can only be read is all there is."""


@pytest.mark.parametrize("args", [ASKED, ("curve", "--to", "12")], ids=["plan", "chart"])
def test_where_nothing_can_be_written_the_answer_is_printed(
    args: tuple[str, ...], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    args = (*args, "--page", "-")
    told = started(tmp_path, args, ("-c", READ_ONLY), **BARE)
    assert run(args) == 0
    assert told.returncode == 0
    assert told.stdout.decode() == capsys.readouterr().out


@pytest.mark.parametrize(
    ("args", "target"), [((*ASKED, "--json", "a.json"), "a.json"), (("new", "shop"), "shop")]
)
def test_where_nothing_can_be_written_a_file_is_refused(
    args: tuple[str, ...], target: str, tmp_path: Path
) -> None:
    told = started(tmp_path, args, ("-c", READ_ONLY))
    assert told.returncode == 2
    assert f"cannot write {target}: the disk can only be read" in told.stderr.decode()
    assert list(tmp_path.iterdir()) == []


# --- a working folder that was removed ------------------------------------------------------


@pytest.fixture
def gone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = tmp_path / "gone"
    folder.mkdir()
    monkeypatch.chdir(folder)
    folder.rmdir()


@pytest.mark.usefixtures("gone")
@pytest.mark.parametrize(
    ("args", "said"),
    [
        (("plan", "needs.toml"), "needs.toml: there is no such file"),
        (("plan", "--mic", "3", "--catalog", "shop"), "shop: there is no such folder"),
        (("list", "--catalog", "."), "is no catalogue"),
        (("audit", "rig.json"), "rig.json: there is no such file"),
        (("audit", "."), "is a folder, not a file"),
        (("plan", "--mic", "3", "--sources", "s.csv"), "s.csv: there is no such file"),
        (("plan", "--mic", "3", "--json", "a.json"), "a.json: its folder does not exist"),
        (("new", "shop"), "cannot write shop: its folder does not exist"),
        (("new", "shop.xlsx"), "cannot write shop.xlsx: its folder does not exist"),
        (("add", "--catalog", "shop"), "shop: there is no such folder"),
    ],
)
def test_a_file_in_a_folder_that_was_removed(
    args: tuple[str, ...], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(args) == 2
    assert said in capsys.readouterr().err


@pytest.mark.usefixtures("gone")
def test_an_answer_needs_no_working_folder(capsys: pytest.CaptureFixture[str]) -> None:
    assert run([*ASKED, "--json", "-"]) == 0
    assert capsys.readouterr().out.startswith("{")


# --- an end at any moment -------------------------------------------------------------------


def ended_at(line: int, file: str, work: Callable[[], object]) -> bool:
    """Do `work` and end it, as a signal does, before the line so many of `file` that it runs.

    Whether it came that far.
    """
    passed = count()

    def look(frame: FrameType, event: str, _: Any) -> Any:
        if frame.f_code.co_filename != file:
            return None
        if event == "line" and next(passed) == line:
            raise SystemExit(143)
        return look

    before = sys.gettrace()
    sys.settrace(look)
    try:
        work()
    except SystemExit:
        return True
    finally:
        sys.settrace(before)
    return False


@pytest.mark.filterwarnings("ignore::ResourceWarning")  # A process that ends closes its files.
def test_files_are_whole_or_as_they_were_whenever_it_ends(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("os.fsync", lambda _: None)
    targets = [tmp_path / "a.json", tmp_path / "b.json"]
    for line in count():
        for target in targets:
            target.write_text("old", "utf-8")
        texts = [(str(target), "new") for target in targets]
        ended = ended_at(line, files.__file__, partial(files.write_all, texts))
        assert sorted(tmp_path.iterdir()) == targets, line
        assert {target.read_text("utf-8") for target in targets} <= {"old", "new"}
        if not ended:
            break
    assert line > 20


def test_a_new_catalogue_is_whole_or_not_there_whenever_it_ends(tmp_path: Path) -> None:
    source, folder = tmp_path / "source", tmp_path / "shop"
    source.mkdir()
    (source / "a").write_text("x", "utf-8")
    for line in count():
        ended = ended_at(line, new.__file__, partial(new._copy, source, folder))
        assert sorted(file.name for file in tmp_path.iterdir()) in (
            ["source"],
            ["shop", "source"],
        ), line
        if folder.exists():
            assert len(list(folder.iterdir())) == 2
            shutil.rmtree(folder)
        if not ended:
            break
    assert line > 5
