"""Stages, finished: for each its problem, at its own prices, able to buy for later ones."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from rigopt.catalogue.types import Catalogue, Item
from rigopt.needs.types import Stage
from rigopt.optimiser.decode.baskets import Packs
from rigopt.optimiser.problem.at_rate import DeviceAtRate
from rigopt.optimiser.problem.problem import Problem, state
from rigopt.optimiser.problem.supplies import Supply, order_terms, supplies
from rigopt.rig.orders import half_up

Offered = Mapping[str, tuple[Supply, ...]]
Sold = Counter[Supply]
"""Packs sold of each way to buy, before any factor."""


@dataclass(frozen=True, slots=True)
class Journey:
    """Stages with their problems.

    `offered`: what each problem has as supplies, in the same order, before the factor of
    its stage. So what is equal there is one and the same offer, with one stock.
    """

    stages: tuple[Stage, ...]
    problems: tuple[Problem, ...]
    offered: tuple[Offered, ...]

    def apart(self) -> Journey:
        """The same with each host in a slot of its own."""
        return replace(self, problems=tuple(p.apart() for p in self.problems))

    def until(self, stage: int) -> dict[str, tuple[Supply, ...]]:
        """Every way in which something that is there at a stage may have been bought."""
        found: dict[str, dict[Supply, None]] = {}
        for offered in self.offered[: stage + 1]:
            for item, ways in offered.items():
                found.setdefault(item, {}).update(dict.fromkeys(ways))
        return {item: tuple(ways) for item, ways in found.items()}

    def gained(self, stage: int, item: str) -> int:
        """Pieces that can be sold and are owned from a stage on, and not before."""
        before = self.problems[stage - 1].sellable[item] if stage else 0
        return max(0, self.problems[stage].sellable[item] - before)

    @property
    def most_sold(self) -> int:
        """No sales over all stages come to more than this, in minor units."""
        stages = range(len(self.stages))
        return sum(
            max(stage.needs.resale.get(item, 0) for stage in self.stages)
            * sum(self.gained(stage, item) for stage in stages)
            for item in self.problems[0].sellable
        )

    def most_money(self) -> int:
        """No cheapest journey costs more than this, in minor units.

        Every pack is one that some rig needs, or that saves a fee.
        """
        packs = sum(problem.max_packs for problem in self.problems)
        return packs * max(problem.dearest for problem in self.problems)

    def alone(
        self, stage: int, owned: Mapping[str, int], sellable: Mapping[str, int], sold: Sold
    ) -> Problem:
        """The problem of a stage for which nothing is bought ahead.

        `owned` is there, of which `sellable` can be sold, and `sold` is gone from what the
        sellers have in stock.
        """
        problem = self.problems[stage]
        left = {
            item: tuple(map(_left, problem.ways(item), ways, (sold for _ in ways)))
            for item, ways in self.offered[stage].items()
        }
        found = {item: ways for item, ways in left.items() if any(w.stock != 0 for w in ways)}
        here = {*found, *(item for item, pieces in owned.items() if pieces)}
        needs = replace(problem.needs, owned=dict(owned))
        priced = {item: n for item, n in sellable.items() if item in needs.resale}
        alone = replace(problem, needs=needs, supplies=found, sellable=priced)
        return alone.only(here, here)

    def sold(self, stage: int, packs: Packs) -> Sold:
        """What a basket of a stage takes."""
        taken: Sold = Counter()
        for item, numbers in packs.items():
            for way, number in zip(self.offered[stage][item], numbers, strict=True):
                taken[way] += number
        return taken


def _left(way: Supply, offer: Supply, sold: Sold) -> Supply:
    """A way to buy with what is left of its stock."""
    return way if way.stock is None else replace(way, stock=way.stock - sold[offer])


def journey(
    catalogue: Catalogue, stages: Sequence[Stage], beat: Callable[[], None] = lambda: None
) -> Journey:
    """The problems of the stages. `beat` is called now and then, and may raise what ends it.

    Raises:
        NoRateError: When something could be bought in a currency without exchange rate.
    """
    shelves = catalogue.shelves.values()
    everything = [shelf[item] for shelf in shelves for item in sorted(shelf)]
    alone: list[Problem] = []
    before: set[str] = set()
    resold = dict.fromkeys(item for stage in stages for item in stage.needs.resale)
    for stage in stages:
        beat()
        alone.append(state(catalogue, stage.needs, before, resold))
        before |= supplies(catalogue, stage.needs, everything).keys()
    wanted = {item for problem in alone for item in _wanted(problem)}
    items = [item for item in everything if item.id in wanted]
    problems, offered = [], []
    for problem, stage in zip(alone, stages, strict=True):
        beat()
        found = supplies(catalogue, stage.needs, items)
        known = order_terms(found, catalogue, stage.needs)
        priced = {item: _scaled(ways, stage.price_factor) for item, ways in found.items()}
        problems.append(replace(problem, supplies=priced, order_terms=known))
        offered.append(found)
    return Journey(tuple(stages), tuple(problems), tuple(offered))


def _wanted(problem: Problem) -> list[str]:
    """Everything that can be of use at a stage."""
    things: list[DeviceAtRate | Item] = [*problem.devices, *problem.cables, *problem.extras]
    return [thing.id for thing in things]


def _scaled(ways: tuple[Supply, ...], factor: Decimal) -> tuple[Supply, ...]:
    """The same at a stage's prices; each is rounded half up."""
    if factor == 1:
        return ways
    return tuple(replace(w, price=half_up(Fraction(factor) * w.price)) for w in ways)
