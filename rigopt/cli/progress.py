"""What a long search tells while it runs: a line on the terminal; and Ctrl-C.

The line goes to standard error, only where that is a terminal, only after a second, and is
taken away before anything else is printed.

The first Ctrl-C asks the search to stop, so that its best answer so far can be shown; where
there is nothing to show yet and no solver at work, it ends the program. A second one always
does, at once: it is left to the operating system.
"""

from __future__ import annotations

import os
import signal
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType
from typing import Final, TextIO

from rigopt.cli import leaving
from rigopt.money import to_text
from rigopt.optimiser.solver.watch import Watch

QUIET_S: Final = 1.0
"""Seconds without a word; most questions are answered by then."""

REFRESH_S: Final = 0.2

STOPPING: Final = "rigopt: stopping; Ctrl-C again to leave at once"


@contextmanager
def watching(currency: str = "") -> Iterator[Watch]:
    """A watch that shows itself on the terminal and hears Ctrl-C."""
    watch = Watch(currency)
    with _hearing(watch), _showing(watch, sys.stderr):
        yield watch


def line(watch: Watch, seconds: float) -> str:
    """All that is known, on one line of plain characters."""
    parts = [watch.about] if watch.about else []
    least = watch.bound
    if watch.best is None:
        parts.append("no rig yet")
    else:
        parts.append(f"best {to_text(watch.best, watch.currency)} {watch.currency}")
        least = None if least is None else min(least, watch.best)
    if least:
        parts.append(f"none under {to_text(least, watch.currency)}")
    return f"rigopt: {', '.join(parts)}, {seconds:.0f} s"


@contextmanager
def _hearing(watch: Watch) -> Iterator[None]:
    """Handle Ctrl-C, unless it is ignored or handled already; only in the main thread."""
    before = signal.getsignal(signal.SIGINT)
    main = threading.current_thread() is threading.main_thread()
    if before not in (signal.default_int_handler, leaving.stopped) or not main:
        yield
        return

    def interrupted(number: int, frame: FrameType | None) -> None:
        signal.signal(signal.SIGINT, signal.SIG_DFL)
        watch.stopped = True
        # Where a package is being loaded this may be lost, but the search then stops soon.
        if not (watch.busy or watch.kept):
            signal.default_int_handler(number, frame)

    signal.signal(signal.SIGINT, interrupted)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


@contextmanager
def _showing(watch: Watch, stream: TextIO | None) -> Iterator[None]:
    """Keep the line up to date in a second thread; nothing where no terminal is."""
    if stream is None or not stream.isatty():
        yield
        return
    ended = threading.Event()
    thread = threading.Thread(target=_keep_showing, args=(watch, stream, ended), daemon=True)
    thread.start()
    try:
        yield
    finally:
        ended.set()
        thread.join()


def _keep_showing(watch: Watch, stream: TextIO, ended: threading.Event) -> None:
    started = time.monotonic()
    shown = ""
    ended.wait(QUIET_S)
    while not ended.is_set():
        if watch.stopped:
            stream.write(f"\r{STOPPING.ljust(len(shown))}\n")
            stream.flush()
            return
        text = line(watch, time.monotonic() - started)[: _columns(stream) - 1]
        stream.write(f"\r{text.ljust(len(shown))}")
        stream.flush()
        shown = text
        ended.wait(REFRESH_S)
    if shown:
        stream.write(f"\r{' ' * len(shown)}\r")
        stream.flush()


def _columns(stream: TextIO) -> int:
    """Columns of the terminal; 80 where it does not say."""
    try:
        return os.get_terminal_size(stream.fileno()).columns or 80
    except OSError:
        return 80
