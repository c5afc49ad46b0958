"""`rigopt plan` with --input-list and --wiring."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from rigopt.answers.outcome import Choice, OutOfTime
from rigopt.cli.main import run

GOLDEN = Path(__file__).parents[1] / "golden"
ASK = ["plan", "--catalog", str(GOLDEN / "catalogues" / "small")]
LISTED = [*ASK, str(GOLDEN / "named-sources" / "needs.toml")]


def test_the_input_list_beside_the_text(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    target = tmp_path / "inputs.csv"
    assert run([*LISTED, "--input-list", str(target)]) == 0
    rows = list(csv.DictReader(io.StringIO(target.read_bytes().decode(), newline="")))
    left, right = rows[0], rows[1]
    assert [left["source"], right["source"]] == ["Overhead L", "Overhead R"]
    assert left["unit"] == right["unit"]
    assert int(left["channel"]) % 2 == 1
    assert int(right["channel"]) == int(left["channel"]) + 1
    shown = capsys.readouterr().out
    assert "mic: Overhead L" in shown
    assert (
        "Out of the list's order, as 48 V, kinds of channel and pairs come first: Ribbon on "
        "guitar, Bass and Lead vocal." in " ".join(shown.split())
    )
    assert "WIRING" not in shown


def test_the_input_list_alone_on_standard_output(capsys: pytest.CaptureFixture[str]) -> None:
    assert run([*LISTED, "--input-list", "-"]) == 0
    shown = capsys.readouterr()
    assert shown.out.startswith("number,source,unit,")
    assert "Total:" in shown.err


def test_without_a_rig_there_is_no_list(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "inputs.csv"
    late = Choice(OutOfTime(1.0))
    monkeypatch.setattr("rigopt.cli.plan.ask_plan", lambda *_, **__: late)
    assert run([*ASK, "--mic", "1", "--input-list", str(target)]) == 4
    assert "there is no rig, so no input list is written" in capsys.readouterr().err
    assert not target.exists()


def test_the_wiring_stands_after_the_cables(capsys: pytest.CaptureFixture[str]) -> None:
    assert run([*ASK, "--mic", "16", "--wiring"]) == 0
    shown = capsys.readouterr().out
    assert shown.index("DIGITAL CABLES") < shown.index("\nWIRING\n") < shown.index("\nCLOCK")
    assert "--- optical: 8 ch audio" in shown
    assert max(map(len, shown.splitlines())) <= 80


def test_the_steps_stand_at_the_end(capsys: pytest.CaptureFixture[str]) -> None:
    assert run([*ASK, "--mic", "16"]) == 0
    plain = capsys.readouterr().out
    assert run([*ASK, "--mic", "16", "--steps"]) == 0
    shown = capsys.readouterr().out
    assert shown.startswith(f"{plain}\nSET-UP, STEP BY STEP\n1. Are any of your microphones")
    assert "If something is wrong" in shown
    assert "STEP BY STEP" not in plain
