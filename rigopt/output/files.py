"""Outputs written whole or not at all, several together if several are asked for.

A file is written beside its target, brought to the disk and only then given the name, so
that a reader sees the old text or the new one and never half of it.
"""

from __future__ import annotations

import contextlib
import errno
import os
import shutil
import stat
import sys
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Final

from rigopt.errors import RigoptError

_STANDARD_OUTPUT: Final = ("-", "/dev/stdout", "/dev/fd/1")

_PASSING: Final[list[str]] = []
"""Names under which something may be on the disk that is not to stay there."""

_PLAIN_WORDS: Final[dict[int | None, str]] = {
    errno.ENOENT: "its folder does not exist",
    errno.ENOTDIR: "its folder is a file",
    errno.EACCES: "there is no permission to write there",
    errno.EPERM: "there is no permission to write there",
    errno.EROFS: "the disk can only be read",
    errno.EISDIR: "it is a folder",
    errno.ENOSPC: "the disk is full",
    errno.ENAMETOOLONG: "the name is too long",
    errno.ENXIO: "nobody reads from this pipe",
}


class CannotWriteError(RigoptError):
    """An output that cannot be written; what stood there before is as it was."""

    def __init__(self, target: str, why: str) -> None:
        super().__init__(target, why)
        self.target, self.why = target, why

    def __str__(self) -> str:
        return f"cannot write {self.target}: {self.why}"


def is_standard_output(target: str | None) -> bool:
    """Whether `target` stands for standard output."""
    return target in _STANDARD_OUTPUT


def check_targets(targets: Mapping[str, str | None], inputs: Iterable[Path] = ()) -> None:
    """See before any long work that the outputs can be written; keys are option names.

    Raises:
        CannotWriteError: When two options name one target, a target is one of the `inputs`,
            is a folder, has no folder, or may not be written.
    """
    taken: dict[str, str] = {_real(path): "an input file" for path in inputs}
    for option, target in targets.items():
        if target is None:
            continue
        place = "-" if is_standard_output(target) else _real(target)
        if place in taken:
            raise CannotWriteError(target, f"{option} would overwrite {taken[place]}")
        taken[place] = f"the output of {option}"
        if place != "-":
            _check_place(target)


def write_all(texts: Sequence[tuple[str, str]]) -> None:
    """Write each (target, text); no file gets its name before all are on the disk.

    Standard output comes last.

    Raises:
        CannotWriteError: When one fails.
    """
    files = [(t, text) for t, text in texts if not is_standard_output(t)]
    streams = [target for target, _ in files if _is_stream(target)]
    for target, text in files:
        if target in streams:
            _write_stream(target, text)
    write_data([(t, text.encode("utf-8")) for t, text in files if t not in streams])
    for target, text in texts:
        if is_standard_output(target):
            _print(text)


def write_data(files: Iterable[tuple[str, bytes]]) -> None:
    """Write each (target, data); no file gets its name before all are on the disk.

    Raises:
        CannotWriteError: When one fails.
    """
    ready: list[tuple[str, str]] = []
    try:
        for target, data in files:
            _prepare(target, data, ready)
        for target, temporary in ready:
            _give_name(target, temporary)
    finally:
        for _, temporary in ready:
            gone(temporary)


def _real(path: str | Path) -> str:
    """Where a path leads; as it stands where the working folder was removed."""
    try:
        return os.path.realpath(path)
    except FileNotFoundError:
        return os.fspath(path)


def _check_place(target: str) -> None:
    place = _real(target)
    folder = os.path.dirname(place)
    if os.path.isdir(place) or target.endswith((os.sep, os.altsep or os.sep)):
        raise CannotWriteError(target, _PLAIN_WORDS[errno.EISDIR])
    if _is_stream(target):
        return
    if not os.path.isdir(folder):
        code = errno.ENOTDIR if os.path.exists(folder) else errno.ENOENT
        raise CannotWriteError(target, _PLAIN_WORDS[code])
    if not os.access(folder, os.W_OK) or (
        os.path.exists(place) and not os.access(place, os.W_OK)
    ):
        raise CannotWriteError(target, _PLAIN_WORDS[errno.EACCES])


def _is_stream(target: str) -> bool:
    """Whether it is a device or a pipe: nothing that another file could take the place of."""
    try:
        mode = os.stat(target).st_mode
    except OSError:
        return False
    return not stat.S_ISREG(mode) and not stat.S_ISDIR(mode)


def _write_stream(target: str, text: str) -> None:
    try:
        with open(target, "w", encoding="utf-8", newline="", opener=_at_once) as out:
            out.write(text)
    except OSError as error:
        raise cannot(target, error) from error


def _at_once(target: str, flags: int) -> int:
    """Open at once or not at all: a pipe without a reader would wait for ever."""
    handle = os.open(target, flags | os.O_NONBLOCK)
    os.set_blocking(handle, True)
    return handle


def _prepare(target: str, data: bytes, ready: list[tuple[str, str]]) -> None:
    """Bring `data` to the disk under a passing name beside `target`; note it in `ready`."""
    _check_place(target)
    place = _real(target)
    try:
        temporary = passing_name(os.path.dirname(place))
        # Before it is there: a signal may come at any moment, and nothing must stay behind.
        ready.append((target, temporary))
        with open(temporary, "xb", opener=_private) as out:
            out.write(data)
            out.flush()
            os.fsync(out.fileno())
        os.chmod(temporary, _mode(place))
    except OSError as error:
        raise cannot(target, error) from error


def passing_name(folder: str) -> str:
    """A name in `folder` that nothing has; what is written under it will be `gone` some day."""
    name = os.path.join(folder, f".rigopt-{os.urandom(8).hex()}")
    _PASSING.append(name)
    return name


def gone(name: str) -> None:
    """Take away what has a passing name, a file or a folder, if it is still there."""
    with contextlib.suppress(FileNotFoundError):
        if os.path.isdir(name):
            shutil.rmtree(name, ignore_errors=True)
        else:
            os.unlink(name)
    if name in _PASSING:
        _PASSING.remove(name)


def put_away() -> None:
    """Take away all that has a passing name only: the program is asked to end."""
    while _PASSING:
        with contextlib.suppress(OSError):
            gone(_PASSING.pop())


def _private(path: str, flags: int) -> int:
    return os.open(path, flags, 0o600)


def _mode(place: str) -> int:
    """The permissions of the file that is replaced, or what a new file would get."""
    with contextlib.suppress(OSError):
        return stat.S_IMODE(os.stat(place).st_mode)
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask


def _give_name(target: str, temporary: str) -> None:
    try:
        os.replace(temporary, _real(target))
    except OSError as error:
        raise cannot(target, error) from error


def _print(text: str) -> None:
    if sys.stdout is None:
        raise CannotWriteError("standard output", "it is closed")
    try:
        sys.stdout.write(text)
        sys.stdout.flush()
    except BrokenPipeError:
        raise
    except OSError as error:
        raise cannot("standard output", error) from error


def cannot(target: str, error: OSError) -> CannotWriteError:
    """The same in plain words."""
    return CannotWriteError(target, _PLAIN_WORDS.get(error.errno, error.strerror or str(error)))
