import errno
import io
import os
import stat
import sys
import threading
from pathlib import Path

import pytest

from rigopt.output import files
from rigopt.output.files import CannotWriteError, check_targets, write_all


def test_a_new_file_and_a_replaced_one(tmp_path: Path) -> None:
    target = tmp_path / "out.txt"
    write_all([(str(target), "one\r\n–\n")])
    assert target.read_bytes() == "one\r\n–\n".encode()
    write_all([(str(target), "two")])
    assert target.read_text() == "two"
    assert list(tmp_path.iterdir()) == [target]


def test_permissions_are_those_of_any_new_file_or_stay(tmp_path: Path) -> None:
    plain, target = tmp_path / "plain", tmp_path / "out"
    plain.write_text("")
    write_all([(str(target), "x")])
    assert target.stat().st_mode == plain.stat().st_mode
    target.chmod(0o640)
    write_all([(str(target), "y")])
    assert stat.S_IMODE(target.stat().st_mode) == 0o640


def test_a_link_to_a_file_stays_a_link(tmp_path: Path) -> None:
    real, link = tmp_path / "real", tmp_path / "link"
    real.write_text("old")
    link.symlink_to(real)
    write_all([(str(link), "new")])
    assert link.is_symlink()
    assert real.read_text() == "new"


@pytest.mark.parametrize("target", ["-", "/dev/stdout"])
def test_standard_output(target: str, capsys: pytest.CaptureFixture[str]) -> None:
    write_all([(target, "text")])
    assert capsys.readouterr().out == "text"


def test_standard_output_closed_full_or_without_a_reader(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(sys, "stdout", None)
    with pytest.raises(CannotWriteError, match="closed"):
        write_all([("-", "x")])

    class Full(io.StringIO):
        def flush(self) -> None:
            raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(sys, "stdout", Full())
    with pytest.raises(CannotWriteError, match="standard output: the disk is full"):
        write_all([("-", "x")])

    class Gone(io.StringIO):
        def write(self, _text: str) -> int:
            raise BrokenPipeError

    monkeypatch.setattr(sys, "stdout", Gone())
    with pytest.raises(BrokenPipeError):
        write_all([("-", "x")])


def test_a_full_disk(tmp_path: Path) -> None:
    other = tmp_path / "other"
    with pytest.raises(CannotWriteError, match="cannot write /dev/full: the disk is full"):
        write_all([(str(other), "x"), ("/dev/full", "x" * 100_000)])
    assert list(tmp_path.iterdir()) == []
    assert stat.S_ISCHR(os.stat("/dev/full").st_mode)


def test_a_device_is_written_to_and_not_replaced() -> None:
    write_all([("/dev/null", "x")])
    assert stat.S_ISCHR(os.stat("/dev/null").st_mode)


@pytest.mark.parametrize("step", ["replace", "fsync", "chmod"])
def test_a_failure_on_the_way_leaves_the_old_file(
    step: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "out"
    target.write_text("old")

    def fail(*_args: object) -> None:
        raise OSError(5, "Input/output error")

    monkeypatch.setattr(files.os, step, fail)
    with pytest.raises(CannotWriteError, match="Input/output error"):
        write_all([(str(target), "new")])
    assert target.read_text() == "old"
    assert list(tmp_path.iterdir()) == [target]


def test_an_interruption_leaves_the_old_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "out"
    target.write_text("old")

    def interrupt(*_args: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(files.os, "fsync", interrupt)
    with pytest.raises(KeyboardInterrupt):
        write_all([(str(target), "new")])
    assert target.read_text() == "old"
    assert list(tmp_path.iterdir()) == [target]


def test_of_several_files_all_or_none_are_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    first, second = tmp_path / "a", tmp_path / "none" / "b"
    with pytest.raises(CannotWriteError, match="folder does not exist"):
        write_all([(str(first), "x"), (str(second), "y"), ("-", "z")])
    assert list(tmp_path.iterdir()) == []
    assert capsys.readouterr().out == ""
    write_all([("-", "z"), (str(first), "x")])
    assert first.read_text() == "x"
    assert capsys.readouterr().out == "z"


@pytest.mark.parametrize(
    ("name", "why"),
    [
        ("none/out", "its folder does not exist"),
        ("file/out", "its folder is a file"),
        ("folder", "it is a folder"),
        ("x" * 300, "the name is too long"),
    ],
)
def test_a_target_that_cannot_be(name: str, why: str, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    (tmp_path / "folder").mkdir()
    target = str(tmp_path / name)
    with pytest.raises(CannotWriteError) as caught:
        write_all([(target, "x")])
    assert str(caught.value) == f"cannot write {target}: {why}"
    assert (tmp_path / "file").read_text() == ""


@pytest.mark.parametrize("denied", ["folder", "file"])
def test_without_permission(
    denied: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Asked of the system rather than set up, as nothing is denied to an administrator."""
    target = tmp_path / "out"
    target.write_text("old")
    refused = str(tmp_path if denied == "folder" else target)
    monkeypatch.setattr(files.os, "access", lambda path, _mode: path != refused)
    with pytest.raises(CannotWriteError, match="no permission"):
        write_all([(str(target), "new")])
    assert target.read_text() == "old"


def test_targets_are_checked_beforehand(tmp_path: Path) -> None:
    source = tmp_path / "needs.toml"
    source.write_text("")
    out = str(tmp_path / "out")
    check_targets({"--json": out, "--shopping-list": "-", "--page": None}, [source])
    check_targets({"--json": "/dev/null"})
    for pair, why in (
        (("-", "-"), "--shopping-list would overwrite the output of --json"),
        (("-", "/dev/stdout"), "--shopping-list would overwrite the output of --json"),
        ((out, f"{tmp_path}/./out"), "--shopping-list would overwrite the output of --json"),
        ((str(source), None), "--json would overwrite an input file"),
        ((str(tmp_path), None), "it is a folder"),
        (("", None), "it is a folder"),
    ):
        with pytest.raises(CannotWriteError, match=why):
            check_targets(dict(zip(("--json", "--shopping-list"), pair, strict=True)), [source])
    assert list(tmp_path.iterdir()) == [source]


def test_a_name_that_ends_as_a_folder_does_is_no_file(tmp_path: Path) -> None:
    target = f"{tmp_path}/none/"
    with pytest.raises(CannotWriteError, match="it is a folder"):
        check_targets({"--json": target})
    with pytest.raises(CannotWriteError, match="it is a folder"):
        write_all([(target, "x")])
    assert list(tmp_path.iterdir()) == []


def test_standard_output_is_no_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    write_all([("-", "text")])
    assert list(tmp_path.iterdir()) == []


def test_an_error_without_a_number_is_told_in_its_words() -> None:
    assert str(files.cannot("out", OSError("odd"))) == "cannot write out: odd"
    assert str(files.cannot("out", OSError(errno.EIO, "bad"))) == "cannot write out: bad"
    told = str(files.cannot("out", OSError(errno.ENOSPC, "x")))
    assert told == "cannot write out: the disk is full"


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
def test_a_pipe_needs_no_leave_to_write_in_its_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No new file stands beside it, as none does beside a device."""
    pipe, file = tmp_path / "pipe", tmp_path / "file"
    os.mkfifo(pipe)
    monkeypatch.setattr("os.access", lambda path, _: Path(path) == pipe)
    check_targets({"--json": str(pipe)})
    with pytest.raises(CannotWriteError, match="permission"):
        check_targets({"--json": str(file)})


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
def test_a_pipe_waits_for_a_reader_that_is_slow(tmp_path: Path) -> None:
    """Nothing is read before the pipe is full."""
    fcntl, termios = pytest.importorskip("fcntl"), pytest.importorskip("termios")
    target = tmp_path / "pipe"
    os.mkfifo(target)
    with pytest.raises(CannotWriteError, match="nobody reads from this pipe"):
        write_all([(str(target), "x")])
    handle = os.open(target, os.O_RDONLY | os.O_NONBLOCK)
    os.set_blocking(handle, True)
    text, got = "x" * 300_000, []

    def read() -> None:
        waiting = bytearray(4)
        while int.from_bytes(waiting, sys.byteorder) < 60_000:
            fcntl.ioctl(handle, termios.FIONREAD, waiting)
        while part := os.read(handle, 65_536):
            got.append(part)

    reader = threading.Thread(target=read, daemon=True)
    reader.start()
    write_all([(str(target), text)])
    reader.join(60)
    os.close(handle)
    assert b"".join(got).decode() == text
