"""Places where an answer cannot be written: told plainly, and nothing there is harmed."""

from __future__ import annotations

import os
import shutil
import stat
import subprocess
import sys
import threading
from collections.abc import Callable
from pathlib import Path

import pytest

from rigopt.output.files import CannotWriteError, write_all
from tests.hostile import attack

pytestmark = pytest.mark.full

ROOT = Path(__file__).parents[2]
OPTIONS = ("--json", "--shopping-list")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return attack.write(tmp_path / "c")


def answer(folder: Path, option: str, target: object) -> attack.Said:
    return attack.plan(folder, "--mic", 16, option, target, seconds=30)


def _file_as_folder(room: Path) -> Path:
    (room / "file").write_text("kept")
    return room / "file" / "out"


def _loop_as_folder(room: Path) -> Path:
    (room / "loop").symlink_to("loop")
    return room / "loop" / "out"


PLACES: dict[str, tuple[Callable[[Path], object], str]] = {
    "a file for a folder": (_file_as_folder, "its folder is a file"),
    "a loop for a folder": (_loop_as_folder, "cannot write"),
    "no folder": (lambda room: room / "none" / "out", "its folder does not exist"),
    "a folder": (lambda room: room, "it is a folder"),
    "a long name": (lambda room: room / ("x" * 300), "the name is too long"),
    "a full device": (lambda _: "/dev/full", "the disk is full"),
    "proc": (lambda _: "/proc/rigopt.json", "cannot write"),
    "sys": (lambda _: "/sys/rigopt.json", "cannot write"),
    "nothing": (lambda _: "", "it is a folder"),
}


@pytest.mark.parametrize("option", OPTIONS)
@pytest.mark.parametrize("place", PLACES)
def test_an_output_that_cannot_be_written(
    place: str, option: str, folder: Path, tmp_path: Path
) -> None:
    put, why = PLACES[place]
    target = put(tmp_path)
    before = attack.snapshot(tmp_path)
    said = answer(folder, option, target)
    assert said.status == 2
    assert why in said.err
    assert attack.snapshot(tmp_path) == before


@pytest.mark.parametrize("option", OPTIONS)
def test_a_pipe_that_nobody_reads_is_told_at_once(
    option: str, folder: Path, tmp_path: Path
) -> None:
    os.mkfifo(tmp_path / "pipe")
    said = answer(folder, option, tmp_path / "pipe")
    assert said.status == 2
    assert "nobody reads from this pipe" in said.err
    assert stat.S_ISFIFO((tmp_path / "pipe").stat().st_mode)


def test_a_pipe_with_a_reader_gets_everything(tmp_path: Path) -> None:
    pipe, got, text = tmp_path / "pipe", [], "x" * 300_000  # more than a pipe holds
    os.mkfifo(pipe)
    reading = os.open(pipe, os.O_RDONLY | os.O_NONBLOCK)
    os.set_blocking(reading, True)
    reader = threading.Thread(target=lambda: got.append(_drain(reading)))
    reader.start()
    write_all([(str(pipe), text)])
    reader.join(30)
    assert got == [text.encode()]


def _drain(handle: int) -> bytes:
    """As much as the test writes; a read before there is a writer gives nothing."""
    with open(handle, "rb", buffering=0) as pipe:
        data = b""
        while not data or (data[-1:] != b"" and len(data) < 300_000):
            data += pipe.read(65536) or b""
        return data


@pytest.mark.parametrize("name", sorted(attack.FOLDER))
@pytest.mark.parametrize("detour", ["", "link", "dots"])
def test_no_input_is_overwritten(name: str, detour: str, folder: Path, tmp_path: Path) -> None:
    target = folder / name
    if detour == "link":
        (tmp_path / "link").symlink_to(target)
        target = tmp_path / "link"
    elif detour == "dots":
        target = folder / ".." / "c" / name
    said = answer(folder, "--json", target)
    assert said.status == 2
    assert "would overwrite an input file" in said.err
    assert (folder / name).read_text() == attack.FOLDER[name]


def test_one_bad_output_keeps_the_others_from_being_written(
    folder: Path, tmp_path: Path
) -> None:
    good, bad = tmp_path / "good.json", tmp_path / "none" / "list.csv"
    good.write_text("old")
    said = attack.plan(folder, "--mic", 16, "--json", good, "--shopping-list", bad)
    assert said.status == 2
    assert good.read_text() == "old"
    # A device cannot be undone, so a file that goes with it must wait for it.
    said = attack.plan(folder, "--mic", 16, "--json", good, "--shopping-list", "/dev/full")
    assert said.status == 2
    assert good.read_text() == "old"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["c", "good.json"]


LIMITED = """
import resource, signal, sys
resource.setrlimit(resource.RLIMIT_FSIZE, (200, 200))
from rigopt.cli.main import main
main(sys.argv[1:])
"""


def test_a_file_that_may_not_grow(folder: Path, tmp_path: Path) -> None:
    # As on a disk that fills up half-way: the old file stays, and no part of the new one.
    target = tmp_path / "rig.json"
    target.write_text("old")
    done = subprocess.run(
        [
            sys.executable,
            "-B",
            "-c",
            LIMITED,
            "plan",
            "--catalog",
            str(folder),
            "--mic",
            "16",
            "--json",
            str(target),
        ],
        capture_output=True,
        cwd=ROOT,
        timeout=60,
        check=False,
        text=True,
    )
    assert (done.returncode, done.stdout) == (2, "")
    assert "cannot write" in done.stderr
    assert "Traceback" not in done.stderr
    assert target.read_text() == "old"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["c", "rig.json"]


def test_a_disk_that_is_full(folder: Path, tmp_path: Path) -> None:
    if os.geteuid() != 0 or shutil.which("unshare") is None:
        pytest.skip("only an administrator may mount a small disk")
    script = (
        f"mount -t tmpfs -o size=8k none {tmp_path}/disk && cd {tmp_path}/disk || exit 77\n"
        "echo old > rig.json; echo x > filler\n"
        f"{sys.executable} -m rigopt plan --catalog {folder} --mic 16 --json rig.json\n"
        "echo status $?; cat rig.json; ls -A"
    )
    (tmp_path / "disk").mkdir()
    done = subprocess.run(
        ["unshare", "-m", "sh", "-c", script],
        capture_output=True,
        text=True,
        timeout=60,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        check=False,
    )
    if done.returncode in (1, 77) and "status" not in done.stdout:
        pytest.skip("this machine does not let us mount a small disk")
    assert done.stdout.splitlines() == ["status 2", "old", "filler", "rig.json"]
    assert "the disk is full" in done.stderr


def test_files_are_all_there_or_none(tmp_path: Path) -> None:
    first, second = tmp_path / "a", tmp_path / "b"
    for path in (first, second):
        path.write_text("old")
    with pytest.raises(CannotWriteError):
        write_all([(str(first), "new"), (str(second), "new"), ("/dev/full", "x" * 9000)])
    assert {path.read_text() for path in (first, second)} == {"old"}
    assert len(list(tmp_path.iterdir())) == 2


def mark(path: Path) -> tuple[int, int, int, int]:
    """What tells a thing on the disk from another that took its place."""
    found = os.lstat(path)
    return found.st_ino, found.st_mode, found.st_size, found.st_mtime_ns


@pytest.mark.parametrize("template", ["usb-desk", "full-rack"])
@pytest.mark.parametrize("there", ["file", "folder", "loop", "link to nothing", "pipe"])
def test_new_overwrites_nothing(there: str, template: str, tmp_path: Path) -> None:
    target = tmp_path / "mine"
    ways: dict[str, Callable[[], object]] = {
        "file": lambda: target.write_text("kept"),
        "folder": target.mkdir,
        "loop": lambda: target.symlink_to("mine"),
        "link to nothing": lambda: target.symlink_to("none"),
        "pipe": lambda: os.mkfifo(target),
    }
    ways[there]()
    before = mark(target)
    said = attack.rigopt("new", target, "--template", template)
    assert said.status == 2
    assert "it is there already" in said.err
    assert mark(target) == before
    assert [path.name for path in tmp_path.iterdir()] == ["mine"]


@pytest.mark.parametrize("place", ["/proc/mine", "/sys/mine", "/dev/null/mine"])
def test_new_where_nothing_can_be_made(place: str) -> None:
    said = attack.rigopt("new", place)
    assert said.status == 2
    assert said.err.startswith("rigopt: cannot write")
