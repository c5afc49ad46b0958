"""What is told of a long search, and what Ctrl-C leaves: in this process and from outside."""

from __future__ import annotations

import io
import os
import select
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from itertools import pairwise
from pathlib import Path

import pytest
from ortools.sat.python import cp_model

from rigopt.cli import progress
from rigopt.cli.progress import line, watching
from rigopt.needs.types import Needs
from rigopt.optimiser.questions.plan import solve
from rigopt.optimiser.solver.attended import attend, solve_attended
from rigopt.optimiser.solver.watch import Watch
from tests.choice_commands.shop import shop, write

POSIX = pytest.mark.skipif(
    not hasattr(os, "openpty"), reason="Windows has no pseudo-terminals and sends no SIGINT"
)
HERE = Path(__file__).parent
ROOT = HERE.parents[1]
PATIENCE_S = 60


# --- the watch -------------------------------------------------------------------------


def test_a_line_says_what_is_known() -> None:
    watch = Watch("GBP")
    assert line(watch, 1.4) == "rigopt: no rig yet, 1 s"
    watch.question("8 microphones", "JPY")
    watch.found(900)
    watch.found(1000)
    watch.bounded(400)
    watch.bounded(300)
    assert line(watch, 61.6) == "rigopt: 8 microphones, best 900 JPY, none under 400, 62 s"
    watch.bounded(5000)
    assert "none under 900" in line(watch, 1)
    watch.question("next", "GBP")
    watch.bounded(1)
    assert line(watch, 2) == "rigopt: next, no rig yet, none under 0.01, 2 s"
    watch.question("next", "GBP")
    assert line(watch, 2) == "rigopt: next, no rig yet, 2 s"
    assert watch.kept


def test_every_rig_found_is_told() -> None:
    watch = Watch()
    solve(shop(), Needs(mic=16), None, watch)
    assert watch.best == 50600
    assert watch.bound == 50600
    assert watch.kept
    assert not watch.busy


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(progress, "QUIET_S", 0.01)
    monkeypatch.setattr(progress, "REFRESH_S", 0.01)


def until(text: str, stream: io.StringIO) -> None:
    end = time.monotonic() + PATIENCE_S
    while text not in stream.getvalue():
        assert time.monotonic() < end, stream.getvalue()
        time.sleep(0.005)


@pytest.mark.usefixtures("quick")
def test_the_line_is_kept_up_to_date_and_taken_away(monkeypatch: pytest.MonkeyPatch) -> None:
    stream = Terminal()
    monkeypatch.setattr(sys, "stderr", stream)
    with watching("GBP") as watch:
        until("no rig yet", stream)
        watch.found(12345)
        until("best 123.45 GBP", stream)
    lines = stream.getvalue().split("\r")
    assert lines[-1] == ""
    assert lines[-2].strip() == ""
    assert len(lines[-2]) == len(lines[-3])
    assert "\n" not in stream.getvalue()


class Held(Terminal):
    """Shows nothing of a line before it is flushed."""

    def __init__(self) -> None:
        super().__init__()
        self.seen = ""

    def flush(self) -> None:
        self.seen = self.getvalue()


@pytest.mark.usefixtures("quick")
def test_a_line_is_seen_as_soon_as_it_is_written(monkeypatch: pytest.MonkeyPatch) -> None:
    stream = Held()
    monkeypatch.setattr(sys, "stderr", stream)
    with watching("GBP") as watch:
        until("no rig yet", stream)
        first = stream.getvalue()
        watch.found(12345)
        until("best 123.45 GBP", stream)
        assert stream.seen.startswith(first)
    assert stream.seen == stream.getvalue()


@pytest.mark.usefixtures("quick")
def test_a_line_does_not_wrap(monkeypatch: pytest.MonkeyPatch) -> None:
    stream = Terminal()
    monkeypatch.setattr(sys, "stderr", stream)
    with watching("GBP") as watch:
        watch.question("x" * 200, "GBP")
        until("x", stream)
    assert max(map(len, stream.getvalue().split("\r"))) == 79


@pytest.mark.usefixtures("quick")
def test_after_a_stop_it_says_how_to_leave(monkeypatch: pytest.MonkeyPatch) -> None:
    stream = Terminal()
    monkeypatch.setattr(sys, "stderr", stream)
    with watching("GBP") as watch:
        until("no rig yet", stream)
        watch.stopped = True
        until(progress.STOPPING, stream)
    assert stream.getvalue().endswith("\n")


def test_a_quick_answer_needs_no_line(monkeypatch: pytest.MonkeyPatch) -> None:
    stream = Terminal()
    monkeypatch.setattr(sys, "stderr", stream)
    with watching():
        pass
    assert stream.getvalue() == ""


@pytest.mark.usefixtures("quick")
@pytest.mark.parametrize("stream", [io.StringIO(), None])
def test_where_there_is_no_terminal_nothing_is_said(
    stream: io.StringIO | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = threading.active_count()
    monkeypatch.setattr(sys, "stderr", stream)
    with watching():
        assert threading.active_count() == before
    assert stream is None or stream.getvalue() == ""


# --- Ctrl-C, in this process -----------------------------------------------------------


@pytest.fixture(autouse=True)
def heard() -> Iterator[None]:
    """Ctrl-C as in a terminal, though a shell makes background jobs ignore it."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


def interrupt() -> None:
    os.kill(os.getpid(), signal.SIGINT)


@POSIX
def test_with_nothing_to_lose_it_ends_the_program() -> None:
    with pytest.raises(KeyboardInterrupt), watching():
        interrupt()
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler


class Lost:
    """Where an exception goes unheard, as in what Python does between two modules."""

    def __del__(self) -> None:
        interrupt()


@POSIX
@pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning")
def test_where_the_exception_is_lost_the_search_still_ends() -> None:
    with watching() as watch:
        thing = Lost()
        del thing
        assert watch.stopped


@POSIX
@pytest.mark.parametrize("state", ["busy", "kept"])
def test_with_something_to_lose_it_asks_for_an_end(state: str) -> None:
    with watching() as watch:
        setattr(watch, state, True)
        interrupt()
        assert watch.stopped
        assert signal.getsignal(signal.SIGINT) is signal.SIG_DFL
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler


def test_who_ignores_it_is_left_alone() -> None:
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        with watching():
            assert signal.getsignal(signal.SIGINT) is signal.SIG_IGN
    finally:
        signal.signal(signal.SIGINT, before)


def test_outside_the_main_thread_there_is_no_signal_to_hear() -> None:
    seen: list[object] = []

    def work() -> None:
        with watching():
            seen.append(signal.getsignal(signal.SIGINT))

    thread = threading.Thread(target=work)
    thread.start()
    thread.join()
    assert seen == [signal.default_int_handler]


def hard() -> cp_model.CpModel:
    """A Golomb ruler that no solver proves soon, though it finds some at once."""
    model = cp_model.CpModel()
    marks = [model.new_int_var(0, 400, f"{n}") for n in range(18)]
    for before, after in pairwise(marks):
        model.add(before < after)
    gaps = []
    for n, low in enumerate(marks):
        for high in marks[n + 1 :]:
            gap = model.new_int_var(1, 400, "gap")
            model.add(gap == high - low)
            gaps.append(gap)
    model.add_all_different(gaps)
    model.minimize(marks[-1])
    return model


def solver() -> cp_model.CpSolver:
    found = cp_model.CpSolver()
    found.parameters.num_workers = 1
    found.parameters.max_time_in_seconds = PATIENCE_S
    return found


def once_busy(watch: Watch, act: Callable[[], object]) -> None:
    """Do something as soon as a solver is at work."""

    def work() -> None:
        end = time.monotonic() + PATIENCE_S
        while not watch.busy and time.monotonic() < end:
            time.sleep(0.005)
        act()

    threading.Thread(target=work, daemon=True).start()


def test_a_search_at_work_ends_when_it_is_asked_to() -> None:
    watch, model, started = Watch(), hard(), time.monotonic()
    once_busy(watch, lambda: setattr(watch, "stopped", True))
    last = model.get_int_var_from_proto_index(17)
    status = solve_attended(solver(), model, watch, [(last, 1)])
    assert time.monotonic() - started < PATIENCE_S / 2
    assert status in (cp_model.FEASIBLE, cp_model.UNKNOWN)
    assert (watch.best is None) == (status == cp_model.UNKNOWN)


@POSIX
def test_whoever_asks_the_optimiser_alone_can_interrupt_it() -> None:
    watch, model, started = Watch(), hard(), time.monotonic()
    once_busy(watch, interrupt)
    with pytest.raises(KeyboardInterrupt):
        solve_attended(solver(), model, watch)
    assert time.monotonic() - started < PATIENCE_S / 2
    assert not watch.busy


@pytest.mark.parametrize("begun", [True, False])
def test_an_interrupt_while_the_solver_sets_off_leaves_nothing_at_work(
    begun: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    watch, at_work, stop = Watch(), threading.Event(), threading.Event()
    start = threading.Thread.start
    threads = []

    def interrupted(thread: threading.Thread) -> None:
        threads.append(thread)
        if begun:
            start(thread)
            at_work.wait(PATIENCE_S)
        raise KeyboardInterrupt

    def work() -> None:
        at_work.set()
        stop.wait(PATIENCE_S)

    monkeypatch.setattr(threading.Thread, "start", interrupted)
    with pytest.raises(KeyboardInterrupt):
        attend(work, stop.set, watch)
    assert not watch.busy
    assert stop.is_set() is begun
    monkeypatch.undo()
    if not begun:
        start(threads[0])
    threads[0].join(PATIENCE_S)
    assert not threads[0].is_alive()
    assert at_work.is_set() is begun


def test_a_fault_in_the_solver_is_not_lost(monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(cp_model.CpSolver, "solve", fail)
    with pytest.raises(ZeroDivisionError):
        solve_attended(solver(), hard(), Watch())


# --- Ctrl-C and the terminal, from outside ---------------------------------------------


@contextmanager
def slowly(
    folder: Path, *args: str, terminal: bool = False
) -> Iterator[subprocess.Popen[bytes]]:
    """A program that has come to its endless search."""
    end, other = os.openpty() if terminal else os.pipe()
    folder = write(folder / "shop") if not (folder / "shop").exists() else folder / "shop"
    command = [sys.executable, str(HERE / "slow.py"), *args, "--catalog", str(folder)]
    env = {**os.environ, "PYTHONPATH": str(ROOT), "TERM": "xterm", "COLUMNS": "80"}
    work = subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=other, env=env, start_new_session=True
    )
    os.close(other)
    try:
        assert work.stdout is not None
        assert work.stdout.readline() == b"at work\n"
        work.stderr = os.fdopen(end, "rb", buffering=0)
        yield work
    finally:
        work.kill()
        work.wait()
        assert work.stdout is not None
        work.stdout.close()
        if work.stderr is not None:
            work.stderr.close()


def rest(work: subprocess.Popen[bytes]) -> tuple[int, str, str]:
    """Exit status, standard output and standard error once it has ended."""
    assert work.stdout is not None
    out = work.stdout.read()
    status = work.wait(PATIENCE_S)
    assert work.stderr is not None
    err = b""
    while True:
        try:
            piece = os.read(work.stderr.fileno(), 65536)
        except OSError:  # a terminal whose other end is closed
            break
        if not piece:
            break
        err += piece
    return status, out.decode(), err.decode()


def said(work: subprocess.Popen[bytes], text: bytes) -> bytes:
    """What stands on the terminal once `text` does."""
    assert work.stderr is not None
    end, seen = time.monotonic() + PATIENCE_S, b""
    while text not in seen:
        assert time.monotonic() < end, seen
        if select.select([work.stderr], [], [], 0.1)[0]:
            seen += os.read(work.stderr.fileno(), 65536)
    return seen


PLAN = ("plan", "--mic", "16")
CURVE = ("curve", "--from", "2", "--to", "16", "--step", "7")
STRETCH = ("stretch", "--budget", "600")
COMPARE = ("compare", "--mic", "2", "--rate", "48", "--rate", "96", "--rate", "44.1")


@POSIX
@pytest.mark.parametrize(
    ("args", "told"),
    [
        (PLAN, "Proof:  none yet"),
        (("curve", "--from", "16", "--to", "24"), "24: not asked, because it was stopped."),
        (STRETCH, "none yet; more microphones may be within the budget."),
        (("compare", "--mic", "16", "--rate", "48", "--rate", "96"), "Column 2: not asked"),
    ],
)
@pytest.mark.full
def test_the_best_so_far_is_left(args: tuple[str, ...], told: str, tmp_path: Path) -> None:
    with slowly(tmp_path, "found", *args) as work:
        work.send_signal(signal.SIGINT)
        status, out, err = rest(work)
    assert (status, err) == (0, "")
    assert told in out
    assert "No rig\n" not in out


@pytest.mark.full
@POSIX
def test_what_was_answered_before_is_left(tmp_path: Path) -> None:
    told_of = ((CURVE, "9 and 16: not asked"), (COMPARE, "Column 2: not asked"))
    for args, told in told_of:
        with slowly(tmp_path, "later", *args) as work:
            work.send_signal(signal.SIGINT)
            status, out, err = rest(work)
        assert (status, err) == (0, "")
        assert told in out


@pytest.mark.full
@POSIX
@pytest.mark.parametrize("args", [PLAN, CURVE, STRETCH, COMPARE])
def test_with_nothing_found_it_just_stops(args: tuple[str, ...], tmp_path: Path) -> None:
    with slowly(tmp_path, "before", *args) as work:
        work.send_signal(signal.SIGINT)
        assert rest(work) == (130, "", "\nrigopt: stopped\n")


@pytest.mark.full
@POSIX
def test_the_second_one_ends_it_at_once(tmp_path: Path) -> None:
    with slowly(tmp_path, "deaf", *PLAN, terminal=True) as work:
        said(work, b"no rig yet")
        work.send_signal(signal.SIGINT)
        said(work, b"Ctrl-C again to leave at once")
        started = time.monotonic()
        work.send_signal(signal.SIGINT)
        status, out, _ = rest(work)
    assert time.monotonic() - started < PATIENCE_S / 2
    assert status == -signal.SIGINT  # which a shell reports as 130
    assert out == ""


@POSIX
def test_progress_is_seen_on_a_terminal(tmp_path: Path) -> None:
    with slowly(tmp_path, "found", *PLAN, terminal=True) as work:
        seen = said(work, b"best 506.00 GBP")
        assert b"\n" not in seen
        work.send_signal(signal.SIGINT)
        status, out, _ = rest(work)
    assert status == 0
    assert "Total:  506.00 GBP" in out
