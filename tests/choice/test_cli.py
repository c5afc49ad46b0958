"""`rigopt plan` with `--alternatives` and `--why`, on the demo and for real."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from rigopt.answers.outcome import Answered, Choice, Impossible
from rigopt.api.ask import ask_plan
from rigopt.api.audited import AuditFailedError
from rigopt.cli import plan as command
from rigopt.cli.main import run
from rigopt.needs.types import Needs
from rigopt.optimiser.questions import plan
from rigopt.output.words.reasons import reasons
from tests.world import DESK, HUB, PRE, catalogue

SHOP = catalogue(DESK, PRE, HUB)
GOLDEN = Path(__file__).parents[1] / "golden" / "catalogues"


@pytest.mark.full
def test_both_are_told_after_the_answer(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["plan", "--mic", "8", "--alternatives", "2", "--why", "--json", "-"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert list(told)[-2:] == ["alternatives", "why"]
    totals = [float(told["total"]), *(float(one["total"]) for one in told["alternatives"])]
    assert totals == sorted(totals)
    assert len(totals) == 3
    assert told["why"]["complete"]


def test_the_text_has_them_last(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["plan", "--mic", "2", "--alternatives", "1"]) == 0
    shown = capsys.readouterr().out
    assert shown.index("TO BUY") < shown.index("\n\nALTERNATIVES\n")
    assert "WHY THIS RIG" not in shown


def test_an_impossible_plan_says_what_would_do(capsys: pytest.CaptureFixture[str]) -> None:
    enough = ["--catalog", str(GOLDEN / "small"), "--time-limit", "600"]
    assert run(["plan", "--mic", "40", "--alternatives", "1", *enough]) == 3
    shown = capsys.readouterr().out
    assert "- No rig serves 40 microphones on one host." in shown
    assert "--hosts 2" in shown
    assert "ALTERNATIVES" not in shown


@pytest.mark.parametrize("count", ["-1", "101", "two"])
def test_a_count_that_is_none(count: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["plan", "--mic", "8", "--alternatives", count]) == 2
    assert "--alternatives" in capsys.readouterr().err


def test_a_rig_that_is_not_proven_has_no_choice_behind_it(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    found = ask_plan(SHOP, Needs(mic=16)).outcome
    assert isinstance(found, Answered)
    monkeypatch.setattr(plan, "solve", lambda *_: replace(found, proven=False))
    choice = ask_plan(SHOP, Needs(mic=16), 1.0, alternatives=3, why=True)
    assert choice == Choice(replace(found, proven=False))
    monkeypatch.setattr(command, "ask_plan", lambda *_, **__: choice)
    assert run(["plan", "--mic", "8", "--why"]) == 0
    shown = capsys.readouterr()
    assert shown.err == (
        "rigopt: this rig is not proven cheapest, so the choice behind it is not told\n"
    )
    assert "WHY" not in shown.out


def test_every_alternative_is_audited(monkeypatch: pytest.MonkeyPatch) -> None:
    seen: list[Any] = []

    def audit(rig: Any, *_: Any) -> tuple[str, ...]:
        seen.append(rig)
        return ("bad",) if len(seen) == 2 else ()

    monkeypatch.setattr("rigopt.rig.audit.audit", audit)
    with pytest.raises(AuditFailedError):
        ask_plan(SHOP, Needs(mic=16), alternatives=1)
    assert len({rig.total for rig in seen}) == 2


def test_sentences_come_with_the_outcome() -> None:
    found = ask_plan(SHOP, Needs(mic=40)).outcome
    assert isinstance(found, Impossible)
    told = reasons(found, "GBP", Needs(mic=40))
    assert told[0] == "No rig serves 40 microphones on one host."
    assert found.changes


def test_the_same_question_gives_the_same_answer() -> None:
    one, other = (ask_plan(SHOP, Needs(mic=20), alternatives=5, why=True) for _ in range(2))
    assert one == other
