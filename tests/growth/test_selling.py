"""Used gear sold between stages. All priced by hand."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from rigopt.answers.growth import Growth
from rigopt.needs.types import Stage
from rigopt.optimiser.questions.growth.selling import settled
from rigopt.rig.types import Sale
from tests.growth.world import bought, faults, grown, outlays, refused, shop, stage, standing

PLAIN_SOLD: dict[str, Any] = {"owned": {"plain": 1}, "resale": {"plain": 15_000}}
DESK_SOLD: dict[str, Any] = {"owned": {"desk": 1}, "resale": {"desk": 25_000}}
PRE_SOLD: dict[str, Any] = {"owned": {"desk": 1, "pre": 1}, "resale": {"pre": 10_000}}


def sold(growth: Growth) -> list[list[tuple[str, int]]]:
    """Item and pieces of each sale, stage by stage."""
    return [[(one.item, one.quantity) for one in step.rig.to_sell] for step in growth.steps]


def test_what_is_displaced_is_sold_then() -> None:
    """At first it serves; then 300.00, 200.00 and 6.00 are paid, and 150.00 come back."""
    found = grown(shop(), stage(8, **PLAIN_SOLD), stage(16, **PLAIN_SOLD)).together
    assert sold(found) == [[], [("plain", 1)]]
    assert outlays(found) == [0, 35_600]
    assert standing(found) == [["plain"], ["desk", "pre"]]


def test_who_looks_ahead_keeps_what_is_of_use_later() -> None:
    """The desk brings 250.00 and a plain one costs 200.00, but a desk is needed again."""
    found = grown(shop(), stage(8, **DESK_SOLD), stage(16, **DESK_SOLD))
    assert (sold(found.together), outlays(found.together)) == ([[], []], [0, 20_600])
    alone = found.one_by_one
    assert alone is not None
    assert (sold(alone), outlays(alone)) == ([[("desk", 1)], []], [-5_000, 50_600])


def test_what_is_idle_for_a_while_is_not_sold() -> None:
    """An expander brings 100.00 and costs 200.00 when it is needed again."""
    sizes = (16, 8, 16)
    found = grown(shop(), *(stage(n, title=f"{i}", **PRE_SOLD) for i, n in enumerate(sizes)))
    assert (sold(found.together), outlays(found.together)) == ([[], [], []], [600, 0, 0])
    alone = found.one_by_one
    assert alone is not None
    assert outlays(alone) == [600, -10_000, 20_000]


def test_what_brings_more_than_it_costs_is_sold_and_bought_again() -> None:
    dear: dict[str, Any] = {**PRE_SOLD, "resale": {"pre": 25_000}}
    found = grown(shop(), *(stage(n, title=f"{i}", **dear) for i, n in enumerate((8, 16))))
    assert sold(found.together) == [[("pre", 1)], []]
    assert outlays(found.together) == [-25_000, 20_600]


def test_it_is_sold_at_the_first_stage_that_has_a_price() -> None:
    free = {**PRE_SOLD, "resale": {}}
    stages = (stage(8, title="a", **free), stage(8, title="b", **PRE_SOLD))
    assert sold(grown(shop(), *stages).together) == [[], [("pre", 1)]]


def test_sales_count_for_the_budget_of_their_stage() -> None:
    first = stage(8, **PLAIN_SOLD)
    assert outlays(grown(shop(), first, stage(16, budget=35_600, **PLAIN_SOLD)).together) == [
        0,
        35_600,
    ]
    assert refused(
        shop(), stage(8, budget=0, **PLAIN_SOLD), stage(16, budget=35_599, **PLAIN_SOLD)
    )


def test_what_is_owned_only_later_is_sold_then() -> None:
    later: dict[str, Any] = {"owned": {"plain": 3}, "resale": {"plain": 15_000}}
    found = grown(shop(), stage(8, **PLAIN_SOLD), stage(8, title="more", **later)).together
    assert sold(found) == [[], [("plain", 2)]]
    assert bought(found) == [[], []]


# --- audit -----------------------------------------------------------------------

STAGES = tuple(stage(n, title=f"{i}", **PLAIN_SOLD) for i, n in enumerate((8, 16, 16)))


def moved(growth: Growth, number: int, pieces: int) -> Growth:
    """The same, with so many sold at a stage."""
    steps = list(growth.steps)
    line = Sale("plain", "plain interface", "device", pieces, 15_000)
    rig = steps[number].rig
    total = rig.total + sum(one.total for one in rig.to_sell) - (line.total if pieces else 0)
    lines = (line,) if pieces else ()
    steps[number] = replace(steps[number], rig=replace(rig, to_sell=lines, total=total))
    changed = replace(growth, steps=tuple(steps))
    return replace(changed, bound=changed.total)


def rules(growth: Growth, stages: tuple[Stage, ...] = STAGES) -> set[str]:
    return {f"{one.rule} {one.case}" for one in faults(growth, shop(), stages)}


@pytest.mark.parametrize(
    ("changes", "rule"),
    [
        ([(1, 0)], "sold stages"),
        ([(1, 0), (2, 1)], "sold stages"),
        ([(1, 2)], "sold stages"),
        ([(0, 1)], "sold stages"),
        ([(0, 1), (1, 0)], "sold stages"),
        ([(2, 1)], "sold stages"),
        ([(0, 1)], "owned counted"),
    ],
)
def test_the_audit_sees_a_sale_at_the_wrong_stage(
    changes: list[tuple[int, int]], rule: str
) -> None:
    growth = grown(shop(), *STAGES).together
    assert sold(growth) == [[], [("plain", 1)], []]
    assert not rules(growth)
    for number, pieces in changes:
        growth = moved(growth, number, pieces)
    assert rule in rules(growth)


def test_the_audit_says_how_many_should_be_sold() -> None:
    """Of three one is in use; one is sold, so that one is idle. Nothing else has a price."""
    three = {**PLAIN_SOLD, "owned": {"plain": 3}}
    stages = (stage(8, title="0", **three),)
    growth = grown(shop(), *stages).together
    assert sold(growth) == [[("plain", 2)]]
    found = faults(moved(growth, 0, 1), shop(), stages)
    assert [(one.fact("said"), one.fact("right")) for one in found] == [(1, 2)]


def test_what_no_stage_uses_is_sold_at_the_first_that_has_a_price() -> None:
    """Two pieces, of which at most one is used."""
    needs = SimpleNamespace(resale={"a": 100})
    trip: Any = SimpleNamespace(
        stages=[SimpleNamespace(needs=needs)], problems=[SimpleNamespace(sellable={"a": 2})]
    )
    assert settled(trip, [{}], [{"a": 2}]) == [{"a": 0}]
    assert settled(trip, [{"a": 1}], [{"a": 2}]) == [{"a": 1}]
