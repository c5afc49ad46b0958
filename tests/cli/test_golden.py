"""Every folder of `tests/golden` with a file `args` is a test: a new folder, a new test.

    args      the command line, quoted as for a shell; run inside a copy of the folder
    stdout    what standard output must hold, to the byte
    stderr    what standard error must hold (no file: nothing)
    status    the exit status (no file: 0)

The folder may hold a needs file or a catalogue of its own; catalogues that several share
are in `tests/golden/catalogues`, reached as `../catalogues/NAME`. After a change that is
meant, write the expected files anew, and read the difference before you keep it:

    RIGOPT_GOLDEN=write python -m pytest tests/cli/test_golden.py
"""

from __future__ import annotations

import os
import shlex
import shutil
from pathlib import Path

import pytest

from rigopt.cli.main import OWN_FAULT, run

GOLDEN = Path(__file__).parents[1] / "golden"
CASES = sorted(file.parent.name for file in GOLDEN.glob("*/args"))
WRITE = os.environ.get("RIGOPT_GOLDEN") == "write"


def expected(case: Path) -> dict[str, str]:
    found = {"stdout": "", "stderr": "", "status": "0\n"}
    for name in found:
        if (case / name).exists():
            found[name] = (case / name).read_bytes().decode()
    return found


def keep(case: Path, got: dict[str, str]) -> None:
    for name, text in got.items():
        (case / name).unlink(missing_ok=True)
        if text not in ("", "0\n"):
            (case / name).write_bytes(text.encode())


def test_there_are_cases() -> None:
    assert CASES


@pytest.mark.parametrize("name", CASES)
def test_golden(
    name: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    case = GOLDEN / name
    shutil.copytree(case, tmp_path / name)
    (tmp_path / "catalogues").symlink_to(GOLDEN / "catalogues")
    monkeypatch.chdir(tmp_path / name)
    status = run(shlex.split((case / "args").read_text()))
    shown = capsys.readouterr()
    assert status != OWN_FAULT, shown.err
    got = {"stdout": shown.out, "stderr": shown.err, "status": f"{status}\n"}
    if WRITE:
        keep(case, got)
    assert got == expected(case)
