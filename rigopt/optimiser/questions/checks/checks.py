"""Which facts a rig hangs on: each of them made weaker, and the question asked again.

Less of a fact never makes a rig possible that was not. So with everything that was bought at
hand, and nothing else to be had, there is a step of each fact up to which it still works; it
is found by halves, each a small question. Where it is not the last step, the whole question
is asked with the next one: what the cheapest rig is then.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Hashable, Iterator
from dataclasses import replace

from rigopt.answers.checks import Check, Checks
from rigopt.catalogue.types import Catalogue, Device, SocketRef
from rigopt.errors import RigoptError
from rigopt.needs.types import Needs
from rigopt.optimiser.problem.at_rate import at_rate
from rigopt.optimiser.problem.problem import state
from rigopt.optimiser.questions.checks.weaker import Ladder, ladders
from rigopt.optimiser.questions.conflict.probes import UNSETTLED, TimeUpError, proven
from rigopt.optimiser.search.pooled import Best, Search
from rigopt.optimiser.solver.run import Deadline
from rigopt.rig.types import Rig


def checks(catalogue: Catalogue, needs: Needs, rig: Rig, deadline: Deadline) -> Checks:
    """The facts of types bought without which what is bought no longer does."""
    asking = _Asking(catalogue, needs, rig, deadline)
    found: list[Check] = []
    try:
        found.extend(asking.all())
    except TimeUpError:
        return Checks(tuple(found), complete=False)
    return Checks(tuple(found))


class _Asking:
    """Questions about one rig."""

    def __init__(
        self, catalogue: Catalogue, needs: Needs, rig: Rig, deadline: Deadline
    ) -> None:
        self.catalogue, self.needs, self.rig = catalogue, needs, rig
        self.deadline = deadline
        self.units = Counter(unit.device.id for unit in rig.units)
        owned = Counter(needs.owned)
        for line in rig.purchases:
            owned[line.item] += line.quantity * line.pack
        self.at_hand = replace(
            needs, owned=dict(owned), resale={}, owned_only=True, budget=None, sellers=None
        )
        self._works: dict[Hashable, bool] = {}
        self._known: dict[Hashable, Best | None] = {}

    def all(self) -> Iterator[Check]:
        """Type by type, fact by fact.

        Raises:
            TimeUpError: When the next is not known in time.
        """
        bought = {line.item for line in self.rig.purchases if line.kind == "device"}
        for item in sorted(bought):
            self.deadline.watch.question(f"facts of {item}", self.catalogue.currency)
            device = self.catalogue.devices[item]
            for ladder in ladders(device, self.needs, self._sockets(item)):
                step = self._first_that_fails(ladder)
                if step is not None:
                    yield self._check(ladder, step)

    def _sockets(self, item: str) -> list[frozenset[SocketRef]]:
        """The sockets in use on each unit of a type."""
        used: dict[str, set[SocketRef]] = defaultdict(set)
        for link in self.rig.links:
            if link.kind != "analogue":
                for unit, ref in (link.start, link.end):
                    used[unit].add(ref)
        names = [unit.name for unit in self.rig.units if unit.device.id == item]
        return [frozenset(used[name]) for name in names]

    def _first_that_fails(self, ladder: Ladder) -> int | None:
        """The first step at which what is bought does not do; None if there is none."""
        last = len(ladder.steps) - 1
        if last < 0 or self._does(ladder.at(last)):
            return None
        low, high = -1, last
        while low + 1 < high:
            middle = (low + high) // 2
            if self._does(ladder.at(middle)):
                low = middle
            else:
                high = middle
        return high

    def _does(self, device: Device) -> bool:
        """Whether there is a rig of what is at hand once its row is `device`."""
        seen = _effect(device, self.needs.rate_hz)
        if seen not in self._works:
            found = Search(state(self._with(device), self.at_hand)).possible(self.deadline)
            if found.status == "unknown":
                raise TimeUpError
            self._works[seen] = found.found
        return self._works[seen]

    def _with(self, device: Device) -> Catalogue:
        devices = {**self.catalogue.devices, device.id: device}
        return replace(self.catalogue, devices=devices)

    def _check(self, ladder: Ladder, step: int) -> Check:
        best = self._best(ladder.at(step))
        units = self.units if best is None else Counter(best.mix.units)
        return Check(
            device=ladder.device.id,
            column=ladder.column,
            now=ladder.now,
            needed=ladder.says(step - 1),
            tried=ladder.says(step),
            total=None if best is None else best.money,
            less=tuple(sorted((self.units - units).items())),
            more=tuple(sorted((units - self.units).items())),
        )

    def _best(self, device: Device) -> Best | None:
        """The cheapest rig once the row is `device`."""
        seen = _effect(device, self.needs.rate_hz)
        if seen not in self._known:
            try:
                search = Search(state(self._with(device), self.needs))
                self._known[seen] = proven(search.best_exact(self.deadline, UNSETTLED))
            except RigoptError:
                raise TimeUpError from None
        return self._known[seen]


def _effect(device: Device, rate_hz: int) -> Hashable:
    """What of a row counts at a rate: two rows that are alike in it are not asked twice."""
    box = at_rate(device, rate_hz)
    bare = replace(
        device,
        optical_in=0,
        optical_out=0,
        optical_1x=0,
        optical_2x=0,
        optical_4x=0,
        coax_in=0,
        coax_out=0,
        clock_in=(),
        either=(),
        rates_hz=(rate_hz,) * box.runs,
    )
    return bare, box.sockets, box.modes
