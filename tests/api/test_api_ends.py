"""Each question from Python ends in the type promised, and tells what its command does."""

from __future__ import annotations

import dataclasses
import datetime
import html
import json
import re
import shlex
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

import rigopt
from rigopt.answers import growth, outcome, repair, series
from rigopt.api import ask
from rigopt.api import series as several
from rigopt.api.results import Result
from rigopt.cli.main import run
from tests.api.api_world import SHOPS, SMALL, Question

Asked = tuple[Question, Result]


@pytest.mark.usefixtures("shop")
def test_it_is_what_the_command_says(asked: Asked, capsys: pytest.CaptureFixture[str]) -> None:
    question, found = asked
    assert type(found) is question.kind
    args = [*shlex.split(question.args), "--catalog", str(SMALL)]
    if question.page:
        args += ["--page", "page.html"]
    if question.kind is not rigopt.Rates:
        args += ["--json", "answer.json"]
    assert run(args) == found.exit_status
    assert found.to_text() == capsys.readouterr().out
    if question.kind is not rigopt.Rates:
        assert found.to_dict() == json.loads(Path("answer.json").read_text("utf-8"))
    page = found.to_html()
    if question.page:
        assert page == Path("page.html").read_text("utf-8")
    else:
        assert page == f"<pre>{html.escape(found.to_text())}</pre>\n"


def test_a_notebook_shows_it(asked: Asked) -> None:
    question, found = asked
    shown = found._repr_html_()
    if not question.page:
        assert shown == found.to_html()
        return
    framed = re.fullmatch(r'<iframe srcdoc="([^"]*)" style="[^"]*"></iframe>\n', shown)
    assert framed is not None
    assert html.unescape(framed[1]) == found.to_html()


def test_totals_and_proofs_are_those_of_the_data(asked: Asked) -> None:
    question, found = asked
    said = found.to_dict()
    total = said.get("total", said.get("repair", {}).get("total"))
    if total is None or question.kind is rigopt.Impossible:
        assert found.total is None
    else:
        assert found.total == Decimal(total)
    assert found.proven == (question.kind not in (rigopt.OutOfTime, rigopt.NoRepair))
    if "status" in said:
        assert found.status == said["status"]
    assert found.status in repr(found)
    assert question.kind.__name__ in repr(found)
    assert found.total is None or str(found.total) in repr(found)


def test_ends_can_be_matched(shop: rigopt.Catalogue) -> None:
    def told(needs: rigopt.Needs) -> str:
        match rigopt.plan(needs, shop):
            case rigopt.Answered(total=total):
                return f"{total}"
            case rigopt.Impossible() as none:
                return str(none.to_dict()["changes"][0]["total"])
            case rigopt.OutOfTime():
                return "later"

    assert told(rigopt.Needs(mic=8)) == "240.00"
    assert told(rigopt.Needs(mic=8, rate_khz=192)) == "240.00"


def test_the_drawing_the_steps_and_the_day_of_a_plan(
    shop: rigopt.Catalogue, capsys: pytest.CaptureFixture[str]
) -> None:
    found = rigopt.plan(rigopt.Needs(mic=16), shop)
    assert isinstance(found, rigopt.Answered)
    both = ["--wiring", "--steps"]
    assert run(["plan", "--mic", "16", "--catalog", str(SMALL), *both]) == 0
    assert found.to_text(wiring=True, steps=True) == capsys.readouterr().out
    offered = rigopt.plan(
        rigopt.Needs(mic=16, exchange={"EUR": 1.17}), rigopt.read_catalogue(SHOPS)
    )
    assert isinstance(offered, rigopt.Answered)
    days = [datetime.date(2026, 1, 1), datetime.date(2099, 1, 1)]
    early, late = (offered.to_text(today=day) for day in days)
    assert "2099-01-01 these prices are older" in " ".join(late.split())
    assert "2099" not in early


def test_columns_and_points_are_plans(shop: rigopt.Catalogue) -> None:
    needs = [rigopt.Needs(mic=8, rate_khz=rate) for rate in (48, 192)]
    side_by_side = rigopt.compare(needs, shop)
    alone = [rigopt.plan(said, shop) for said in needs]
    assert [column.to_dict() for column in side_by_side.columns] == [
        plan.to_dict() for plan in alone
    ]
    assert side_by_side.total is None
    points = rigopt.curve(rigopt.Needs(), shop, [16, 8, 16, 40, 80]).points
    assert [type(end) for end in points.values()] == [
        rigopt.Answered,
        rigopt.Answered,
        rigopt.Impossible,
    ]
    for mic in (8, 16, 40):
        assert points[mic].to_text() == rigopt.plan(rigopt.Needs(mic=mic), shop).to_text()


def test_the_most_for_a_budget(shop: rigopt.Catalogue) -> None:
    found = rigopt.stretch(rigopt.Needs(budget="450.00"), shop)
    assert isinstance(found, rigopt.Stretched)
    assert (
        found.mic == found.to_dict()["stretch"]["mic"] == len(found.inputs.dropna(subset="use"))
    )


def test_several_catalogues_are_each_asked(shop: rigopt.Catalogue) -> None:
    euros = dataclasses.replace(shop, currency="EUR")
    needs = [rigopt.Needs(mic=2), rigopt.Needs(mic=8)]
    found = rigopt.compare(needs, [shop, euros], exchange={"EUR": 2})
    said = found.to_dict()
    assert said["exchange"] == {"EUR": "2"}
    told = [(column["mic"], column["currency"]) for column in said["columns"]]
    assert told == [(2, "GBP"), (2, "EUR"), (8, "GBP"), (8, "EUR")]
    assert said["columns"][1]["converted"] == "45.00"
    one = rigopt.compare(rigopt.Needs(mic=2), [shop, shop])
    assert len(one.columns) == 2


def test_a_rig_may_be_what_its_json_holds(shop: rigopt.Catalogue) -> None:
    needs = rigopt.Needs(mic=16)
    planned = rigopt.plan(needs, shop).to_dict()
    assert isinstance(rigopt.audit(planned, shop, needs), rigopt.Works)
    assert isinstance(rigopt.audit(planned, shop, rigopt.Needs(mic=17)), rigopt.Faulty)
    at_each = rigopt.rates({"units": planned["units"], "links": planned["links"]}, shop)
    assert [rate["rate_khz"] for rate in at_each.to_dict()["rates"]] == [44.1, 48, 96]
    assert isinstance(rigopt.audit(planned, shop, needs, rate_khz=96), rigopt.Faulty)
    with pytest.raises(rigopt.RigoptError, match=r"^rig, units\[1\]\.device: .*desk"):
        rigopt.audit({"units": [{"name": "a", "device": "desk-9", "clock": "internal"}]}, shop)


def test_the_rates_as_data(shop: rigopt.Catalogue) -> None:
    at_48 = rigopt.rates("works.toml", shop).to_dict()["rates"][1]
    assert at_48 == {
        "rate_khz": 48,
        "works": True,
        "clock_holds": True,
        "inputs": {"host-1": 8, "expander-1": 8},
        "dead_sockets": [],
        "findings": [],
    }
    limp = {
        "units": [
            {"name": "a", "device": "desk-8", "clock": "optical 1"},
            {"name": "b", "device": "pre-8", "clock": "internal"},
        ],
        "links": [
            {"kind": "optical", "from": "b", "from_socket": 1, "to": "a", "to_socket": 1}
        ],
    }
    at_96 = rigopt.rates(limp, shop).to_dict()["rates"][-1]
    assert (at_96["rate_khz"], at_96["works"], at_96["clock_holds"]) == (96, False, False)
    assert at_96["inputs"] == {"a": 8, "b": None}


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        (lambda shop: rigopt.curve(rigopt.Needs(), shop, []), "begin with 1 or more"),
        (lambda shop: rigopt.curve(rigopt.Needs(), shop, range(8, 10**30)), "200 counts"),
        (lambda shop: rigopt.curve(rigopt.Needs(), shop, [10**30]), "end with 1000000 or less"),
        (lambda shop: rigopt.curve(rigopt.Needs(phantom=9), shop, [8]), "with 9 or more"),
        (lambda shop: rigopt.stretch(rigopt.Needs(), shop), "how much money"),
        (lambda shop: rigopt.grow(rigopt.Needs(mic=1), shop), "say the stages"),
        (lambda shop: rigopt.compare([], shop), "nothing to compare"),
        (lambda shop: rigopt.plan(rigopt.Needs(mic=1), shop, alternatives=-1), "negative"),
        (
            lambda shop: rigopt.stretch(
                rigopt.Needs(budget=1, sources=[{"name": "Alto"}]), shop
            ),
            "one by one",
        ),
        (
            lambda shop: rigopt.grow(
                rigopt.Needs(stages=[rigopt.Needs(sources=[{"name": "Alto"}])]),
                shop,
                budget_per_stage=300,
            ),
            "one by one",
        ),
        (lambda shop: rigopt.audit("gone.toml", shop), "there is no such file"),
        (lambda shop: rigopt.audit("works.toml", shop, rate_khz=47), "sample rate"),
        (lambda _: rigopt.read_catalogue("nowhere"), "there is no such folder"),
    ],
)
def test_what_cannot_be_asked_is_an_error(
    wrong: object, said: str, shop: rigopt.Catalogue
) -> None:
    with pytest.raises(rigopt.RigoptError, match=said):
        wrong(shop)  # type: ignore[operator]


def test_the_demo_is_marked_as_invented() -> None:
    assert rigopt.demo_catalogue().invented
    assert not rigopt.read_catalogue(SMALL).invented


def test_a_time_that_is_too_short_is_no_proof(
    shop: rigopt.Catalogue, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = ask.finished

    def unproven(end: outcome.Outcome, *rest: object) -> outcome.Outcome:
        found = real(end, *rest)  # type: ignore[arg-type]
        assert isinstance(found, outcome.Answered)
        return dataclasses.replace(found, proven=False)

    for module in (ask, several):
        monkeypatch.setattr(module, "finished", unproven)
    found = rigopt.plan(rigopt.Needs(mic=8), shop)
    assert (found.proven, found.status) == (False, "best found")
    assert not rigopt.compare([rigopt.Needs(mic=8)], shop).proven
    assert not rigopt.curve(rigopt.Needs(), shop, [8]).proven
    assert not rigopt.stretch(rigopt.Needs(budget=300), shop).proven


def test_every_end_has_its_word_and_exit_status() -> None:
    nothing = growth.Growth((), 0, True)
    late = series.Point(1, outcome.OutOfTime(1.0))
    ends: list[tuple[Any, str, int]] = [
        (outcome.Impossible(), "impossible", 3),
        (outcome.OutOfTime(1.0), "out of time", 4),
        (growth.OutOfReach(None), "impossible", 3),
        (growth.Most(nothing, (), "out of reach"), "out of reach", 3),
        (growth.Most(nothing, (), "time"), "time", 4),
        (series.Stretch(1, None, late, proven=False), "out of time", 4),
        (series.Stretch(1, None, late, proven=True), "impossible", 3),
        (series.Curve((1,), (late,)), "out of time", 4),
        (repair.NoRepair(), "no repair", 3),
    ]
    for end, word, status in ends:
        assert (end.status, end.exit_status) == (word, status)
