"""Why this rig: the price of every device type at which it changes, and what needs cost."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

from rigopt.answers.choice import Price, Why
from rigopt.catalogue.types import Catalogue, Device
from rigopt.needs.types import Needs
from rigopt.optimiser.problem.problem import state
from rigopt.optimiser.questions.conflict.probes import Probes, TimeUpError, proven
from rigopt.optimiser.questions.why.binding import changes
from rigopt.optimiser.questions.why.market import Market, whole
from rigopt.optimiser.questions.why.prices import (
    entry_price,
    switch_price,
    switch_price_by_halves,
)
from rigopt.optimiser.search.pooled import Best, Search
from rigopt.optimiser.solver.linear import TooLargeError
from rigopt.optimiser.solver.run import Deadline
from rigopt.rig.types import Rig

SHARES = 4
"""A price takes this part of the time left at most: one that is hard leaves some to others."""


def why(catalogue: Catalogue, needs: Needs, rig: Rig, deadline: Deadline) -> Why:
    """What stands behind `rig`, the cheapest one for `needs`."""
    try:
        prices = _Prices(catalogue, needs, rig, deadline).all()
    except TimeUpError:
        prices = ()
    steps = changes(Probes(catalogue, deadline), needs, rig)
    known = bool(prices) and all(price.note != "unknown" for price in prices)
    return Why(prices, steps.known, known and steps.complete)


class _Prices:
    """The prices of all types around one rig."""

    def __init__(
        self, catalogue: Catalogue, needs: Needs, rig: Rig, deadline: Deadline
    ) -> None:
        self.catalogue, self.needs, self.deadline = catalogue, needs, deadline
        self.used = Counter(unit.device.id for unit in rig.units)
        search = Search(state(catalogue, replace(needs, budget=None)))
        best = proven(search.best_exact(deadline))
        self.problem = search.problem
        if best is None or best.mix.units != self.used:
            # The pairs of a list can make a dearer mix the answer (see `solve`); what is
            # said of prices would not be true of that.
            raise TimeUpError
        self.best: Best = best
        self.among = whole(self.problem, deadline)

    def all(self) -> tuple[Price, ...]:
        """Types in the answer, then the others, each in the order of ids."""
        order = sorted(self.catalogue.devices, key=lambda item: (not self.used[item], item))
        return tuple(self._price(self.catalogue.devices[item]) for item in order)

    def _price(self, device: Device) -> Price:
        units = self.used[device.id]
        blank = Price(device.id, units, self._now(device), None)
        try:
            return self._switch(blank) if units else self._entry(blank, device)
        except TimeUpError:
            return blank._replace(note="unknown")
        except TooLargeError:
            if self.among is None:
                return blank._replace(note="unknown")
        # The sums of a model of fewer rigs may be small enough.
        self.among = None
        return self._price(device)

    def _now(self, device: Device) -> int | None:
        return self.problem.price(device.id) if self.problem.ways(device.id) else None

    def _entry(self, blank: Price, device: Device) -> Price:
        if device.id in self.needs.avoid:
            return blank._replace(note="avoided")
        if not device.may_stand(self.needs.rate_hz):
            return blank._replace(note="unusable")
        market = self._market(device.id)
        if not market.usable:
            return blank._replace(note="unusable")
        limit = entry_price(market, market.outside(self.best, self.problem))
        return blank._replace(limit=limit, note="" if limit is not None else "never")

    def _switch(self, blank: Price) -> Price:
        if blank.units <= self.needs.owned.get(blank.device, 0):
            return blank._replace(note="owned")
        market = self._market(blank.device)
        limit = self._last(market, blank)
        if limit is None:
            return blank._replace(note="always")
        return blank._replace(limit=limit) if limit >= 0 else blank._replace(note="never")

    def _last(self, market: Market, blank: Price) -> int | None:
        now = blank.now
        assert now is not None  # what is bought has a price
        if all(offer.item != blank.device for offer in self.catalogue.offers):
            return switch_price(market, market.line(self.best, now), blank.units, now)
        # One price in the place of several offers may change what is cheapest today.
        line = market.first(now, blank.units)
        if line is not None and line.mix.units[blank.device] == blank.units:
            limit = switch_price(market, line, blank.units, now)
            if limit is None or limit >= now:
                return limit
        return switch_price_by_halves(market, blank.units)

    def _market(self, item: str) -> Market:
        self.deadline.watch.question(f"price of {item}", self.catalogue.currency)
        deadline, dropped = self.deadline.share(SHARES), self.problem.dropped
        return Market(self.catalogue, self.needs, item, deadline, dropped, self.among)
