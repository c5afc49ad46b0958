"""`rigopt plan --alternative K`: the K-th alternative in place of the cheapest."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from rigopt.answers.outcome import Answered, Choice, Impossible
from rigopt.api import ask
from rigopt.api.ask import LateAlternativeError, NoAlternativeError, ask_alternative, ask_plan
from rigopt.cli.main import run
from rigopt.needs.types import Needs
from rigopt.output.terminal.text import plan_text
from tests.world import DESK, HUB, PRE, catalogue

GOLDEN = str(Path(__file__).parents[1] / "golden" / "catalogues" / "small")
TWIN = replace(DESK, id="desk-9")
SHOP = catalogue(DESK, TWIN, PRE, HUB)
ASK = ("plan", "--mic", "16", "--catalog", GOLDEN)


def asked(number: int, mic: int = 8) -> Answered:
    found = ask_alternative(SHOP, Needs(mic=mic), number)
    assert isinstance(found, Answered)
    return found


def test_it_is_the_one_that_the_list_has_at_that_place() -> None:
    choice = ask_plan(SHOP, Needs(mic=8), alternatives=2)
    assert choice.alternatives is not None
    assert isinstance(choice.outcome, Answered)
    for number, other in enumerate(choice.alternatives.found, start=1):
        found = asked(number)
        assert found.rig == other.rig
        assert found.alternative is not None
        assert found.alternative.number == number
        assert found.alternative.difference.money == other.rig.total - choice.outcome.rig.total


def test_the_text_says_which_it_is_and_never_that_it_is_the_cheapest() -> None:
    text = " ".join(plan_text(asked(2), SHOP, Needs(mic=8)).split())
    assert text.startswith("Alternative 2 =")
    assert "Choice: alternative 2, " in text
    assert "more than the cheapest rig: with " in text
    assert "Proof: complete; only the cheapest rig and 1 other alternative come before" in text
    assert "no rig of this catalogue costs less" not in text
    assert "only the cheapest rig comes before it" in plan_text(asked(1), SHOP, Needs(mic=8))


def test_of_the_same_price_it_is_as_dear() -> None:
    text = " ".join(plan_text(asked(1), SHOP, Needs(mic=8)).split())
    assert "as dear as the cheapest rig: with 1 desk-9, without 1 desk-8." in text


def test_every_output_is_of_that_rig(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run([*ASK, "--alternatives", "1", "--json", "-"]) == 0
    other = json.loads(capsys.readouterr().out)["alternatives"][0]
    files = ["--json", "a.json", "--page", "a.html", "--shopping-list", "a.csv"]
    assert run([*ASK, "--alternative", "1", *files, "--labels", "l.csv"]) == 0
    capsys.readouterr()
    told = json.loads(Path("a.json").read_text("utf-8"))
    assert (told["status"], told["alternative"]) == ("alternative", 1)
    assert "bound" not in told
    assert {key: told[key] for key in other} == other
    assert "alternative 1, " in Path("a.html").read_text("utf-8")
    for purchase in told["purchases"]:
        assert purchase["item"] in Path("a.csv").read_text("utf-8")
    for unit in told["units"]:
        assert unit["device"] in Path("l.csv").read_text("utf-8")
    assert run(["audit", "a.json", "--catalog", GOLDEN]) == 0


def test_there_may_be_fewer(capsys: pytest.CaptureFixture[str]) -> None:
    assert run([*ASK, "--alternative", "99", "--json", "-"]) == 3
    shown = capsys.readouterr()
    assert shown.out == ""
    assert "so there is no alternative 99" in shown.err


@pytest.mark.parametrize(
    ("found", "late", "said"),
    [
        (0, False, "no other mix of devices would do, so there is no alternative 3"),
        (1, False, "only 1 other mix of devices would do"),
        (2, True, "only 2 other mixes of devices found in the time, so no alternative 3"),
    ],
)
def test_how_it_is_said_that_there_are_fewer(found: int, late: bool, said: str) -> None:
    error = (LateAlternativeError if late else NoAlternativeError)(3, found)
    assert said in str(error)
    assert error.exit_status == (4 if late else 3)


def test_without_a_proof_there_is_none(monkeypatch: pytest.MonkeyPatch) -> None:
    found = ask_plan(SHOP, Needs(mic=8)).outcome
    monkeypatch.setattr(ask, "ask_plan", lambda *_, **__: Choice(found))
    with pytest.raises(NoAlternativeError) as caught:
        ask_alternative(SHOP, Needs(mic=8), 1)
    assert caught.value.exit_status == 4


def test_where_there_is_no_rig_there_is_no_alternative() -> None:
    assert isinstance(ask_alternative(SHOP, Needs(mic=8, budget=1), 1), Impossible)


@pytest.mark.parametrize("also", [["--why"], ["--alternatives", "2"]])
def test_what_is_told_of_the_cheapest_rig_goes_not_with_it(
    also: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert run([*ASK, "--alternative", "1", *also]) == 2
    assert "of the cheapest rig alone" in capsys.readouterr().err
