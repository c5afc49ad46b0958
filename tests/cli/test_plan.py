"""`rigopt plan` with a solver that gives a rig built by hand: who gets which text."""

from __future__ import annotations

import csv
import io
import json
import os
import subprocess
import sys
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from rigopt.answers.outcome import Answered, Choice, Impossible, Outcome, OutOfTime
from rigopt.cli import asking as reading
from rigopt.cli import plan as command
from rigopt.cli.main import run
from rigopt.rig.types import ClockSetting, Input, Purchase, Rig, Unit

SMALL = Path(__file__).parents[1] / "golden" / "catalogues" / "small"


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> list[tuple[object, ...]]:
    """What the solver was asked; it always finds one small interface."""
    seen: list[tuple[object, ...]] = []

    def ask(catalogue, needs, time_limit, *_, **__):  # type: ignore[no-untyped-def]
        seen.append((catalogue, needs, time_limit))
        device = catalogue.devices["desk-2"]
        unit = Unit("host-1", device, "host", ClockSetting("internal"))
        item = Input(1, "host-1", 1, ("mic", "line", "instrument"), False, "mic")
        bought = Purchase("desk-2", device.label, "device", 1, 9000)
        rig = Rig(48000, (unit,), (), (item,), (bought,), 0, 9000)
        return Choice(Answered(rig, 9000, True))

    monkeypatch.setattr(command, "ask_plan", ask)
    return seen


def outcome(monkeypatch: pytest.MonkeyPatch, ending: Outcome) -> None:
    monkeypatch.setattr(command, "ask_plan", lambda *_, **__: Choice(ending))


ASK = ("plan", "--catalog", str(SMALL), "--mic", "1")


@pytest.mark.usefixtures("asked")
def test_text_goes_to_standard_output(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(ASK) == 0
    shown = capsys.readouterr()
    assert "Total:  90.00 GBP" in shown.out
    assert shown.err == ""


@pytest.mark.parametrize(
    ("flags", "wanted", "told"),
    [
        ([], {}, False),
        (["--second-opinion"], {"second": True}, False),
        (["--alternatives", "2"], {"alternatives": 2}, True),
        (["--why"], {"why": True}, True),
        (["--checks"], {"checks": True}, True),
        (["--more", "0"], {"more": Decimal(0)}, True),
        (["--page", "p.html"], {"checks": True}, False),
    ],
)
@pytest.mark.parametrize("proven", [True, False])
def test_what_is_wanted_beside_the_rig(  # noqa: PLR0917
    flags: list[str],
    wanted: dict[str, Any],
    told: bool,
    proven: bool,
    asked: list[tuple[object, ...]],
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    tmp_path: Path,
) -> None:
    """A rig that is not proven has no choice behind it, and that is said to who asked."""
    monkeypatch.chdir(tmp_path)
    seen: list[dict[str, Any]] = []
    found = command.ask_plan

    def ask(*args: Any, **named: Any) -> Choice:
        seen.append(named)
        end = found(*args, **named).outcome
        assert isinstance(end, Answered)
        return Choice(replace(end, proven=proven))

    monkeypatch.setattr(command, "ask_plan", ask)
    assert run([*ASK, "--time-limit", "7", *flags]) == 0
    nothing = {"alternatives": 0, "why": False, "second": False, "checks": False, "more": None}
    assert seen == [{**nothing, **wanted}]
    assert asked[0][2] == 7
    said = "rigopt: this rig is not proven cheapest, so the choice behind it is not told\n"
    assert capsys.readouterr().err == (said if told and not proven else "")


def test_another_mix_in_place_of_the_cheapest(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    seen: list[Any] = []

    def ask(_: Any, needs: Any, number: int, *__: Any) -> Outcome:
        seen.append((needs.mic, number))
        return OutOfTime(1.0)

    monkeypatch.setattr(command, "ask_alternative", ask)
    assert run([*ASK, "--alternative", "3"]) == 4
    assert seen == [(1, 3)]
    capsys.readouterr()


@pytest.mark.usefixtures("asked")
def test_files_besides_the_text(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    answer, shopping = tmp_path / "a.json", tmp_path / "s.csv"
    assert run([*ASK, "--json", str(answer), "--shopping-list", str(shopping)]) == 0
    assert json.loads(answer.read_text())["total"] == "90.00"
    assert shopping.read_bytes().endswith(b"total,,,,,,90.00,GBP,\r\n")
    assert "Total:  90.00 GBP" in capsys.readouterr().out


@pytest.mark.usefixtures("asked")
def test_data_on_standard_output_stands_alone(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run([*ASK, "--json", "-", "--shopping-list", str(tmp_path / "s.csv")]) == 0
    shown = capsys.readouterr()
    assert json.loads(shown.out)["total"] == "90.00"
    assert "Total:  90.00 GBP" in shown.err
    assert run([*ASK, "--shopping-list", "-"]) == 0
    rows = list(csv.reader(io.StringIO(capsys.readouterr().out, newline="")))
    assert rows[-1][0] == "total"


def test_options_reach_the_solver(asked: list[tuple[object, ...]]) -> None:
    needs = "[inputs]\nmic = 2\nline = 1\n"
    Path("needs.toml").write_text(needs)
    options = ["--mic", "3", "--rate", "44.1 kHz", "--owned", "desk-8=2", "--budget", "12.50"]
    assert run(["plan", "needs.toml", *ASK[1:3], *options, "--time-limit", "7"]) == 0
    catalogue, need, limit = asked[0]
    assert limit == 7
    assert not catalogue.invented  # type: ignore[attr-defined]
    assert (need.mic, need.line, need.rate_hz) == (3, 1, 44100)  # type: ignore[attr-defined]
    assert (need.owned, need.budget) == ({"desk-8": 2}, 1250)  # type: ignore[attr-defined]


@pytest.fixture(autouse=True)
def _elsewhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Relative names in these tests belong to a folder of their own."""
    monkeypatch.chdir(tmp_path)


@pytest.mark.parametrize(
    ("ending", "status", "word"),
    [(Impossible(), 3, "impossible"), (OutOfTime(1.0), 4, "out of time")],
)
def test_without_a_rig(
    ending: Outcome,
    status: int,
    word: str,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    outcome(monkeypatch, ending)
    Path("s.csv").write_text("old")
    assert run([*ASK, "--json", "a.json", "--shopping-list", "s.csv"]) == status
    shown = capsys.readouterr()
    assert "No rig" in shown.out
    assert shown.err == "rigopt: there is nothing to buy, so no shopping list is written\n"
    assert json.loads(Path("a.json").read_text())["status"] == word
    assert Path("s.csv").read_text() == "old"
    assert run([*ASK, "--shopping-list", "-"]) == status
    shown = capsys.readouterr()
    assert shown.out == ""
    assert "No rig" in shown.err


@pytest.fixture
def elsewhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A folder with needs that ask for nothing, at once or before the first stage."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "empty.toml").write_text("rate_khz = 96\n")
    (tmp_path / "stages.toml").write_text("[[stage]]\ninputs.mic = 4\n")


@pytest.mark.usefixtures("elsewhere")
@pytest.mark.parametrize(
    ("args", "said"),
    [
        (["plan"], "say what you need: a file, or for example --mic 16"),
        (["plan", "--rate", "48"], "say what you need"),
        (["plan", "--mic", "0"], "nothing was asked for: no source and no output; say what"),
        (["plan", "empty.toml"], "nothing was asked for: no source and no output"),
        (["plan", "stages.toml"], "only the stages ask for something; use 'rigopt grow'"),
        (["compare", "empty.toml", "--rate", "48", "--rate", "96"], "nothing was asked for"),
        ([*ASK, "--json", "-", "--shopping-list", "-"], "would overwrite the output of --json"),
        ([*ASK, "--json", "none/a.json"], "its folder does not exist"),
        ([*ASK, "--json", str(SMALL / "devices.csv")], "would overwrite an input file"),
        (["plan", "empty.toml", "--json", "empty.toml"], "would overwrite an input file"),
        (["plan", "missing.toml"], "missing.toml"),
        (["plan", "--catalog", "missing", "--mic", "1"], "missing"),
    ],
)
def test_wrong_use_is_told_before_any_work(
    args: list[str],
    said: str,
    asked: list[tuple[object, ...]],
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert run(args) == 2
    shown = capsys.readouterr()
    assert shown.out == ""
    assert said in shown.err
    assert not asked


@pytest.mark.usefixtures("asked")
def test_the_demo_says_that_its_prices_are_invented(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(reading.shipped, "demo_catalogue", lambda: SMALL)
    assert run(["plan", "--mic", "1"]) == 0
    assert "demo catalogue's prices are invented" in capsys.readouterr().out
    assert run(["plan", "--mic", "1", "--json", "-"]) == 0
    assert "demo catalogue's prices are invented" in capsys.readouterr().err


def test_a_full_disk_is_told_plainly(
    asked: list[tuple[object, ...]], capsys: pytest.CaptureFixture[str]
) -> None:
    assert run([*ASK, "--json", "/dev/full"]) == 2
    assert asked
    assert capsys.readouterr().err == "rigopt: cannot write /dev/full: the disk is full\n"


def test_the_rig_shown_is_the_one_found(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], asked: list[object]
) -> None:
    run(ASK)
    before = capsys.readouterr().out
    ask = command.ask_plan

    def unproven(*given: Any, **more: Any) -> Choice:
        outcome = ask(*given, **more).outcome
        assert isinstance(outcome, Answered)
        return Choice(replace(outcome, proven=False))

    monkeypatch.setattr(command, "ask_plan", unproven)
    run(ASK)
    assert "Proof:  none yet" in capsys.readouterr().out
    assert "Proof:  complete" in before
    assert len(asked) == 2


def test_the_demo_is_answered_for_real(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["plan", "--mic", "8", "--json", "-"]) == 0
    shown = capsys.readouterr()
    answer = json.loads(shown.out)
    assert answer["status"] == "proven cheapest"
    assert sum(item["use"] == "mic" for item in answer["inputs"]) == 8
    assert "demo catalogue's prices are invented" in shown.err


@pytest.mark.full
def test_the_same_question_gives_the_same_bytes_in_every_process() -> None:
    command = [sys.executable, "-m", "rigopt", *ASK[:-1], "20", "--json", "-"]
    root = Path(__file__).parents[2]
    texts = {
        subprocess.run(
            command,
            capture_output=True,
            check=True,
            cwd=root,
            env={**os.environ, "PYTHONHASHSEED": seed},
        ).stdout
        for seed in ("1", "2")
    }
    assert len(texts) == 1
