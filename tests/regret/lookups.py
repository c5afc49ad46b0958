"""Looking prices up one after another, and the fewest that would have done.

Mixes that work come from enumeration. Here devices alone are without a price, so what else a
mix takes costs the same whatever they are.
"""

from __future__ import annotations

import itertools
from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace

from rigopt.answers.outcome import Impossible
from rigopt.answers.prices import Prices
from rigopt.catalogue.ends import with_price
from rigopt.catalogue.types import Catalogue
from rigopt.files.amounts import Span
from rigopt.needs.types import Needs
from rigopt.optimiser.questions.prices.prices import prices
from rigopt.optimiser.solver.run import Deadline
from tests.choice.mixes import working
from tests.oracle.brute import NO_MONEY
from tests.oracle.instances import Seeded, some_catalogue, some_needs


@dataclass(frozen=True)
class Mix:
    """What a rig costs beside its devices, and how many of each it buys."""

    rest: int
    bought: dict[str, int]

    def cost(self, known: dict[str, int]) -> int:
        """Money with these prices, all others 0."""
        return self.rest + sum(known.get(item, 0) * n for item, n in self.bought.items())


@dataclass(frozen=True)
class Case:
    """A catalogue without prices of devices, and what they are in truth."""

    blank: Catalogue
    needs: Needs
    truth: dict[str, int]
    mixes: tuple[Mix, ...]

    def settled(self, known: Collection[str]) -> bool:
        """Whether some mix is the cheapest whatever all prices but the `known` ones are.

        It holds no more than any other of what is not known, and costs no more beside that.
        """
        prices = {item: self.truth[item] for item in known}

        def safe(mix: Mix) -> bool:
            return all(
                mix.cost(prices) <= other.cost(prices)
                and all(
                    n <= other.bought.get(item, 0)
                    for item, n in mix.bought.items()
                    if item not in prices
                )
                for other in self.mixes
            )

        return any(map(safe, self.mixes))

    def fewest(self) -> int:
        """The fewest look-ups that settle it, by whoever knows all prices."""
        return next(
            size
            for size in range(len(self.truth) + 1)
            if any(map(self.settled, itertools.combinations(self.truth, size)))
        )


def case(seed: int) -> Case | None:
    """A small case; None if no rig works."""
    choose = Seeded(seed)
    shop = some_catalogue(choose)
    needs = replace(some_needs(choose, shop, most_units=3), budget=None)
    if needs.owned_only:
        return None
    cables = {k: replace(c, price=c.price or 300) for k, c in shop.cables.items()}
    truth = {k: d.price or 7000 for k, d in shop.devices.items()}
    full = replace(
        shop,
        cables=cables,
        devices={k: replace(d, price=truth[k]) for k, d in shop.devices.items()},
    )
    found = []
    for mix, key in working(full, needs).items():
        bought = {item: max(0, n - needs.owned.get(item, 0)) for item, n in mix}
        if key[0] < NO_MONEY:
            devices = sum(truth[item] * n for item, n in bought.items())
            found.append(Mix(key[0] - devices, {i: n for i, n in bought.items() if n}))
    if not found:
        return None
    blank = {k: replace(d, price=None) for k, d in full.devices.items()}
    known = {k: v for k, v in truth.items() if k not in needs.avoid}
    return Case(replace(full, devices=blank), needs, known, tuple(found))


def looked_up(one: Case) -> tuple[list[str], Prices]:
    """The prices that were asked for until it was done, and the end."""
    shop, asked = one.blank, list[str]()
    while True:
        found = prices(shop, one.needs, 0, Deadline(None))
        assert isinstance(found, Prices)
        if found.done:
            return asked, found
        assert found.ask
        for ask in found.ask:
            assert ask.item not in asked
            asked.append(ask.item)
            price = one.truth[ask.item]
            shop = with_price(shop, ask.item, Span(price, price))


def corners(items: Iterable[str], dear: int) -> Iterable[dict[str, int]]:
    """Every way to set these prices to nothing or to what is dear."""
    every = list(items)
    for prices_ in itertools.product((0, dear), repeat=len(every)):
        yield dict(zip(every, prices_, strict=True))


__all__ = ["Case", "Impossible", "Mix", "case", "corners", "looked_up"]
