"""`rigopt grow`: what it reads, writes and refuses, and how it ends."""

from __future__ import annotations

import csv
import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from rigopt.answers.choice import Change, Setting
from rigopt.answers.growth import Grown, Growth, Most, Obstacle, OutOfReach
from rigopt.answers.outcome import Impossible, OutOfTime
from rigopt.api import telling
from rigopt.api.audited import AuditFailedError
from rigopt.api.growth import ask_growth, ask_most_each
from rigopt.cli.main import run
from rigopt.optimiser.questions.growth import grow as growing
from rigopt.optimiser.questions.growth import obstacle as hindering
from rigopt.optimiser.questions.growth.obstacle import obstacle
from rigopt.optimiser.search.pooled import NOTHING_YET
from rigopt.optimiser.solver.watch import Watch
from rigopt.output.data.grow_data import grow_json
from rigopt.output.terminal.grow import grow_text
from rigopt.output.terminal.grow_most import most_text
from rigopt.output.words import reasons
from tests.growth.world import NO_END, PLAIN, grown, shop, stage

TOML = """
title = "Band"
[[stage]]
title = "EP"
inputs.mic = 8
[[stage]]
inputs.mic = 16
price_factor = 0.9
"""


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "band.toml"
    path.write_text(TOML)
    return path


Shown = pytest.CaptureFixture[str]


def test_text_json_and_list_agree(file: Path, capsys: Shown) -> None:
    told = ["grow", str(file), "--json", "g.json", "--shopping-list", "g.csv"]
    assert run(told) == 0
    text = capsys.readouterr().out
    answer = json.loads((file.parent / "g.json").read_text())
    rows = list(csv.DictReader(Path("g.csv").read_text().splitlines()))
    assert answer["format"] == "rigopt-growth/2"
    assert answer["status"] == "proven cheapest"
    assert f"Total:  {answer['total']} GBP" in text
    assert [one["title"] for one in answer["stages"]] == ["EP", "Stage 2"]
    totals = [row["line_total"] for row in rows if row["item"] == "total"]
    assert totals == [one["outlay"] for one in answer["stages"]]
    assert rows[0]["stage"] == "EP"
    for one in answer["stages"]:
        assert f"{one['outlay']}" in text
        bought = {line["item"] for line in one["purchases"]}
        new = {unit["device"] for unit in one["units"] if not unit["owned"]}
        assert new <= bought


def test_each_stage_of_the_json_can_be_audited(file: Path, capsys: Shown) -> None:
    assert run(["grow", str(file), "--json", "g.json"]) == 0
    for number, one in enumerate(json.loads(Path("g.json").read_text())["stages"]):
        rig = {"rate_khz": one["rate_khz"], "units": one["units"], "links": one["links"]}
        Path(f"{number}.json").write_text(json.dumps(rig))
        assert run(["audit", f"{number}.json"]) == 0
    capsys.readouterr()


def test_data_on_standard_output_leaves_a_summary(file: Path, capsys: Shown) -> None:
    assert run(["grow", str(file), "--json", "-"]) == 0
    shown = capsys.readouterr()
    assert json.loads(shown.out)["format"] == "rigopt-growth/2"
    assert shown.err.startswith("Band\n====\nTotal:")
    assert "STAGE 1" not in shown.err


def test_stages_are_needed(file: Path, capsys: Shown) -> None:
    file.write_text("title = 'none'\n")
    assert run(["grow", str(file)]) == 2
    assert "[[stage]]" in capsys.readouterr().err


def test_a_stage_out_of_reach_is_named(file: Path, capsys: Shown) -> None:
    file.write_text(TOML.replace("mic = 16", "mic = 999"))
    assert run(["grow", str(file), "--json", "-"]) == 3
    shown = capsys.readouterr().err
    assert "Stage 2: No rig serves 999 microphones" in shown
    assert "EP:" not in shown


def test_budgets_that_are_too_small_are_named(file: Path, capsys: Shown) -> None:
    file.write_text(TOML + "budget = 10\n" + "limits.rack_units = 2\n")
    file.write_text(file.read_text().replace("inputs.mic = 8", "inputs.mic = 8\nbudget = 300"))
    assert run(["grow", str(file), "--json", "g.json"]) == 3
    assert "Stage 2: the budgets of the stages until then" in capsys.readouterr().out
    answer = json.loads(Path("g.json").read_text())
    assert answer["status"] == "impossible"
    assert len(answer["reasons"]) == 1


@pytest.mark.usefixtures("no_time")
def test_no_time(file: Path, capsys: Shown) -> None:
    assert run(["grow", str(file), "--time-limit", "7"]) == 4
    assert "No way through these stages was found within 7 s" in capsys.readouterr().out
    assert run(["grow", str(file), "--budget-per-stage", "300"]) == 4
    assert "time was up" in capsys.readouterr().out


@pytest.mark.full
def test_the_most_for_a_budget_at_each_stage(file: Path, capsys: Shown) -> None:
    told = ["grow", str(file), "--budget-per-stage", "300", "--json", "m.json"]
    assert run([*told, "--shopping-list", "m.csv"]) == 0
    text = capsys.readouterr().out
    answer = json.loads(Path("m.json").read_text())
    assert answer["ended"] == "reached"
    assert answer["budget_per_stage"] == "300.00"
    counts = [one["mic"] for one in answer["stages"]]
    assert f"Most:   {counts[0]} microphones, then {counts[1]} microphones" in text
    assert all(one["proven"] for one in answer["stages"])
    assert all(float(one["outlay"]) <= 300 for one in answer["stages"])
    assert Path("m.csv").read_text().count("total") >= 2


def test_too_little_for_any_stage(file: Path, capsys: Shown) -> None:
    told = ["grow", str(file), "--budget-per-stage", "1", "--shopping-list", "m.csv"]
    assert run(told) == 3
    assert "Most:   no rig at all." in capsys.readouterr().out
    assert not Path("m.csv").exists()


def test_listed_sources_cannot_grow(file: Path, capsys: Shown) -> None:
    file.write_text(TOML + '[[stage.source]]\nname = "Voice"\n')
    file.write_text(file.read_text().replace("inputs.mic = 16\n", ""))
    assert run(["grow", str(file), "--budget-per-stage", "300"]) == 2
    assert "their number cannot grow" in capsys.readouterr().err
    assert run(["grow", str(file)]) == 0
    assert "Voice" in capsys.readouterr().out


def test_open_ends_are_told() -> None:
    found = grown(shop(), stage(8), stage(16))
    assert "70" in _ahead(found)
    assert "as far as was found in the time" in _ahead(replace(found, known="found"))
    assert "cannot all be reached" in _ahead(replace(found, one_by_one=None, known="stuck"))
    assert "not found in the time" in _ahead(replace(found, one_by_one=None, known="time"))
    open_ended = replace(found.together, proven=False, bound=100)
    text = _text(replace(found, together=open_ended))
    flat = " ".join(text.split())
    assert "No way with this catalogue costs less than 1.00 GBP." in flat
    assert json.loads(grow_json(replace(found, together=open_ended), shop()))["bound"] == "1.00"
    alone = grow_json(replace(found, one_by_one=None, known="stuck"), shop())
    assert json.loads(alone)["one_by_one"] is None
    same = grown(shop(), stage(8))
    assert "saves nothing here" in _ahead(same)


def test_a_second_opinion_and_a_proof_are_handed_on() -> None:
    found = grown(shop(), stage(8))
    asked = replace(found, second="agrees")
    assert json.loads(grow_json(asked, shop()))["second_opinion"] == "agrees"
    assert "second_opinion" not in json.loads(grow_json(found, shop()))
    needs = stage(8).needs
    assert telling.grown(found, shop(), needs).proven
    unsure = replace(found, together=replace(found.together, proven=False))
    assert not telling.grown(unsure, shop(), needs).proven


def test_counts_that_are_not_proven_are_told() -> None:
    way = grown(shop(), stage(8), stage(16)).together
    needs = replace(stage(0).needs, budget=100_000, stages=(stage(8), stage(16)))
    text = most_text(Most(way, (True, False), "reached"), shop(), needs)
    assert "none yet; there may be more for the money" in text
    assert text.split("THE STAGES")[1].split("STAGE 1")[0].split().count("no") == 1


def in_the_way(found: object) -> tuple[str, ...]:
    assert isinstance(found, OutOfReach)
    return reasons.in_the_way(found, "GBP")


def _text(found: Grown) -> str:
    needs = replace(stage(0).needs, stages=(stage(8), stage(16)))
    return grow_text(found, shop(), needs)


def _ahead(found: Grown) -> str:
    return " ".join(_text(found).split("Ahead:")[1].split("\n\n")[0].split())


@pytest.mark.made_up
def test_an_unsound_growth_is_not_shown(monkeypatch: pytest.MonkeyPatch) -> None:
    real = growing.growth

    def wrong(*args: Any) -> Growth | None:
        found = real(*args)
        assert found is not None
        first = replace(found.steps[0], rig=replace(found.steps[0].rig, total=1))
        return replace(found, steps=(first, *found.steps[1:]))

    monkeypatch.setattr(growing, "growth", wrong)
    with pytest.raises(AuditFailedError):
        ask_growth(shop(), [stage(8)])


@pytest.mark.usefixtures("no_time")
def test_stop_before_there_is_anything(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Watch, "question", lambda watch, *_: setattr(watch, "stopped", True))
    with pytest.raises(KeyboardInterrupt):
        ask_growth(shop(), [stage(8)])
    with pytest.raises(KeyboardInterrupt):
        ask_most_each(shop(), [stage(8)], 30_000)


def test_which_stage_is_the_obstacle() -> None:
    budgets = [stage(8, budget=20_000), stage(16, budget=20_000)]
    found = obstacle(shop(), budgets, NO_END)
    assert found is not None
    assert (found.stage, found.money, found.alone) == (budgets[1], True, None)
    never = [stage(8), stage(9, rate_hz=192_000), stage(999)]
    alone = obstacle(shop(), never, NO_END)
    assert alone is not None
    assert (alone.stage, alone.money) == (never[1], False)
    assert alone.alone is not None


def test_a_stage_that_stands_in_the_way_of_another() -> None:
    """One interface is left in stock; what is lent at first is gone at the second stage."""
    from rigopt.catalogue.types import Offer

    catalogue = shop(Offer("plain", "north", 20_000, stock=0), devices=(PLAIN,))
    first = stage(8, owned={"plain": 1})
    told = in_the_way(ask_growth(catalogue, [first, stage(8, title="second")]))
    assert told
    assert all(reason.startswith("second: ") for reason in told)


def test_with_what_a_stage_out_of_reach_would_do() -> None:
    """At 192 kHz nothing runs: what would do is said of the stage by itself, budgets aside."""
    stages = [stage(8), stage(16, title="second", rate_hz=192_000, budget=1)]
    found = ask_growth(shop(), stages)
    assert isinstance(found, OutOfReach)
    needs = replace(stage(0).needs, stages=tuple(stages))
    told = "second would do by itself with 48 kHz (506.00 GBP)."
    assert grow_text(found, shop(), needs).endswith(f"\n\n{told}\n")
    data = json.loads(grow_json(found, shop()))
    assert data["stage"] == "second"
    assert data["changes"] == [{"set": {"rate_khz": 48}, "total": "506.00"}]
    assert data["conflict"] == [{"need": "rate_khz", "value": 192}]
    unknown = replace(found, obstacle=None)
    assert reasons.would_do(unknown, "GBP") == ""
    data = json.loads(grow_json(unknown, shop()))
    assert (data["stage"], data["conflict"], data["changes"]) == (None, [], [])


def test_several_ways_to_change_a_stage_are_told_with_what_they_cost() -> None:
    ways = (
        Change((Setting("max_hosts", 2),), 80_800),
        Change((Setting("mic", 18), Setting("rate_hz", 48_000)), None),
    )
    stands = Obstacle(stage(24, title="Third"), money=False, alone=Impossible(changes=ways))
    assert reasons.would_do(OutOfReach(stands), "GBP") == (
        "Third would do by itself with up to 2 hosts (808.00 GBP); or with 18 microphones and "
        "48 kHz."
    )
    fewer = Impossible(changes=(Change((Setting("mic", 8), Setting("phantom", 8)), 500),))
    assert reasons.would_do(OutOfReach(replace(stands, alone=fewer)), "GBP") == (
        "Third would do by itself with 8 microphones (5.00 GBP)."
    )
    for none in (replace(stands, alone=Impossible()), replace(stands, alone=None)):
        assert reasons.would_do(OutOfReach(none), "GBP") == ""


def test_reasons_that_are_not_clear_in_time(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(hindering, "together", lambda *_: NOTHING_YET)
    assert in_the_way(ask_growth(shop(), [stage(999)])) == (
        "The time was up before it was clear which stage is out of reach.",
    )


def test_a_way_back_that_exists_only_by_itself(monkeypatch: pytest.MonkeyPatch) -> None:
    """A stage that has a rig by itself, and none after the others."""
    infeasible = replace(NOTHING_YET, status="infeasible")
    monkeypatch.setattr(hindering, "together", lambda *_: infeasible)
    monkeypatch.setattr(growing, "together", lambda *_: infeasible)
    assert in_the_way(ask_growth(shop(), [stage(8, title="one")])) == (
        "one: there is a rig for it, but not together with the stages before it.",
    )


def test_where_time_runs_out_over_the_money_there_is_no_obstacle(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    reached = iter([2, None])
    monkeypatch.setattr(hindering, "_reached", lambda *_: next(reached))
    assert obstacle(shop(), [stage(8), stage(16, budget=1)], NO_END) is None


@pytest.mark.usefixtures("no_time")
def test_without_time_there_is_no_obstacle() -> None:
    assert obstacle(shop(), [stage(99)], NO_END) is None
    assert isinstance(ask_growth(shop(), [stage(8)]), OutOfTime)


def test_the_same_answer_every_time(file: Path, capsys: Shown) -> None:
    texts = []
    for _ in range(2):
        assert run(["grow", str(file)]) == 0
        texts.append(capsys.readouterr().out)
    assert texts[0] == texts[1]


def test_control_characters_do_not_come_through(file: Path, capsys: Shown) -> None:
    file.write_text(TOML.replace('"EP"', '"E\\u001b[31mP"'))
    assert run(["grow", str(file), "--shopping-list", "g.csv"]) in (0, 2)
    shown = capsys.readouterr()
    assert "\x1b" not in shown.out + shown.err
    assert not Path("g.csv").exists() or "\x1b" not in Path("g.csv").read_text()


def test_stages_that_need_foresight_have_nothing_beside_them() -> None:
    found = ask_growth(shop(), [stage(8), stage(16, budget=599)])
    assert isinstance(found, Grown)
    assert found.one_by_one is None
    assert found.together.total == 50_600
