"""The keys are those of the published format, section by section."""

import json
from dataclasses import replace

import pytest

from rigopt.answers.choice import Fact
from rigopt.answers.outcome import Answered, Impossible, OutOfTime
from rigopt.catalogue.types import Extra
from rigopt.output.data.answer_json import plan_json
from rigopt.output.data.json_parts import rate_khz
from tests.output.rigs import CATALOGUE, NEEDS, answered, ordered, sixteen


def test_a_whole_answer() -> None:
    document = json.loads(plan_json(answered(), CATALOGUE, NEEDS))
    assert list(document) == [
        "format",
        "status",
        "currency",
        "total",
        "bound",
        "rate_khz",
        "units",
        "links",
        "inputs",
        "purchases",
        "orders",
        "to_sell",
        "clock_hops",
        "owned",
        "missing",
    ]
    assert document["format"] == "rigopt-plan/2"
    assert document["status"] == "proven cheapest"
    assert (document["currency"], document["total"]) == ("GBP", "206.00")
    assert (document["bound"], document["rate_khz"]) == ("206.00", 48)
    assert document["clock_hops"] == 1


def test_each_part() -> None:
    document = json.loads(plan_json(answered(), CATALOGUE, NEEDS))
    assert document["units"] == [
        {
            "name": "host-1",
            "device": "desk-8",
            "role": "host",
            "owned": False,
            "clock": {"source": "optical", "socket": 1, "from": "expander-1"},
            "phantom_banks_on": [1],
        },
        {
            "name": "expander-1",
            "device": "rack-8",
            "role": "expander",
            "owned": True,
            "clock": {"source": "internal"},
            "phantom_banks_on": [],
        },
    ]
    assert document["links"] == [
        {
            "kind": "optical",
            "format": "light-pipe",
            "from": "expander-1",
            "from_socket": 1,
            "to": "host-1",
            "to_socket": 1,
            "channels": 8,
            "carries": ["audio", "clock"],
            "back": 0,
            "cable": "opt-1m",
            "after": None,
            "tee": None,
            "terminator": None,
            "piece": None,
        }
    ]
    assert document["inputs"][0] == {
        "computer_input": 1,
        "unit": "host-1",
        "channel": 1,
        "accepts": ["mic", "line", "instrument"],
        "phantom": True,
        "use": "mic",
        "source": None,
        "path": [],
    }
    assert document["purchases"][1] == {
        "item": "opt-1m",
        "kind": "cable",
        "seller": None,
        "quantity": 1,
        "unit_price": "6.00",
        "total": "6.00",
        "currency": "GBP",
    }


def test_a_unit_that_needs_no_clock_has_none() -> None:
    idle = replace(sixteen().units[1], clock=None)
    rig = replace(sixteen(), units=(*sixteen().units, replace(idle, name="expander-2")))
    document = json.loads(plan_json(answered(rig), CATALOGUE, NEEDS))
    assert document["units"][2]["clock"] is None


def test_best_found_has_its_bound() -> None:
    document = json.loads(plan_json(Answered(sixteen(), 100, False), CATALOGUE, NEEDS))
    assert (document["status"], document["bound"]) == ("best found", "1.00")


def test_a_cable_nobody_named_is_null() -> None:
    link = replace(sixteen().links[0], cable=None)
    document = json.loads(
        plan_json(answered(replace(sixteen(), links=(link,))), CATALOGUE, NEEDS)
    )
    assert document["links"][0]["cable"] is None


def test_outcomes_without_a_rig() -> None:
    none = Impossible(facts=(Fact("no_host"),))
    assert json.loads(plan_json(none, CATALOGUE, NEEDS)) == {
        "format": "rigopt-plan/2",
        "status": "impossible",
        "reasons": ["No host is for sale or owned."],
        "conflict": [],
        "changes": [],
        "blank_cells": [],
    }
    assert json.loads(plan_json(OutOfTime(2.5), CATALOGUE, NEEDS)) == {
        "format": "rigopt-plan/2",
        "status": "out of time",
        "time_limit_s": 2.5,
    }


def test_any_label_comes_back_exactly_and_only_ascii_is_written() -> None:
    name = '\x1b[31m "\\ \x7f\u202e\ud800 漢字🎤'
    rig = replace(sixteen(), inputs=(replace(sixteen().inputs[0], source=name),))
    text = plan_json(answered(rig), CATALOGUE, NEEDS)
    assert text.isascii()
    assert all(char.isprintable() or char == "\n" for char in text)
    assert json.loads(text)["inputs"][0]["source"] == name
    assert text.endswith("}\n")


@pytest.mark.parametrize(
    ("hertz", "shown"), [(48000, "48"), (44100, "44.1"), (88200, "88.2"), (192000, "192")]
)
def test_rates_are_numbers_as_people_write_them(hertz: int, shown: str) -> None:
    assert json.dumps(rate_khz(hertz)) == shown


def test_money_follows_the_currency() -> None:
    yen = replace(CATALOGUE, currency="JPY")
    assert json.loads(plan_json(answered(), yen, NEEDS))["total"] == "20600"


def test_orders_are_in_the_seller_s_currency_and_their_totals_in_the_catalogue_s() -> None:
    rig, catalogue = ordered()
    document = json.loads(plan_json(answered(rig), catalogue, NEEDS))
    assert [(p["seller"], p["unit_price"], p["currency"]) for p in document["purchases"]] == [
        ("far", "234.00", "EUR"),
        ("corner", "3.00", "GBP"),
        (None, "300.00", "GBP"),
    ]
    assert document["orders"] == [
        {
            "seller": "corner",
            "currency": "GBP",
            "goods": "6.00",
            "delivery": "4.99",
            "tax": "2.20",
            "total": "13.19",
        },
        {
            "seller": "far",
            "currency": "EUR",
            "goods": "234.00",
            "delivery": "0.00",
            "tax": "0.00",
            "total": "200.00",
        },
    ]
    assert document["total"] == "513.19"


def test_what_is_owned_and_what_is_missing() -> None:
    stand = Extra("stand", "Stand", "mic")
    shop = replace(CATALOGUE, extras={"stand": stand})
    needs = replace(NEEDS, owned={"rack-8": 2, "stand": 3, "opt-8m": 1})
    document = json.loads(plan_json(answered(), shop, needs))
    assert document["owned"] == [
        {"item": "rack-8", "kind": "device", "used": 1, "unused": 1},
        {"item": "opt-8m", "kind": "cable", "used": 0, "unused": 1},
        {"item": "stand", "kind": "extra", "used": 3, "unused": 0},
    ]
    assert document["missing"] == [{"item": "stand", "kind": "extra", "quantity": 7}]
