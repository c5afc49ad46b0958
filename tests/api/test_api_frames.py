"""Units, links, inputs and purchases as tables: the keys of the JSON, and all of its rows."""

from __future__ import annotations

import dataclasses
from decimal import Decimal

import pytest

import rigopt
from rigopt.api.results import Result
from tests.api.api_world import SHOPS, Question, small

KINDS = ("units", "links", "inputs", "purchases")
PLAIN = rigopt.Needs(mic=16, phantom=4)


@pytest.mark.parametrize("kind", KINDS)
def test_a_table_has_the_rows_of_the_json(kind: str) -> None:
    needs = dataclasses.replace(PLAIN, exchange={"EUR": 1.17})
    found = rigopt.plan(needs, rigopt.read_catalogue(SHOPS))
    wanted = found.to_dict()[kind]
    table = getattr(found, kind)
    assert list(table.columns) == list(wanted[0])
    rows = table.astype(object).where(table.notna(), None).to_dict("records")
    for row in rows:
        row |= {key: str(value) for key, value in row.items() if isinstance(value, Decimal)}
    assert rows == wanted


def test_columns_are_the_same_whatever_the_end(asked: tuple[Question, Result]) -> None:
    (question, found), plain = asked, rigopt.plan(PLAIN, small())
    first = {
        rigopt.Comparison: ["column"],
        rigopt.Curve: ["mic"],
        rigopt.Grown: ["stage"],
        rigopt.Rates: ["rate_khz"],
    }.get(question.kind, [])
    if question.args.startswith("grow"):
        first = ["stage"]
    for kind in KINDS:
        table = getattr(found, kind)
        assert list(table.columns) == [*first, *getattr(plain, kind).columns]
        none = question.kind in (rigopt.Impossible, rigopt.OutOfTime)
        assert not (none and len(table))
        if kind in ("units", "inputs") and question.name != "no repair":
            assert len(table) or none


def test_money_can_be_added_up(shop: rigopt.Catalogue) -> None:
    found = rigopt.plan(PLAIN, shop)
    assert found.purchases.total.sum() == found.total
    assert (found.purchases.quantity * found.purchases.unit_price).sum() == found.total


def test_rows_say_of_which_rig_they_are(shop: rigopt.Catalogue) -> None:
    needs = [rigopt.Needs(mic=mic, rate_khz=rate) for mic, rate in ((8, 48), (8, 192), (2, 48))]
    found = rigopt.compare(needs, shop)
    assert list(found.units.column) == [1, 3]
    assert list(found.inputs.groupby("column").size()) == [8, 2]
    curve = rigopt.curve(rigopt.Needs(), shop, [2, 8, 80])
    assert list(curve.purchases.mic) == [2, 8]
    stages = [rigopt.Needs(title="a", mic=2), rigopt.Needs(title="b", mic=2)]
    grown = rigopt.grow(rigopt.Needs(stages=stages), shop)
    assert list(grown.units.stage) == ["a", "b"]
    assert list(grown.purchases.stage) == ["a"]


def test_a_repair_has_the_rig_as_it_works(shop: rigopt.Catalogue) -> None:
    before, after = rigopt.audit("faulty.toml", shop), rigopt.repair("faulty.toml", shop)
    assert list(before.units.name) == list(after.units.name)
    assert list(before.units.clock) != list(after.units.clock)
    assert list(after.units.clock) == [unit["clock"] for unit in after.to_dict()["units"]]


def test_a_table_is_the_askers_own(shop: rigopt.Catalogue) -> None:
    found = rigopt.plan(PLAIN, shop)
    mine = found.units
    mine["name"] = "gone"
    assert "gone" not in set(found.units["name"])
