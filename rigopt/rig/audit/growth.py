"""Growth: every stage's rig is sound, bought as stated, from what is there by then."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from decimal import ROUND_HALF_UP, Decimal

from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Stage
from rigopt.rig.audit import Finding, audit
from rigopt.rig.audit.finding import finding
from rigopt.rig.audit.invoice import bill
from rigopt.rig.growth import Growth, Step
from rigopt.rig.types import Purchase


def audit_growth(
    growth: Growth, catalogue: Catalogue, stages: Sequence[Stage]
) -> tuple[Finding, ...]:
    """Everything that is wrong with a way through `stages`; empty means sound."""
    return tuple(_growth(growth, catalogue, stages))


def _growth(growth: Growth, catalogue: Catalogue, stages: Sequence[Stage]) -> Iterator[Finding]:
    there = Counter(stages[0].needs.owned if stages else {})
    for step, stage in zip(growth.steps, stages, strict=True):
        for line in step.purchases:
            there[line.item] += line.quantity * line.pack
            yield from _price(line, catalogue, stage)
        yield from audit(step.rig, catalogue, step.needs)
        yield from _stage(step, catalogue, stage, there)
    yield from _stock(growth, catalogue)


def _stage(
    step: Step, catalogue: Catalogue, stage: Stage, there: Counter[str]
) -> Iterator[Finding]:
    """What is owned there is what was there before and bought since, and it is paid for."""
    if {item: n for item, n in there.items() if n} != {
        item: n for item, n in step.needs.owned.items() if n
    }:
        yield finding(
            "owned", "stage {title} counts on things that are not there",
            "count what was bought", title=step.title,
        )  # fmt: skip
    if (step.needs.mic, step.needs.rate_hz) != (stage.needs.mic, stage.needs.rate_hz):
        yield finding(
            "demand", "stage {title} answers another question", "ask again", title=step.title
        )
    paid = bill(step.purchases, catalogue, stage.needs)
    if paid != step.outlay:
        yield finding(
            "total", "the outlay of {title} is {stated} minor units; it comes to {paid}",
            "state {paid}", title=step.title, stated=step.outlay, paid=paid,
        )  # fmt: skip
    limit = stage.needs.budget
    if limit is not None and paid > limit:
        yield finding(
            "budget", "stage {title} comes to {paid} minor units; its budget is {limit}",
            "spend less", title=step.title, paid=paid, limit=limit,
        )  # fmt: skip


def _price(line: Purchase, catalogue: Catalogue, stage: Stage) -> Iterator[Finding]:
    """The price is one that the catalogue has, at the stage's factor, rounded half up."""
    offered = [
        o.price for o in catalogue.offers if (o.item, o.seller) == (line.item, line.seller)
    ]
    if line.seller is None:
        shelves = (catalogue.devices, catalogue.cables, catalogue.extras)
        offered = [shelf[line.item].price or 0 for shelf in shelves if line.item in shelf]
    scaled = {
        int((price * stage.price_factor).quantize(Decimal(1), ROUND_HALF_UP))
        for price in offered
    }
    if line.unit_price not in scaled:
        yield finding(
            "price", "{item} is stated at {price} minor units, which nobody asks",
            "state a price of the catalogue", item=line.item, price=line.unit_price,
        )  # fmt: skip


def _stock(growth: Growth, catalogue: Catalogue) -> Iterator[Finding]:
    """No seller sells more packs of an item, over all stages, than all its offers hold."""
    sold: Counter[tuple[str, str]] = Counter()
    for step in growth.steps:
        for line in step.purchases:
            if line.seller is not None:
                sold[line.item, line.seller] += line.quantity
    for (item, seller), number in sold.items():
        held = [o.stock for o in catalogue.offers if (o.item, o.seller) == (item, seller)]
        if None not in held and number > sum(stock or 0 for stock in held):
            yield finding(
                "stock", "{seller} has fewer than {number} packs of {item}",
                "buy the rest elsewhere", seller=seller, item=item, number=number,
            )  # fmt: skip
