"""Outputs of answers that are not proven, came too late, or were never asked for."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import replace

import pytest

from rigopt.answers.outcome import (
    Answered,
    Impossible,
    NotAsked,
    Outcome,
    OutOfTime,
    together,
)
from rigopt.answers.series import Column, Curve, Point, Scenario, Stretch
from rigopt.cli.main import run
from rigopt.needs.types import Needs
from rigopt.optimiser.questions.plan import solve
from rigopt.output.data.compare_data import compare_csv, compare_json
from rigopt.output.data.csv import records_text
from rigopt.output.data.curve_data import curve_csv
from rigopt.output.data.stretch_json import stretch_json
from rigopt.output.terminal.compare import compare_text
from rigopt.output.terminal.curve import curve_text
from rigopt.output.terminal.stretch import stretch_text
from tests.choice_commands.shop import shop, write

SHOP = shop()


def proven(mic: int) -> Answered:
    found = solve(SHOP, Needs(mic=mic))
    assert isinstance(found, Answered)
    return found


def open_(mic: int, bound: int) -> Answered:
    return replace(proven(mic), proven=False, bound=bound)


def columns(*outcomes: Outcome | NotAsked) -> list[Column]:
    return [Column(Scenario(f"Q{n}", SHOP, Needs(mic=8)), o) for n, o in enumerate(outcomes)]


def test_a_comparison_says_what_is_open() -> None:
    shown = columns(proven(8), open_(16, 40000), OutOfTime(1.0), NotAsked())
    text = compare_text(shown, {})
    lines = {line[:14].strip(): line[14:].split() for line in text.splitlines()}
    assert lines["At least"] == ["300.00", "GBP", "400.00", "GBP", "-", "-"]
    assert lines["Result"][2:] == ["best", "found", "out", "of", "time", "not", "asked"]
    assert "- Column 3: no rig was found in the time" in text
    assert "- Column 4: not asked, because it was stopped." in text


def test_a_comparison_with_what_is_open_as_data() -> None:
    shown = columns(open_(16, 40000), OutOfTime(1.0), NotAsked())
    records = list(csv.DictReader(io.StringIO(compare_csv(shown, {}))))
    assert [r["status"] for r in records] == ["best found", "out of time", "not asked"]
    assert [r["bound"] for r in records] == ["400.00", "", ""]
    answer = json.loads(compare_json(shown, {}))
    assert [c["answer"] and c["answer"]["status"] for c in answer["columns"]] == [
        "best found",
        "out of time",
        None,
    ]


def test_a_curve_says_what_is_open() -> None:
    points = (Point(8, proven(8)), Point(12, OutOfTime(1.0)), Point(16, open_(16, 40000)))
    curve = Curve((8, 12, 16, 20, 24), points)
    text = curve_text(curve, SHOP, Needs(line=1))
    assert "At least" in text
    assert "Where 'At least' is below the total, the cheapest is not proven." in text
    assert "- 12: no rig was found in the time" in text
    assert "- 20 and 24: not asked, because it was stopped." in text
    assert "8 to 24 microphones, 1 line source" in text
    records = list(csv.DictReader(io.StringIO(curve_csv(curve, SHOP, Needs(line=1)))))
    assert [r["status"] for r in records] == ["proven cheapest", "out of time", "best found"]


def test_a_rig_that_costs_nothing_has_no_bar() -> None:
    nothing = replace(proven(8).rig, total=0, purchases=())
    text = curve_text(Curve((8,), (Point(8, Answered(nothing, 0, True)),)), SHOP, Needs())
    assert "8 | 0.00" in text


def test_a_curve_of_rigs_without_microphone_inputs_has_no_price_for_one() -> None:
    deaf = replace(proven(8).rig, inputs=())
    curve = Curve((8,), (Point(8, Answered(deaf, 0, True)),))
    (record,) = csv.DictReader(io.StringIO(curve_csv(curve, SHOP, Needs())))
    assert record["per_input"] == ""
    assert "1 desk-8" in curve_text(curve, SHOP, Needs())


def test_a_stretch_says_what_is_open() -> None:
    best, step = Point(16, proven(16)), Point(20, OutOfTime(1.0))
    text = stretch_text(Stretch(60000, best, step, False), SHOP, Needs())
    assert "Next:   20 microphones: no rig was found in the time" in text
    assert "Proof:  none yet; more microphones may be within the budget." in text
    answer = json.loads(stretch_json(Stretch(60000, best, step, False), SHOP))
    assert answer["stretch"]["next"] == {"mic": 20, "status": "out of time"}
    assert answer["stretch"]["proven"] is False


def test_a_stretch_that_was_stopped_has_no_next_step() -> None:
    found = Stretch(60000, Point(16, proven(16)), None, False)
    assert "Next:" not in stretch_text(found, SHOP, Needs())
    assert json.loads(stretch_json(found, SHOP))["stretch"]["next"] is None


def test_a_stretch_that_came_too_late_is_not_impossible() -> None:
    found = Stretch(60000, None, Point(1, OutOfTime(1.0)), False)
    assert "no rig within the budget was found in the time." in stretch_text(
        found, SHOP, Needs()
    )
    assert json.loads(stretch_json(found, SHOP))["status"] == "out of time"


def test_late_is_another_exit_status(
    tmp_path: object, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = str(write(tmp_path / "shop"))  # type: ignore[operator]
    late = Stretch(60000, None, Point(1, OutOfTime(1.0)), False)
    monkeypatch.setattr("rigopt.cli.stretch.ask_stretch", lambda *_: late)
    assert run(["stretch", "--catalog", folder, "--budget", "600"]) == 4
    assert "found in the time" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("outcomes", "status"),
    [
        ([NotAsked(), OutOfTime(1.0), "answer"], 0),
        ([Impossible(), Impossible(minimal=False)], 3),
        ([Impossible(), OutOfTime(1.0)], 4),
    ],
)
def test_one_answer_is_enough(outcomes: list[Outcome | NotAsked | str], status: int) -> None:
    found = [proven(8) if outcome == "answer" else outcome for outcome in outcomes]
    assert together(found) == status  # type: ignore[arg-type]


def test_a_cell_that_a_spreadsheet_would_run_is_quoted() -> None:
    records = [{"a": "=1+1", "b": -5, "c": "-12.50", "d": "-x", "e": {"@x": 1}, "f": None}]
    assert records_text(records) == "a,b,c,d,e,f\r\n'=1+1,-5,-12.50,'-x,1 @x,\r\n"
