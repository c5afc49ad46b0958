"""Which prices to look up next, so that few have to be.

The rig that is cheapest where all that is not known costs as little as it can is the one to
look at: no rig costs less. If all its prices were known, it would be the answer. As they are
not, whoever wants to be sure of any answer has to know one of them at least: to take this rig,
or to see that it costs more. The one that may change most is asked for. Another rig that
costs no more then and has none of what is asked already is asked about in the same round.

A rig is an answer as soon as its largest regret is small enough, where a price that is not
known may be anything. So it holds no such price, but of what every rig buys as many of: that
costs the same whichever rig is taken.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from statistics import median

from rigopt.answers.outcome import Answered, Impossible, OutOfTime, Regret
from rigopt.answers.prices import Ask, Prices
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.optimiser.problem.pricing import Pricing
from rigopt.optimiser.problem.problem import Problem, state
from rigopt.optimiser.questions.conflict.probes import Probes, TimeUpError, proven
from rigopt.optimiser.questions.plan import answered
from rigopt.optimiser.questions.prices.unknown import at_price, for_nothing, unknown
from rigopt.optimiser.questions.regret.largest import Shared, rival
from rigopt.optimiser.questions.regret.least import Least, Others, least_regret, priced
from rigopt.optimiser.questions.regret.plan import UNTIED, first_of
from rigopt.optimiser.solver.run import Deadline
from rigopt.rig.types import Rig

MOST_ASKED = 5
"""Prices asked for in one round."""

CABLE_SHARE = 20
"""A cable costs about this part of a device, where neither is known (a guess)."""


def prices(
    catalogue: Catalogue, needs: Needs, within: int, deadline: Deadline
) -> Prices | Impossible | OutOfTime:
    """What to look up next, or the answer: at most `within` more than the best rig.

    Raises:
        KeyboardInterrupt: When the user said stop.
    """
    try:
        return _Round(catalogue, needs, within, deadline).told()
    except TimeUpError:
        if deadline.watch.stopped:
            raise KeyboardInterrupt from None
        return OutOfTime(deadline.seconds or 0.0)


class _Round:
    """What can be said with the prices that are known."""

    def __init__(
        self, catalogue: Catalogue, needs: Needs, within: int, deadline: Deadline
    ) -> None:
        self.catalogue, self.needs, self.within = catalogue, needs, within
        self.deadline = deadline
        self.unknown = unknown(catalogue, needs)
        self.free = at_price(catalogue, self.unknown, 0)
        self.others = Others(state(self.free, needs), Shared())

    def told(self) -> Prices | Impossible:
        """The answer if there is one, else what to ask.

        Raises:
            TimeUpError: When it is not known in time.
        """
        low = self._lowest(self.others.problem, self.others.shared)
        if low is None:
            return Impossible(minimal=False)
        always = {item: n for item in self._blank(low) if (n := self._fewest(item))}
        gone = at_price(self.catalogue, self.unknown.difference(always), None)
        here = Others(state(at_price(gone, always, 0), self.needs), Shared())
        first = self._lowest(*here, Pricing("middle"))
        found = None if first is None else self._found(here, first, low)
        if found is not None and self._sure(found.rig, found, always):
            return self._done(here, found, always)
        regret = None if found is None else found.known.most
        if found is not None and not self._within_always(found.rig, always):
            regret = None
        limit = None if found is None else found.rig.total
        return Prices(tuple(self._asks(low, always, limit)), regret, len(self.unknown))

    def _lowest(
        self, problem: Problem, shared: Shared, counts: Pricing | None = None
    ) -> Rig | None:
        """The cheapest rig at lower ends, or as `counts` says."""
        counts = counts or Pricing("against")
        best = proven(priced(problem, counts, shared).best_exact(self.deadline, UNTIED))
        return None if best is None else answered(problem, best, self.deadline).rig

    def _found(self, here: Others, first: Rig, low: Rig) -> Least:
        found = least_regret(
            here.problem,
            first,
            here.shared,
            self.deadline,
            [rival(low)],
            self.others,
            self.within,
        )
        if not (found.proven or found.settled(self.within)):
            raise TimeUpError
        return found

    def _sure(self, rig: Rig, found: Least, always: dict[str, int]) -> bool:
        return found.known.most <= self.within and self._within_always(rig, always)

    @staticmethod
    def _within_always(rig: Rig, always: dict[str, int]) -> bool:
        """Whether it buys no more of what is not known than every rig does."""
        bought = _bought(rig)
        return all(bought[item] <= number for item, number in always.items())

    def _done(self, here: Others, found: Least, always: dict[str, int]) -> Prices:
        limit = replace(found, bound=found.known.most)
        settled = first_of(here.problem, limit, here.shared, self.deadline, self.others)
        rig, known = settled or (found.rig, found.known)
        if not self._within_always(rig, always):
            rig, known = found.rig, found.known
        regret = Regret(known.most, found.bound)
        answer = Answered(rig, rig.total_from - known.most, True, regret=regret)
        return Prices((), known.most, len(self.unknown), answer, tuple(sorted(always)))

    def _blank(self, rig: Rig) -> list[str]:
        """What a rig buys at a price that is not known."""
        return sorted(item for item in _bought(rig) if item in self.unknown)

    def _fewest(self, item: str) -> int:
        """So many packs of an item are in every rig at its plain price: where nothing else
        costs anything, its offers neither, and this costs 1 a pack, it is what the cheapest
        rig costs."""
        without = at_price(self.free, {item}, None)
        if Probes(without, self.deadline).possible(self.needs):
            return 0
        everything = frozenset(i for shelf in self.free.shelves.values() for i in shelf)
        plain = for_nothing(at_price(self.free, everything, 0))
        needs = replace(self.needs, budget=None, resale={})
        return Probes(at_price(plain, {item}, 1), self.deadline).total(needs) or 0

    def _asks(self, low: Rig, always: dict[str, int], limit: int | None) -> Iterator[Ask]:
        """Prices to ask for, one of each rig that costs as little as `low` and is another.

        No rig that costs more than `limit` can be the answer.
        """
        least, asked = low.total_from, set[str]()
        rig: Rig | None = low
        while rig is not None and rig.total_from <= least and len(asked) < MOST_ASKED:
            item = self._telling(rig, always)
            if item is None:
                return
            yield Ask(item, "every" if self._everywhere(item, limit) else "could")
            asked.add(item)
            rest = state(at_price(self.free, asked, None), self.needs)
            rig = self._lowest(rest, Shared())

    def _telling(self, rig: Rig, always: dict[str, int]) -> str | None:
        """The price in a rig that may change most; None if all are known."""
        bought = _bought(rig)
        blank = self._blank(rig)
        ranges = [line.item for line in rig.purchases if line.total_from < line.total]
        open_ends = [item for item in blank if bought[item] > always.get(item, 0)]
        weight = {item: self._weight(item) * bought[item] for item in open_ends or ranges}
        return max(weight, key=lambda item: (weight[item], item), default=None)

    def _everywhere(self, item: str, limit: int | None) -> bool:
        """Whether no rig without it costs as little as `limit`, whatever is not known."""
        rest = state(at_price(self.free, {item}, None), self.needs)
        low = self._lowest(rest, Shared())
        return low is None or (limit is not None and low.total_from > limit)

    def _weight(self, item: str) -> float:
        """What a pack may cost, by what is known of its like."""
        shop = self.catalogue
        shelf = next(s for s in shop.shelves.values() if item in s)
        known = [i.price for i in shelf.values() if i.price]
        devices = [d.price for d in shop.devices.values() if d.price]
        if known:
            return float(median(known))
        usual = float(median(devices)) if devices else 1.0
        return usual if item in shop.devices else usual / CABLE_SHARE


def _bought(rig: Rig) -> Counter[str]:
    """Packs of each item at plain prices."""
    found: Counter[str] = Counter()
    for line in rig.purchases:
        if line.seller is None:
            found[line.item] += line.quantity
    return found
