"""A question with one device type at any price, and no budget.

The price replaces everything that the catalogue says of the type's price: all its offers
become one, of an unnamed seller, in any number. A budget is left out because it takes a
rig away where the price only makes it dearer.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.optimiser.model.model import columns, reweighed, weights
from rigopt.optimiser.problem.problem import Problem, state
from rigopt.optimiser.questions.conflict.probes import TimeUpError, proven
from rigopt.optimiser.search.fixing import Scope
from rigopt.optimiser.search.pooled import Best, Search
from rigopt.optimiser.search.posed import Posed
from rigopt.optimiser.search.ties import Mix, place
from rigopt.optimiser.solver.linear import LARGEST, TooLargeError
from rigopt.optimiser.solver.run import Deadline, TimeIsUpError

ROOM = 2
"""How far below the price that a relaxation tells to begin: so many times what it was off by at
today's prices."""

HALF = 0.5
"""Less than so many units bought are none."""


@dataclass(frozen=True, slots=True)
class Line:
    """What a rig costs at any price of the type: `rest` + `bought` times the price.

    Both in the weights of the objective, so that everything after the money counts too.
    """

    rest: int
    bought: int
    mix: Mix

    def objective(self, price: int) -> int:
        """The objective at `price` minor units."""
        return self.rest + self.bought * price


def whole(problem: Problem, deadline: Deadline) -> Posed | None:
    """All rigs of a problem in one model, whatever prices are; None if sums are too large, or
    the time is up."""
    every = [device.id for device in problem.devices]
    try:
        posed = Posed(problem, columns(problem, 1, every, deadline.check), (), deadline)
        posed.relax(deadline, again=True)
        return posed
    except (TooLargeError, TimeIsUpError):
        return None


class Market:
    """All rigs, with `item` at any price.

    `dropped` as in the answer's own problem; `among`: all rigs of that, where it is of use.
    """

    def __init__(  # noqa: PLR0917
        self,
        catalogue: Catalogue,
        needs: Needs,
        item: str,
        deadline: Deadline,
        dropped: int = 0,
        among: Posed | None = None,
    ) -> None:
        offers = tuple(offer for offer in catalogue.offers if offer.item != item)
        self.catalogue = replace(catalogue, offers=offers)
        self.needs = replace(needs, budget=None)
        # What could be sold is in no objective, so it is added to what may be spent.
        self.budget = None if needs.budget is None else needs.budget + needs.sale
        self.item, self.deadline, self.dropped = item, deadline, dropped
        ways = among.problem.ways(item) if among else ()
        plain = [(way.seller, way.pack, way.stock) for way in ways] == [(None, 1, None)]
        self.among = among if plain else None
        free = self._at(0)
        self.minor = weights(free)[0]
        self.usable = any(device.id == item for device in free.devices)

    def _at(self, price: int) -> Problem:
        if self.among is not None:
            known = self.among.problem
            ways = (replace(known.ways(self.item)[0], price=price),)
            return replace(known, supplies={**known.supplies, self.item: ways})
        device = replace(self.catalogue.devices[self.item], price=price)
        devices = {**self.catalogue.devices, self.item: device}
        problem = state(replace(self.catalogue, devices=devices), self.needs)
        return replace(problem, dropped=self.dropped)

    def _bought(self, units: int) -> int:
        """What a minor unit more adds to the objective of a rig with `units` of the type."""
        return max(0, units - self.needs.owned.get(self.item, 0)) * self.minor

    def line(self, best: Best, price: int) -> Line:
        """The line of the rig that is `best` at `price`."""
        bought = self._bought(best.mix.units.get(self.item, 0))
        return Line(best.objective - bought * price, bought, best.mix)

    def outside(self, best: Best, problem: Problem) -> Line:
        """The line of the rig that is `best` in another `problem` and has none of the type."""
        return Line(reweighed(best.objective, problem, self._at(0)), 0, best.mix)

    def crossing(self, line: Line, other: Line) -> int:
        """The last whole price at which `line` is not dearer than `other`, with fewer."""
        return (other.rest - line.rest) // (line.bought - other.bought)

    def affordable(self, line: Line) -> int | None:
        """The highest price at which `line` is within the budget; None without a budget."""
        if self.budget is None:
            return None
        return (self.budget - line.rest // self.minor) // (line.bought // self.minor)

    def too_dear(self, other: Line | None, units: int) -> int | None:
        """A price at which no rig with `units` of the type, some bought, is the cheapest.

        `other` has fewer of them, at any price. None if there is no such price.
        """
        ends = [] if self.budget is None else [self.budget + 1]
        if other is not None:
            ends.append(other.rest // (self._bought(units) - other.bought) + 1)
        return min(ends, default=None)

    def cheapest(
        self, price: int, lower: int, upper: int | None = None, limit: int = LARGEST
    ) -> Line | None:
        """The cheapest rig with `lower` to `upper` of the type, its objective within `limit`.

        Raises:
            TimeUpError: When it is not known in time.
        """
        search = self._search(price, lower, upper)
        best = proven(search.best(self.deadline, Scope(upper=limit, ties="nothing")))
        return None if best is None or best.objective > limit else self.line(best, price)

    def near(self, line: Line) -> int | None:
        """A price a little below the one at which the cheapest rig with some of the type is as
        dear as `line`, as far as a relaxation tells; None if it is dearer at any price.

        Raises:
            TimeUpError: When it is not known in time.
        """
        if self.among is None:
            return 0
        price, room = 0, ROOM * max(1, line.rest - self.among.bound)
        while True:
            try:
                bound, bought = self.among.outlook(self._at(price), self.item, self.deadline)
            except TimeIsUpError:
                raise TimeUpError from None
            if bound > line.rest and not price:
                return None
            missing = line.rest - room - bound
            if missing <= 0 or bought < HALF:
                return price
            step = int(missing / (bought * self.minor))
            if not step:
                return price
            price += step

    def first(self, price: int, lower: int) -> Line | None:
        """The same, and if there are several, the first by ids.

        Raises:
            TimeUpError: When it is not known in time.
        """
        best = proven(self._search(price, lower).best(self.deadline))
        return None if best is None else self.line(best, price)

    def used(self, price: int) -> int:
        """How many of the type are in the cheapest rig within the budget at `price`.

        Raises:
            TimeUpError: When it is not known in time.
        """
        line = self.first(price, 0)
        if line is None or not self._within_budget(line.objective(price)):
            return 0
        return line.mix.units.get(self.item, 0)

    def _within_budget(self, objective: int) -> bool:
        return self.budget is None or objective // self.minor <= self.budget

    def earlier(
        self, price: int, lower: int, upper: int | None, line: Line, equal: Line
    ) -> bool:
        """Whether such a rig has the same objective as `line`, and comes before it by ids.

        `equal` is one that has it, with another number of the type.

        Raises:
            TimeUpError: When it is not known in time.
        """
        if place(equal.mix, line.mix) < place(line.mix, equal.mix):
            return True
        search = self._search(price, lower, upper)
        search.before(line.mix)
        objective = line.objective(price)
        scope = Scope(objective, objective, "nothing")
        best = proven(search.best(self.deadline, scope))
        return best is not None and best.objective == objective

    def _search(self, price: int, lower: int, upper: int | None = None) -> Search:
        search = Search(self._at(price), focus={self.item}, whole=self.among)
        ends = lower, search.problem.max_units if upper is None else upper
        if self.among is None:
            search.between(self.item, *ends)
        else:
            search.limits = {self.item: ends}
        return search
