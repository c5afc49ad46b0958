"""The command line run on purpose-broken files, and what must hold whatever happens.

An answer is an exit status of the documented ones, plain lines, and no more than a few
seconds; never a traceback, never a fault of the program, never a control character.
"""

from __future__ import annotations

import contextlib
import csv
import io
import json
import signal
import sys
import time
import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

import pytest

from rigopt.cli.main import run

if sys.platform != "linux":
    pytest.skip("needs devices, pipes and alarms as Linux has them", allow_module_level=True)

HEAD = 'title = "Shop"\ncurrency = "GBP"\nnote = "Prices of March"\n'
DEVICES = (
    "id,label,role,price,mic_line,phantom_bank,line_out,phones,optical_in,optical_out,"
    "coax_in,clock_in,rates_khz,note\n"
    'desk-8,"Desk, 8 preamps",host,329.00,8,4,8,2,1,1,1,optical;coax,44.1;48;88.2;96,plain\n'
    'pre-8,"Eight preamps",expander,179.00,8,8,,,1,1,,optical,44.1;48,\n'
)
CABLES = 'id,label,kind,length_m,price,pack\nopt-1m,"Optical, 1 m",optical,1,6.00,1\n'
FOLDER: Mapping[str, str] = {"catalog.toml": HEAD, "devices.csv": DEVICES, "cables.csv": CABLES}

NEEDS = """title = "Band"
rate_khz = 48
[inputs]
mic = 10
phantom = 3
[outputs]
line = 2
[clock]
master = "any"
max_hops = 3
[computer]
ports = ["usb"]
[limits]
budget = 900.00
[owned]
opt-1m = 1
"""

VALUES = [
    "",
    "-0",
    "-1",
    "1e400",
    "1E5",
    "NaN",
    "nan",
    "inf",
    "-inf",
    "0x10",
    "1_000",
    "1,234",
    "１２",
    "٣",
    "½",
    "²",
    "−5",
    "1.5.5",
    "99999999999999999999",
    "9" * 400,
    "0.0000000001",
    "1 000",
    "true",
    "yes",
    "None",
    "null",
    "#REF!",
    "#N/A",
    "=1+1",
    "+1+1",
    "-1+1",
    "@SUM(1)",
    '=HYPERLINK("http://x","y")',
    "=cmd|' /C x'!A0",
    "＝1+1",
    "\x1b[2J",
    "\x1b]0;x\x07",
    "\x9b2J",
    "\x00",
    "\x07",
    "\x08\x08",
    "\r",
    "\u2028",
    "\u202egpj.exe",
    "\u200b",
    "\ufeff",
    "\U000e0041",
    "<script>alert(1)</script>",
    "</title><b>",
    "{{7*7}}",
    "%s%n%d",
    "{0.__class__}",
    "$(id)",
    "../../../etc/passwd",
    "CON",
    "'; DROP TABLE x; --",
    "🎤" * 40,
    "a\u0301" * 80,
    "x" * 3000,
    "48;48;48",
    "44.1;;48",
    ";",
    '"',
    "'",
    "optical;optical",
    "host;clock",
    "HOST",
    "hst",
]
"""What a cell or a key may be made to hold."""

ENCODINGS = (
    "utf-8",
    "utf-8-sig",
    "utf-16",
    "utf-16-le",
    "utf-16-be",
    "utf-32",
    "utf-7",
    "cp1252",
    "latin-1",
    "cp500",
    "shift-jis",
)

STATUS = {0, 2, 3, 4}
"""Answered; wrong use or an input in error; impossible; out of time (commands.md)."""

SECONDS = 60.0
"""Far more than any of these answers takes, for machines that are busy with other work."""


class HangError(BaseException):
    """The command took too long; not an `Exception`, so that nothing swallows it."""


@dataclass(frozen=True)
class Said:
    """What one run of the command line gave."""

    status: int
    out: str
    err: str
    seconds: float


def rigopt(*args: object, seconds: float = SECONDS) -> Said:
    """Run the command line in this process; whatever it says is checked already."""
    out, err = io.StringIO(), io.StringIO()
    start = time.monotonic()
    with _bounded(seconds), contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        status = run([str(arg) for arg in args])
    said = Said(status, out.getvalue(), err.getvalue(), time.monotonic() - start)
    check(said)
    return said


@contextlib.contextmanager
def _bounded(seconds: float) -> Iterator[None]:
    def ring(*_: object) -> None:
        raise HangError

    before = signal.signal(signal.SIGALRM, ring)
    signal.setitimer(signal.ITIMER_REAL, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)


def check(said: Said) -> None:
    """Fail where an answer is none of those that are allowed."""
    assert said.status in STATUS, said.err
    for text in (said.out, said.err):
        assert "Traceback" not in text
        assert harmless_text(text), ascii(text)
    if said.status == 2:
        assert said.out == ""
        assert said.err.startswith("rigopt: ")


def harmless_text(text: str) -> bool:
    """Whether a terminal shows `text` as it is: nothing in it acts, hides or turns round."""
    acting = ("Cc", "Cf", "Co", "Cs", "Zl", "Zp")  # categories of Unicode
    shown = text.replace("\r\n", "").replace("\n", "")
    return not any(unicodedata.category(char) in acting for char in shown)


def harmless_csv(text: str) -> bool:
    """Whether a spreadsheet runs no cell of it (OWASP, CSV injection; memory)."""
    rows = list(csv.reader(io.StringIO(text, newline="")))
    assert rows
    assert len({len(row) for row in rows}) == 1
    return not any(
        cell.lstrip()[:1] in tuple("=+-@＝＋－＠\t\r") and cell[:1] != "'"
        for row in rows
        for cell in row
        if cell
    )


def harmless_json(text: str) -> bool:
    """Whether it is JSON as RFC 8259 has it (so without NaN) and harmless to show."""

    def refuse(word: str) -> object:
        raise AssertionError(word)

    json.loads(text, parse_constant=refuse)
    return harmless_text(text)


def write(folder: Path, files: Mapping[str, str | bytes] | None = None) -> Path:
    """A sound catalogue in `folder`, with `files` over it."""
    folder.mkdir(exist_ok=True)
    for name, content in {**FOLDER, **(files or {})}.items():
        data = content if isinstance(content, bytes) else content.encode("utf-8")
        (folder / name).write_bytes(data)
    return folder


def plan(folder: Path, *more: object, seconds: float = SECONDS) -> Said:
    """`rigopt plan` with the catalogue in `folder`."""
    return rigopt("plan", "--catalog", folder, *more, seconds=seconds)


def snapshot(folder: Path) -> dict[str, bytes | None]:
    """Every path under `folder`; bytes of the regular files."""
    return {
        str(path.relative_to(folder)): path.read_bytes() if path.is_file() else None
        for path in sorted(folder.rglob("*"))
    }
