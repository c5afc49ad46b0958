"""Growth: every stage's rig is sound, bought as stated, from what is there by then."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import TypeVar

from rigopt.catalogue.types import Cable, Catalogue, Device, Extra, Offer
from rigopt.needs.types import Stage
from rigopt.rig.audit import Finding, audit
from rigopt.rig.audit.finding import finding
from rigopt.rig.audit.growth_sales import check_sales_in_turn, owned_then
from rigopt.rig.audit.pieces import MANY, Key, called_for, key_of, saves
from rigopt.rig.step import Step
from rigopt.rig.types import Purchase

ThingT = TypeVar("ThingT", Device, Cable, Extra, Offer)

Prices = Sequence[Catalogue]
"""The catalogue as it is at each stage."""


def audit_growth(
    steps: Sequence[Step],
    catalogue: Catalogue,
    stages: Sequence[Stage],
    bound: int,
    proven: bool,
) -> tuple[Finding, ...]:
    """Everything that is wrong with a way through `stages`; empty means sound.

    `bound`: what is said to be the least that any way costs; `proven`: this one costs it.
    """
    if len(steps) != len(stages):
        return (finding("demand", "stages", steps=len(steps), stages=len(stages)),)
    total = sum(step.rig.total for step in steps)
    return (*_steps(steps, catalogue, stages), *_bound(total, bound, proven))


def _steps(
    steps: Sequence[Step], catalogue: Catalogue, stages: Sequence[Stage]
) -> Iterator[Finding]:
    bought: Counter[str] = Counter()
    prices = [at_factor(catalogue, stage.price_factor) for stage in stages]
    left = owned_then(steps, stages)
    for step, stage, priced, own in zip(steps, stages, prices, left, strict=True):
        there = own + bought
        found = [*_asked(step, stage, there), *audit(step.rig, catalogue, step.needs, priced)]
        for one in found:
            if not _ahead(one):
                yield _named(one, step.title)
        for line in step.rig.purchases:
            bought[line.item] += line.quantity * line.pack
    yield from _names(steps)
    yield from _idle(steps, catalogue)
    yield from _stock(steps, catalogue, prices)
    yield from check_sales_in_turn(steps, stages, catalogue)


def at_factor(catalogue: Catalogue, factor: Decimal) -> Catalogue:
    """The catalogue with all prices times `factor`, each rounded half up."""
    return replace(
        catalogue,
        devices=_priced(catalogue.devices, factor),
        cables=_priced(catalogue.cables, factor),
        extras=_priced(catalogue.extras, factor),
        offers=tuple(_times(offer, factor) for offer in catalogue.offers),
    )


def _priced(shelf: Mapping[str, ThingT], factor: Decimal) -> dict[str, ThingT]:
    return {item: _times(thing, factor) for item, thing in shelf.items()}


def _times(thing: ThingT, factor: Decimal) -> ThingT:
    if thing.price is None:
        return thing
    # Exact, and cut off after a half is added; it is not negative.
    return replace(thing, price=int(thing.price * Fraction(factor) + Fraction(1, 2)))


def _asked(step: Step, stage: Stage, there: Counter[str]) -> Iterator[Finding]:
    """It answers what is asked; owned is what is owned then and was bought before."""
    if Counter(step.needs.owned) != there:
        yield finding("owned", "counted")
    same = replace(step.needs, owned=stage.needs.owned)
    if (step.title, same) != (stage.title, stage.needs):
        yield finding("demand", "another")


def _names(steps: Sequence[Step]) -> Iterator[Finding]:
    """A name is of one unit for good, and what stands at two stages in a row keeps it."""
    given: dict[str, str] = {}
    before: dict[str, set[str]] = {}
    for step in steps:
        now: dict[str, set[str]] = {}
        for unit in step.rig.units:
            now.setdefault(unit.device.id, set()).add(unit.name)
            if given.setdefault(unit.name, unit.device.id) != unit.device.id:
                yield finding("name-twice", "stages", stage=step.title, unit=unit.name)
        for item, names in now.items():
            there = before.get(item, set())
            if len(names & there) < min(len(names), len(there)):
                yield finding("name-twice", "another", stage=step.title, item=item)
        before = now


def _ahead(found: Finding) -> bool:
    """Whether it says that more is bought than is called for, or that what is idle is not
    sold: it may be for later."""
    return found.case == "many" or (found.rule, found.case) == ("sold", "number")


def _named(found: Finding, title: str) -> Finding:
    """The finding with the title of its stage before it."""
    return replace(found, facts=(("stage", title), *found.facts))


def _idle(steps: Sequence[Step], catalogue: Catalogue) -> Iterator[Finding]:
    """No pack is bought that no stage from then on calls for, unless it saves a fee."""
    spare = [_spare(steps, step, catalogue) for step in steps]
    for stage, step in enumerate(steps):
        for place, line in enumerate(step.rig.purchases):
            left = min(later[key_of(line)] for later in spare[stage:])
            if left >= line.pack and not saves(step.rig, place, catalogue, step.needs):
                yield finding(MANY[line.kind], "idle", stage=step.title, item=line.item)


def _spare(steps: Sequence[Step], step: Step, catalogue: Catalogue) -> Mapping[Key, int]:
    """Pieces of each item bought until a stage, and owned then, that are not called for."""
    lines = [line for one in steps for line in one.rig.purchases]
    spare = Counter({key_of(line): step.needs.owned.get(line.item, 0) for line in lines})
    for line in step.rig.purchases:
        spare[key_of(line)] += line.quantity * line.pack
    spare.subtract(called_for(step.rig, catalogue, step.needs))
    return spare


def _stock(steps: Sequence[Step], catalogue: Catalogue, prices: Prices) -> Iterator[Finding]:
    """No more packs are bought, over all stages, than the offers they can be of hold."""
    sold: Counter[tuple[tuple[int, ...], str, str]] = Counter()
    for step, priced in zip(steps, prices, strict=True):
        for line in step.rig.purchases:
            if offers := _offers(line, priced):
                sold[offers, line.item, str(line.seller)] += line.quantity
    for offers, item, seller in sold:
        number = sum(n for (others, _, _), n in sold.items() if set(others) <= set(offers))
        stocks = [catalogue.offers[place].stock for place in offers]
        held = [stock for stock in stocks if stock is not None]
        if held == stocks and number > sum(held):
            yield finding("stock", "all stages", seller=seller, item=item, number=number)


def _offers(line: Purchase, priced: Catalogue) -> tuple[int, ...]:
    """Places of the offers that a line can be of."""
    said = (line.item, line.seller, line.unit_price, line.pack, line.note)
    return tuple(
        place
        for place, o in enumerate(priced.offers)
        if (o.item, o.seller, o.price, o.pack, o.condition) == said
    )


def _bound(total: int, bound: int, proven: bool) -> Iterator[Finding]:
    if bound > total or (proven and bound != total):
        yield finding("total", "bound", total=total, bound=bound)
