"""Documents for programs: the members of each, of answers made by hand."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from rigopt.answers.checks import Check, Checks
from rigopt.answers.choice import Alternative, Change, Difference, Price, Setting, Why
from rigopt.answers.growth import Grown, Growth, Most, OutOfReach
from rigopt.answers.more import Better, More
from rigopt.answers.outcome import (
    Alternatives,
    Answered,
    Choice,
    Impossible,
    NotAsked,
    OutOfTime,
)
from rigopt.answers.prices import Ask, Prices
from rigopt.answers.rates import AtRate, ByRate
from rigopt.answers.series import Column, Curve, Point, Scenario, Stretch
from rigopt.answers.verdict import examine
from rigopt.needs.types import Needs
from rigopt.output.data.answer_json import plan_json
from rigopt.output.data.choice_json import choice_json
from rigopt.output.data.compare_data import compare_csv, compare_json
from rigopt.output.data.csv import harmless, records_text
from rigopt.output.data.curve_data import curve_csv, curve_json
from rigopt.output.data.grow_data import grow_json, most_json
from rigopt.output.data.json_parts import document, link_json, rate_khz
from rigopt.output.data.labels_csv import labels_csv
from rigopt.output.data.prices_json import prices_json
from rigopt.output.data.rates_json import rates_json
from rigopt.output.data.stretch_json import stretch_json
from rigopt.rig.wired import WiredRig
from tests.output.rigs import CATALOGUE, answered, lone, sixteen
from tests.output.test_repair_steps import END, TEE, WORD
from tests.output.test_step_words import SECOND

DEAR = answered(replace(sixteen(), units=sixteen().units[:1], total=30000))
ASKED = Needs(mic=10, line=3, instrument=4)
BAND = Column(Scenario("Band", CATALOGUE, ASKED), answered())
LATE = "no rig was found in the time, and it is not proven that there is none."


def test_what_was_asked_beside_an_answer() -> None:
    better = Better("inputs", Setting("mic", 24), Needs(), DEAR)
    checks = (
        Check("desk-8", "mains", "1", "1", "2", 30000, (("rack-8", 1),), (("x", 2),)),
        Check("desk-8", "mains", "1", "1", "2", None),
    )
    prices = (
        Price("desk-8", 1, 20000, None, "always"),
        Price("x", 0, None, 5, ""),
    )
    changes = (Change((Setting("budget", 500),), 20000), Change((Setting("mic", 1),), None))
    found: Any = choice_json(
        Choice(
            answered(),
            Alternatives((DEAR,), "asked"),
            Why(prices, changes, False),
            Checks(checks, False),
            More(Decimal(50), 30900, (better,)),
        ),
        "GBP",
    )
    differs = {"difference": "94.00", "without": {"rack-8": 1}, "with": {}}
    (other,) = found["alternatives"]
    assert {key: other[key] for key in differs} == differs
    assert other["total"] == "300.00"
    assert not {"status", "bound"} & set(other)
    assert found["why"] == {
        "complete": False,
        "prices": [
            {
                **{"device": "desk-8", "units": 1, "unit_price": "200.00"},
                **{"switch_price": None, "note": "always"},
            },
            {
                **{"device": "x", "units": 0, "unit_price": None},
                **{"entry_price": "0.05", "note": None},
            },
        ],
        "needs": [
            {"set": {"limits.budget": "5.00"}, "total": "200.00", "difference": "-6.00"},
            {"set": {"inputs.mic": 1}, "total": None, "difference": None},
        ],
    }
    assert found["checks"]["complete"] is False
    told = [
        (one["total"], one["difference"], one["without"], one["with"])
        for one in found["checks"]["facts"]
    ]
    assert told == [("300.00", "94.00", {"rack-8": 1}, {"x": 2}), (None, None, {}, {})]
    assert (found["more"]["complete"], found["more"]["limit"]) == (True, "309.00")
    (rig,) = found["more"]["rigs"]
    assert (rig["gain"], rig["set"], rig["difference"]) == (
        "inputs",
        {"inputs.mic": 24},
        "94.00",
    )
    assert choice_json(Choice(answered()), "GBP") == {}
    late = Choice(OutOfTime(1.0), Alternatives((), "time"))
    assert choice_json(late, "GBP") == {}


def test_columns_as_records() -> None:
    far = replace(CATALOGUE, currency="EUR", title="Far")
    euros = Column(
        Scenario("", far, Needs(rate_hz=44_100, master="host")),
        replace(Answered(replace(lone(), total=1000), 500, False), second="agrees"),
    )
    none = replace(BAND, outcome=NotAsked())
    columns, rates = [BAND, euros, none], {"EUR": Decimal("1.25")}
    found = json.loads(compare_json(columns, rates))
    assert (found["currency"], found["exchange"]) == ("GBP", {"EUR": "1.25"})
    first, second, third = found["columns"]
    assert (third["answer"], third["why_none"]) == (None, "not asked, because it was stopped.")
    assert first["answer"]["status"] == "proven cheapest"
    assert [one["second_opinion"] for one in found["columns"]] == [None, "agrees", None]
    asked = ("column", "question", "rate_khz", "mic", "line", "instrument", "master_wanted")
    assert [first[key] for key in asked] == [1, "Band", 48, 10, 3, 4, "any"]
    assert [second[key] for key in asked] == [2, "", 44.1, 0, 0, 0, "host"]
    money = ("total", "bound", "per_input", "converted", "difference")
    assert [first[key] for key in money] == ["206.00", "206.00", "12.88", "206.00", "0.00"]
    assert [second[key] for key in money] == ["10.00", "5.00", "1.25", "8.00", "-198.00"]
    assert [third[key] for key in money] == [None] * 5
    parts = ("clock_master", "clock_hops", "mic_used", "mic_spare", "rack_units", "mains")
    assert [first[key] for key in parts] == ["rack-8", 1, 10, 6, 1, 2]
    assert [third[key] for key in parts] == [None] * 6
    rows = list(csv.DictReader(io.StringIO(compare_csv(columns, rates), newline="")))
    assert [row["difference"] for row in rows] == ["0.00", "-198.00", ""]
    assert [row["units"] for row in rows] == ["1 desk-8 + 1 rack-8", "1 desk-8", ""]
    plain = json.loads(compare_json([BAND], {}))["columns"]
    assert "second_opinion" not in plain[0]


def test_a_curve_as_records() -> None:
    points = (Point(4, answered()), Point(6, OutOfTime(1.0)), Point(8, DEAR))
    curve = Curve((4, 6, 8, 9), points)
    found = json.loads(curve_json(curve, CATALOGUE, Needs(rate_hz=88_200)))
    assert (found["rate_khz"], found["currency"], found["unasked"]) == (88.2, "GBP", [9])
    assert found["points"][0] == {
        **{"mic": 4, "status": "proven cheapest", "currency": "GBP", "total": "206.00"},
        **{"bound": "206.00", "more": None, "per_input": "12.88", "mic_inputs": 16},
        **{"hosts": {"desk-8": 1}, "host_changes": False, "why_none": None},
        "units": {"desk-8": 1, "rack-8": 1},
    }
    assert found["points"][1]["why_none"] == LATE
    assert set(found["points"][1].values()) == {6, "out of time", None, LATE}
    assert found["points"][2]["more"] == "94.00"
    (_, row, _) = csv.DictReader(io.StringIO(curve_csv(curve, CATALOGUE, Needs()), newline=""))
    assert (row["mic"], row["total"], row["why_none"]) == ("6", "", LATE)


@pytest.mark.parametrize(
    ("best", "step", "status", "mic", "next_"),
    [
        (
            Point(10, answered()),
            Point(12, DEAR),
            *("proven cheapest", 10),
            {"mic": 12, "status": "proven cheapest", "total": "300.00"},
        ),
        (
            None,
            Point(1, Impossible()),
            *("impossible", None),
            {"mic": 1, "status": "impossible"},
        ),
        (Point(1, OutOfTime(1.0)), None, "out of time", 1, None),
    ],
)
def test_a_stretch_as_a_plan_with_counts(
    best: Point | None, step: Point | None, status: str, mic: int | None, next_: Any
) -> None:
    found = json.loads(stretch_json(Stretch(25000, best, step, True), CATALOGUE))
    assert found["status"] == status
    assert found["stretch"] == {"budget": "250.00", "mic": mic, "proven": True, "next": next_}
    assert ("total" in found) is (status == "proven cheapest")
    if status != "proven cheapest":
        (reason,) = found["reasons"]
        assert reason.startswith("no rig of this catalogue that meets the other needs")


def test_a_document_has_a_line_for_each_entry() -> None:
    assert document({"a": [1, {"b": "é\x7f"}], "c": [], "d": None}) == (
        '{\n  "a": [\n    1,\n    {"b": "\\u00e9\\u007f"}\n  ],\n  "c": [],\n  "d": null\n}\n'
    )
    assert [rate_khz(rate) for rate in (48_000, 44_100)] == [48, 44.1]
    assert isinstance(rate_khz(48_000), int)


@pytest.mark.parametrize(
    ("value", "cell"),
    [
        ({"a": 1, "b": 2}, "1 a + 2 b"),
        ({"=a": 1}, "1 =a"),
        (None, ""),
        (True, "yes"),
        (False, "no"),
        (-5, "-5"),
        ("-1.50", "-1.50"),
        ("-1.5.0", "'-1.5.0"),
        ("-", "'-"),
        ("--1", "'--1"),
        ("-１", "'-１"),
        ("=1+1", "'=1+1"),
        ("a;=1", "a;'=1"),
    ],
)
def test_a_value_as_a_cell(value: object, cell: str) -> None:
    """A number below nought is no formula; whatever else begins like one is made plain."""
    (row,) = csv.DictReader(io.StringIO(records_text([{"x": value, "y": 1}]), newline=""))
    assert row == {"x": cell, "y": "1"}
    assert harmless("a") == "a"


def test_the_most_at_each_stage_as_json() -> None:
    growth = Growth((SECOND,), 0, True)
    for budget, said in ((None, "0.00"), (5, "0.05")):
        found = json.loads(
            most_json(Most(growth, (False,), "time"), CATALOGUE, Needs(budget=budget))
        )
        assert (found["budget_per_stage"], found["total"], found["ended"]) == (
            *(said, "206.00", "time"),
        )
        assert [one["proven"] for one in found["stages"]] == [False]


def test_prices_to_look_up_as_json() -> None:
    late = json.loads(prices_json(OutOfTime(1.0), "GBP", Needs()))
    assert late == {"format": "rigopt-prices/1", "status": "out of time", "time_limit_s": 1.0}
    asked = Prices((Ask("desk-8", "every"),), None, 2)
    assert json.loads(prices_json(asked, "GBP", Needs())) == {
        **{"format": "rigopt-prices/1", "status": "prices wanted", "done": False},
        **{"ask": ["desk-8"], "why": {"desk-8": "every"}, "regret": None},
        **{"unknown": 2, "never_mattered": None},
    }
    done = json.loads(prices_json(Prices((), 5, 1, answered(), ("x",)), "GBP", Needs()))
    assert (done["regret"], done["never_mattered"], done["price_unknown"]) == ("0.05", 1, ["x"])
    assert done["plan"]["total"] == "206.00"


def test_labels_have_a_column_for_each_line() -> None:
    (head, first, *_) = csv.reader(io.StringIO(labels_csv(sixteen()), newline=""))
    assert head == ["kind", "name", "line_1", "line_2", "line_3", "line_4"]
    assert first[:3] == ["cable", "1", "expander-1 optical out 1"]


def test_an_alternative_says_how_it_differs() -> None:
    place = Alternative(2, Difference(500, (("rack-8", 1),), (("x", 2),)))
    found = json.loads(
        plan_json(replace(answered(), alternative=place), CATALOGUE, Needs(), {"more": 1})
    )
    told = [found[key] for key in ("alternative", "difference", "without", "with", "more")]
    assert told == [2, "5.00", {"rack-8": 1}, {"x": 2}, 1]
    assert "bound" not in found
    plain = json.loads(plan_json(answered(), CATALOGUE, Needs()))
    assert plain["bound"] == "206.00"
    assert not {"alternative", "difference", "more"} & set(plain)


def test_a_growth_without_a_way() -> None:
    found = json.loads(grow_json(OutOfReach(None), CATALOGUE))
    assert found["status"] == "impossible"
    assert found["reasons"] == [
        "The time was up before it was clear which stage is out of reach."
    ]
    assert json.loads(grow_json(OutOfTime(1.0), CATALOGUE))["status"] == "out of time"
    grown = json.loads(grow_json(Grown(Growth((SECOND,), 5, True), None), CATALOGUE))
    assert (grown["total"], grown["one_by_one"]) == ("206.00", None)


def test_a_rig_at_every_rate_as_json() -> None:
    wired = WiredRig(48_000, sixteen().units, sixteen().links)
    whole = AtRate(48_000, examine(wired, None), (), (), (), True)
    short = replace(whole, missing=("expander-1",), works=False)
    found = json.loads(rates_json(ByRate(wired, (whole, short))))
    assert [one["inputs"] for one in found["rates"]] == [
        {"host-1": 8, "expander-1": 8},
        {"host-1": 8, "expander-1": None},
    ]


def test_what_sits_on_a_cable_is_named() -> None:
    both = link_json(replace(WORD, tee=TEE, terminator=END))
    assert (both["tee"], both["terminator"]) == ("t", "e")
    assert (link_json(WORD)["tee"], link_json(WORD)["terminator"]) == (None, None)
