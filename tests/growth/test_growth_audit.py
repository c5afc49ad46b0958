"""The audit of growth: what is sound passes, and every fault is found."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from rigopt.answers.growth import Growth
from rigopt.catalogue.types import Catalogue, Extra, Offer, Seller
from rigopt.needs.types import Stage
from rigopt.output.words.findings import says
from rigopt.rig.audit.growth import at_factor
from rigopt.rig.step import Step
from rigopt.rig.types import Purchase, Rig
from tests.growth.world import DESK, OPT, PAIR, PRE, faults, grown, shop, stage

STAGES = (stage(8, title="one"), stage(16, "0.9", title="two"))
LEADS = Extra("lead", "lead", "mic", 100)
SHOP = shop(
    Offer("pre", "north", 20_000, stock=1, condition="used"),
    Offer("desk", "north", 30_000, stock=3),
    Offer("desk", "south", 40_000),
    sellers=(Seller("north", "GBP", 500), Seller("south", "GBP")),
    extras=(LEADS,),
)
SOUND = grown(SHOP, *STAGES).together


def rules(
    growth: Growth, catalogue: Catalogue = SHOP, stages: Sequence[Stage] = STAGES
) -> set[str]:
    return {found.rule for found in faults(growth, catalogue, stages)}


def step(number: int, change: Callable[[Step], Step], growth: Growth = SOUND) -> Growth:
    """The growth with one step changed, numbered from 1."""
    steps = list(growth.steps)
    steps[number - 1] = change(steps[number - 1])
    changed = replace(growth, steps=tuple(steps))
    return replace(changed, bound=changed.total)


def rig(number: int, **changes: Any) -> Growth:
    return step(number, lambda one: replace(one, rig=replace(one.rig, **changes)))


def line(number: int, item: str, changes: dict[str, object]) -> Growth:
    """With another line in the purchases of a step, and nothing else put right."""
    lines = tuple(
        replace(one, **changes) if one.item == item else one  # type: ignore[arg-type]
        for one in SOUND.steps[number - 1].rig.purchases
    )
    assert lines != SOUND.steps[number - 1].rig.purchases
    return rig(number, purchases=lines)


def test_what_is_sound_passes() -> None:
    assert rules(SOUND) == set()
    assert [len(one.rig.purchases) for one in SOUND.steps] == [2, 3]


def test_prices_at_a_factor_are_exact_and_rounded_half_up() -> None:
    at = at_factor(shop(devices=(replace(DESK, price=None), PRE)), Decimal("0.00005"))
    assert at.devices["desk"].price is None
    assert at.devices["pre"].price == 1
    assert at.cables["opt"].price == 0
    assert at_factor(SHOP, Decimal("0.5")).offers[0].price == 10_000
    assert (
        at_factor(shop(devices=(replace(PRE, price=333),)), Decimal("0.5")).devices["pre"].price
        == 167
    )


def named(number: int, **names: str) -> Growth:
    """With other names, by type, for the units of one step."""

    def change(one: Step) -> Step:
        units = [replace(u, name=names.get(u.device.id, u.name)) for u in one.rig.units]
        return replace(one, rig=replace(one.rig, units=tuple(units)))

    return step(number, change)


def test_a_unit_that_stays_and_has_another_name() -> None:
    told = [says(found) for found in faults(named(2, desk="host-2"), SHOP, STAGES)]
    assert "two: a unit of desk that stays has another name than before" in told
    assert named(2, desk="host-1").steps == SOUND.steps


def test_a_name_that_another_unit_had_before() -> None:
    growth = named(2, desk="host-2", pre="host-1")
    told = [says(found) for found in faults(growth, SHOP, STAGES)]
    assert "two: host-1 is the name of another unit at a stage before" in told


def test_a_stage_too_few() -> None:
    assert rules(replace(SOUND, steps=SOUND.steps[:1])) == {"demand"}


def test_another_question() -> None:
    other = (STAGES[0], replace(STAGES[1], title="three"))
    assert rules(SOUND, stages=other) == {"demand"}
    less = (STAGES[0], replace(STAGES[1], needs=replace(STAGES[1].needs, max_hops=2)))
    assert rules(SOUND, stages=less) == {"demand"}


def test_something_is_counted_on_that_is_not_there() -> None:
    more = step(
        2, lambda s: replace(s, needs=replace(s.needs, owned={**s.needs.owned, "opt": 1}))
    )
    assert "owned" in rules(more)
    units = tuple(replace(unit, owned=True) for unit in SOUND.steps[0].rig.units)
    assert "owned" in rules(rig(1, units=units))


def test_a_rig_that_does_not_work() -> None:
    assert rules(rig(2, links=())) >= {"demand", "clock-link"}


def test_findings_name_their_stage() -> None:
    found = faults(rig(2, total=1), SHOP, STAGES)
    assert [says(one)[:5] for one in found] == ["two: "]
    assert found[0].fact("stage") == "two"


@pytest.mark.parametrize(
    ("item", "changes", "rule"),
    [
        ("opt", {"unit_price": 600}, "price"),
        ("pre", {"unit_price": 20_000}, "price"),
        ("pre", {"seller": None}, "price"),
        ("opt", {"quantity": 0}, "packs-few"),
        ("lead", {"quantity": 7}, "extras-few"),
        ("pre", {"quantity": 0}, "bought"),
        ("opt", {"quantity": 2}, "packs-many"),
        ("lead", {"quantity": 9}, "extras-many"),
        ("pre", {"quantity": 2}, "bought"),
        ("pre", {"quantity": 2}, "stock"),
        ("pre", {"quantity": 1, "note": "new"}, "price"),
        ("opt", {"item": "rope"}, "purchase-unknown"),
    ],
)
def test_a_wrong_line(item: str, changes: dict[str, object], rule: str) -> None:
    found = rules(line(2, item, changes))
    assert rule in found
    assert rule in {"price", "purchase-unknown"} or "total" in found


def test_a_pack_that_a_later_stage_uses_is_not_idle() -> None:
    early = SOUND.steps[1].rig.purchases
    cable = next(one for one in early if one.item == "opt")
    ahead = replace(cable, unit_price=OPT.price or 0)
    assert "packs-many" not in rules(_moved(ahead))
    assert rules(_moved(replace(ahead, quantity=2))) >= {"packs-many"}


def _moved(cable: Purchase) -> Growth:
    """The cable is bought at the first stage, not at the second."""

    def first(one: Step) -> Step:
        return replace(one, rig=_with(one.rig, (*one.rig.purchases, cable)))

    def second(one: Step) -> Step:
        owned = {**one.needs.owned, "opt": cable.quantity}
        kept = tuple(other for other in one.rig.purchases if other.item != "opt")
        needs = replace(one.needs, owned=owned)
        return replace(one, needs=needs, rig=_with(one.rig, kept))

    return step(2, second, step(1, first))


def _with(rig: Rig, lines: tuple[Purchase, ...]) -> Rig:
    """The rig with these purchases and their sums."""
    before = sum(one.total for one in rig.purchases)
    after = sum(one.total for one in lines)
    order = {"device": 0, "cable": 1, "extra": 2}
    ordered = tuple(sorted(lines, key=lambda one: order[one.kind]))
    return replace(rig, purchases=ordered, total=rig.total - before + after)


def test_wrong_sums() -> None:
    assert rules(rig(1, total=1)) == {"total"}
    assert rules(rig(1, orders=())) == {"order"}
    assert rules(replace(SOUND, bound=1)) == {"total"}
    assert rules(replace(SOUND, bound=SOUND.total + 1, proven=False)) == {"total"}
    assert rules(replace(SOUND, bound=1, proven=False)) == set()


def wish(number: int, **needs: object) -> tuple[Growth, list[Stage]]:
    """The same growth where a stage wishes for more."""
    stages = list(STAGES)
    one = stages[number - 1]
    stages[number - 1] = replace(one, needs=replace(one.needs, **needs))  # type: ignore[arg-type]
    changed = step(number, lambda s: replace(s, needs=replace(s.needs, **needs)))  # type: ignore[arg-type]
    return changed, stages


@pytest.mark.parametrize(
    ("number", "needs", "rule"),
    [
        (1, {"budget": 100}, "budget"),
        (2, {"avoid": ("pre",)}, "avoid"),
        (2, {"new_only": True}, "not-new"),
        (2, {"owned_only": True}, "owned-only"),
        (1, {"sellers": 0}, "sellers"),
        (2, {"require": ("plain",)}, "require"),
    ],
)
def test_a_wish_that_is_not_met(number: int, needs: dict[str, object], rule: str) -> None:
    growth, stages = wish(number, **needs)
    assert rule in rules(growth, stages=stages)


def test_a_wish_that_concerns_what_was_bought_before_is_met() -> None:
    growth, stages = wish(2, avoid=("desk",))
    assert rules(growth, stages=stages) == set()


def test_stock_is_there_once_for_all_stages() -> None:
    scarce = replace(SHOP, offers=tuple(replace(o, stock=1) for o in SHOP.offers))
    assert rules(SOUND, scarce) == set()
    desk = next(one for one in SOUND.steps[0].rig.purchases if one.item == "desk")
    again = replace(desk, unit_price=27_000)
    twice = step(2, lambda s: replace(s, rig=_with(s.rig, (*s.rig.purchases, again))))
    assert "stock" in rules(twice, scarce)
    assert "stock" not in rules(twice)


def test_what_is_left_of_a_pack_is_there_at_the_next_stage() -> None:
    pairs = shop(cables={"pair": PAIR}, devices=(DESK, PRE))
    stages = (stage(16, title="one"), stage(16, title="two"))
    found = grown(pairs, *stages).together
    assert found.steps[1].needs.owned["pair"] == 2
    alone = grown(pairs, stages[0]).together
    lines = tuple(
        replace(one, quantity=2) if one.item == "pair" else one
        for one in alone.steps[0].rig.purchases
    )
    many = step(1, lambda one: replace(one, rig=_with(one.rig, lines)), alone)
    cases = {(one.rule, one.case) for one in faults(many, pairs, stages[:1])}
    assert cases == {("packs-many", "idle")}


def test_a_pack_for_nothing_may_save_the_delivery() -> None:
    """205.00 and 6.00 for delivery, or 210.00 with a second cable."""
    dear = shop(
        Offer("pre", "north", 20_000),
        Offer("opt", "north", 500),
        sellers=(Seller("north", "GBP", 600, 21_000),),
        devices=(DESK, replace(PRE, price=None)),
        cables={"opt": replace(OPT, price=None)},
    )
    found = grown(dear, stage(16, owned={"desk": 1})).together
    assert [(one.item, one.quantity) for one in found.steps[0].rig.purchases] == [
        ("pre", 1),
        ("opt", 2),
    ]


def test_an_offer_that_knows_no_end_is_never_too_little() -> None:
    endless = shop(Offer("pre", "south", 19_000), Offer("pre", "south", 19_000, stock=0))
    found = grown(endless, stage(16)).together
    assert "south" in {one.seller for one in found.steps[0].rig.purchases}
