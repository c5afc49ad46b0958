"""From packs to purchases."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace

from rigopt.catalogue.types import Item, ItemKind
from rigopt.optimiser.problem.problem import Problem
from rigopt.optimiser.problem.supplies import Supply
from rigopt.rig.counts import called_for
from rigopt.rig.orders import orders, paid
from rigopt.rig.sales import sales
from rigopt.rig.types import Input, Link, Purchase, Sale, Unit

Packs = Mapping[str, tuple[int, ...]]


def purchases(
    problem: Problem,
    packs: Packs,
    units: Sequence[Unit],
    links: Sequence[Link],
    inputs: Sequence[Input],
) -> tuple[Purchase, ...]:
    """What to buy: devices, cables, extras, each in the order of ids and supplies.

    A search that ran out of time may have bought something that helps nobody; each pack
    that is not needed, and without which no more is paid, is left out.
    """
    used = used_by(problem, units, links, inputs)
    bought = list(lines(problem, packs))
    place = len(bought) - 1
    while place >= 0:
        if bought[place].quantity and not _needed(problem, bought, place, used):
            bought[place] = smaller(bought[place])
        else:
            place -= 1
    return tuple(line for line in bought if line.quantity)


def lines(problem: Problem, packs: Packs) -> tuple[Purchase, ...]:
    """Everything in a basket: devices, cables, extras, each in the order of ids."""
    return tuple(
        _purchase(kind, item, supply, number)
        for kind, shelf in problem.catalogue.shelves.items()
        for _, item in sorted(shelf.items())
        for supply, number in zip(problem.ways(item.id), packs.get(item.id, ()), strict=False)
        if number
    )


def _purchase(kind: ItemKind, item: Item, supply: Supply, number: int) -> Purchase:
    return Purchase(
        item=item.id,
        label=item.label,
        kind=kind,
        quantity=number,
        unit_price=supply.price,
        pack=supply.pack,
        seller=supply.seller,
        note=supply.condition,
        as_of=supply.as_of,
        least=supply.least,
    )


def sold(
    problem: Problem, units: Sequence[Unit], links: Sequence[Link], inputs: Sequence[Input]
) -> tuple[Sale, ...]:
    """What a rig leaves to be sold."""
    if not problem.sellable:
        return ()
    used = used_by(problem, units, links, inputs)
    idle = {item: pieces - used[item] for item, pieces in problem.sellable.items()}
    return sales(idle, problem.needs.resale, problem.catalogue)


def used_by(
    problem: Problem, units: Sequence[Unit], links: Sequence[Link], inputs: Sequence[Input]
) -> Counter[str]:
    """Pieces of each item that a rig uses or calls for."""
    extras = (*problem.extras, *problem.idle_extras)
    return called_for(units, links, inputs, extras, problem.needs)


def _needed(problem: Problem, bought: list[Purchase], place: int, used: Counter[str]) -> bool:
    """Whether a pack less of one line would not do, or would cost more."""
    item = bought[place].item
    less = [*bought]
    less[place] = smaller(bought[place])
    there = problem.owned(item) + sum(ln.quantity * ln.pack for ln in less if ln.item == item)
    return there < used[item] or bill(problem, less) > bill(problem, bought)


def smaller(line: Purchase) -> Purchase:
    """A line with one pack less."""
    return replace(line, quantity=line.quantity - 1)


def bill(problem: Problem, bought: Sequence[Purchase]) -> int:
    """What a basket comes to, in minor units of the catalogue's currency."""
    lines = [line for line in bought if line.quantity]
    return paid(lines, orders(lines, problem.catalogue, problem.needs.exchange))
