"""Rows of a catalogue, purchases of a repair, and reasons, in words: made by hand."""

from __future__ import annotations

import datetime
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from rigopt.answers.choice import BlankCell, Need
from rigopt.answers.growth import Obstacle, OutOfReach
from rigopt.answers.outcome import Impossible, NotAsked, OutOfTime
from rigopt.answers.repair import Repaired
from rigopt.answers.series import Point, Stretch
from rigopt.catalogue.types import Cable, Catalogue, Extra, Offer, Seller
from rigopt.errors import Fault
from rigopt.facts import FORMATS, Format
from rigopt.needs.types import Needs, Stage
from rigopt.output.words.phrases import legend, signed
from rigopt.output.words.prices import catalogue_told
from rigopt.output.words.reasons import in_the_way, reasons, why
from rigopt.output.words.repair_bill import repair_cost, repair_told
from rigopt.output.words.rows import Row, rows
from rigopt.output.words.stretch import most
from rigopt.rig.types import Order, Purchase
from rigopt.rig.wired import WiredRig
from tests.output.rigs import CATALOGUE, answered, sixteen

DAY = datetime.date(2025, 1, 2)
WIDE = Format("wide", "trunk", "Wide link", "thick", (64, 32, 16), max_mm=7500)


def shop(**changes: Any) -> Catalogue:
    return replace(CATALOGUE, devices={}, cables={}, **changes)


def said(catalogue: Catalogue) -> list[tuple[str, str, str]]:
    return [(row.id, row.price, row.says) for row in rows(catalogue)]


def test_cables_and_extras_in_words() -> None:
    """A price that is a range, one that nobody knows, and what is not for sale."""
    cables = (
        Cable("lead", "", "optical", 1500, 600, pack=2, least=500),
        Cable("loom", "", "analogue", 2000, ends=("dsub", "jack"), ways=8),
        Cable("two", "", "analogue", 2000, ends=("jack", "xlr"), ways=2),
        Cable("one", "", "coax", 2000, 100),
        Cable("tee", "", "tee", 0, 100, pack=3),
    )
    extras = (Extra("stand", "", "mic", 2500, each=2), Extra("tape", "", "rig", 5, 10))
    found = shop(extras={one.id: one for one in extras}, unknown={"one": Fault("x", "y")})
    found = replace(found, cables={one.id: one for one in cables})
    assert said(found) == [
        ("lead", "5.00-6.00", "optical cable, 1.5 m; the price is for a pack of 2"),
        ("loom", "", "8-channel analogue cable from dsub to jack, 2 m"),
        ("two", "", "2-channel analogue cable from jack to xlr, 2 m"),
        ("one", "?", "coax cable, 2 m"),
        ("tee", "1.00", "tee; the price is for a pack of 3"),
        ("stand", "25.00", "2 for each microphone"),
        ("tape", "0.05", "1 for each rig; the price is for a pack of 10"),
    ]


def test_formats_sellers_and_offers_in_words() -> None:
    found = shop(
        formats={**FORMATS, "wide": WIDE, "both": WIDE._replace(id="both", duplex=True)},
        extras={"stand": Extra("stand", "A stand", "mic")},
        sellers={
            "near": Seller("near", "EUR", 490, 5000, Decimal("20.0")),
            "far": Seller("far", "GBP", 490),
            "free": Seller("free", "GBP", 0, 5000),
        },
        offers=(
            Offer("stand", "near", 1500, 2, 1, "used", DAY),
            Offer("stand", "far", 1600),
        ),
    )
    ways = "64/32/16 channels at 1x/2x/4x rates; on a cable of the kind 'thick'; "
    assert rows(found)[1:] == [
        Row(
            *("format", "wide", "Wide link", "", "GBP"),
            f"{ways}one way on each cable; carries clock; up to 7.5 m",
        ),
        Row(
            *("format", "both", "Wide link", "", "GBP"),
            f"{ways}both ways on one cable; carries clock; up to 7.5 m",
        ),
        Row(*("seller", "near", "", "", "EUR"), "delivery 4.90, none from 50.00; 20 % tax"),
        Row(*("seller", "far", "", "", "GBP"), "delivery 4.90; no tax added"),
        Row(*("seller", "free", "", "", "GBP"), "no delivery fee; no tax added"),
        Row(
            *("offer", "stand", "A stand", "15.00", "EUR"),
            "from near; the price is for a pack of 2; used; 1 pack in stock; price of "
            "2025-01-02",
        ),
        Row(*("offer", "stand", "A stand", "16.00", "GBP"), "from far"),
    ]


def test_what_a_repair_buys() -> None:
    lines = (
        Purchase("lead", "Lead, 1 m", "cable", 2, 300, 3, "near", "used"),
        Purchase("one", "", "cable", 1, 100),
    )
    orders = (Order("near", "EUR", 600, 499, 220, 1319), Order("far", "EUR", 1, 0, 0, 5))
    wired = WiredRig(48_000, sixteen().units, sixteen().links)
    found = Repaired(wired, (), (), (), lines, orders, 1419, 0, True)
    assert repair_told(wired, found, CATALOGUE) == [
        ("Buy", "2 x Lead, 1 m (pack of 3, used) from near, 6.00 EUR"),
        ("Buy", "1 x one, 1.00 GBP"),
        ("Order", "near, delivery 4.99, tax 2.20, in all 13.19 GBP"),
        ("Order", "far, in all 0.05 GBP"),
    ]
    assert repair_cost(found, CATALOGUE) == "14.19 GBP"
    assert repair_cost(replace(found, money=0), CATALOGUE) == "nothing to buy"


@pytest.mark.parametrize(
    ("total", "end"), [(None, "there is a rig."), (12345, "there is a rig for 123.45 GBP.")]
)
def test_a_cell_that_may_be_blank_by_mistake(total: int | None, end: str) -> None:
    cell = BlankCell("box", "line_out", "2", total)
    found = Impossible((Need("mic", 8),), blanks=(cell,))
    assert reasons(found, "GBP", Needs()) == (
        "No rig serves 8 microphones.",
        "box has no line output: is its cell line_out blank by mistake? With 2 in it " + end,
    )


def test_why_there_is_no_rig() -> None:
    late = "no rig was found in the time, and it is not proven that there is none."
    assert why(OutOfTime(1.0), "GBP", Needs()) == late
    assert why(NotAsked(), "GBP", Needs()) == "not asked, because it was stopped."
    assert why(answered(), "GBP", Needs()) == ""
    assert why(Impossible(), "GBP", Needs()) == "No unit of this catalogue works as a host."


STAGE = Stage("Concert", Needs(mic=8, budget=5))


@pytest.mark.parametrize(
    ("obstacle", "said"),
    [
        (None, "The time was up before it was clear which stage is out of reach."),
        (
            Obstacle(STAGE, True),
            "Concert: the budgets of the stages until then are not enough for it.",
        ),
        (
            Obstacle(STAGE, False),
            "Concert: there is a rig for it, but not together with the stages before it.",
        ),
        (
            Obstacle(STAGE, True, Impossible()),
            "Concert: No unit of this catalogue works as a host.",
        ),
    ],
)
def test_which_stage_is_out_of_reach(obstacle: Obstacle | None, said: str) -> None:
    assert in_the_way(OutOfReach(obstacle), "GBP") == (said,)


def test_the_oldest_price_is_told() -> None:
    lines = [
        Purchase("a", "", "cable", 1, 1, as_of=DAY),
        Purchase("b", "", "cable", 1, 1),
        Purchase("c", "", "cable", 1, 1, as_of=DAY - datetime.timedelta(1)),
    ]
    start = "from the catalogue 'Small catalogue'"
    assert catalogue_told(CATALOGUE, lines) == (
        f"{start}; the oldest dated price is of 2025-01-01"
    )
    assert catalogue_told(CATALOGUE, lines[1:2]) == catalogue_told(CATALOGUE) == start


def test_differences_and_what_ids_stand_for() -> None:
    assert [signed(minor, "GBP") for minor in (1, 0, -1)] == ["+0.01", "none", "-0.01"]
    assert legend({"a": "A", "b": "b", "c": ""}) == ["a: A"]


def test_the_most_without_a_rig() -> None:
    none = Stretch(100, Point(1, OutOfTime(1.0)), None, True)
    assert most(none, CATALOGUE).startswith("no rig of this catalogue that meets the other")
