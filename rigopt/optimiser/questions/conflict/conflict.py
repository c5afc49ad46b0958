"""Which needs stand in each other's way: a smallest set that no rig meets.

Every need that says more than nothing can be given up: set to a neutral value that forbids
no rig. What is no need, the rules of the formats and the catalogue, is never given up.
Needs are given up as long as what remains is still impossible; what cannot be given up any
more is the conflict. Impossibility only ever shrinks as needs are given up, so each member
is needed, whatever the order; the order decides which of several conflicts is told, and
the needs that people think of least go first.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from rigopt.answers.choice import Need, NeedName
from rigopt.catalogue.types import Catalogue
from rigopt.needs.table import ROWS, TABLE
from rigopt.needs.types import Needs, Value
from rigopt.optimiser.questions.conflict.edited_needs import edited, forbids, value_of
from rigopt.optimiser.questions.conflict.probes import Probes, TimeUpError

NEUTRAL: Final[dict[NeedName, Value]] = {
    row.name: row.neutral for row in sorted(TABLE, key=lambda row: row.given_up) if row.given_up
}
"""Each need with the value that forbids nothing; what is given up first stands first.

For the rate that is every rate of the catalogue, one after another. Microphones are given
up but for those that need 48 V or must not get it, which are needs of their own.
"""


def stated(needs: Needs) -> list[Need]:
    """The needs that could be given up; each id to avoid or to require is one of its own."""
    found: list[Need] = []
    for name in NEUTRAL:
        value: Value = value_of(needs, name)
        if ROWS[name].kind == "ids":
            found += [Need(name, item) for item in getattr(needs, name)]
        elif forbids(ROWS[name], value):
            found.append(Need(name, value))
    return found


def without(needs: Needs, given_up: Iterable[Need]) -> Needs:
    """`needs` with these given up, the rate left as it is."""
    gone = set(given_up)
    for name in NEUTRAL:
        mine = [need for need in gone if need.name == name]
        if not mine or name == "rate_hz":
            continue
        if ROWS[name].kind == "ids":
            items = {need.value for need in mine}
            left = tuple(item for item in getattr(needs, name) if item not in items)
            needs = edited(needs, name, left)
        elif name == "mic":
            needs = edited(needs, name, needs.phantom + needs.no_phantom)
        else:
            needs = edited(needs, name, NEUTRAL[name])
    return needs


def rates(catalogue: Catalogue, rate_hz: int) -> list[int]:
    """`rate_hz`, then every other rate of the catalogue, the nearest first."""
    offered = {rate for device in catalogue.devices.values() for rate in device.rates_hz}
    others = sorted(offered - {rate_hz}, key=lambda rate: (abs(rate - rate_hz), rate))
    return [rate_hz, *others]


class Conflict:
    """The search for a smallest conflict among the needs of one question."""

    def __init__(self, probes: Probes, needs: Needs) -> None:
        self.probes, self.needs = probes, needs
        self.minimal = True
        self.given_up: list[Need] = []

    def members(self) -> tuple[Need, ...]:
        """Needs that no rig meets together; of `needs`, which no rig meets.

        If the time is up before it is known whether one can be given up, it stays, and
        `minimal` is False.
        """
        needs = stated(self.needs)
        if self._impossible_without(needs):
            return ()
        # One need that nothing meets is the plainest conflict.
        for need in reversed(needs):
            if self._impossible_without([other for other in needs if other != need]):
                return (need,)
        # A long chain of clocks makes large models, so that need is given up last.
        self._give_up(sorted(needs, key=lambda need: need.name == "max_hops"))
        return tuple(need for need in needs if need not in self.given_up)

    def _give_up(self, some: Sequence[Need]) -> None:
        """Give up as many of `some` as can be, all at once if possible."""
        if self._impossible_without([*self.given_up, *some]):
            self.given_up += some
        elif len(some) > 1:
            middle = len(some) // 2
            self._give_up(some[:middle])
            self._give_up(some[middle:])

    def _impossible_without(self, given_up: Sequence[Need]) -> bool:
        try:
            return not possible(self.probes, self.needs, given_up)
        except TimeUpError:
            self.minimal = False
            return False


def possible(probes: Probes, needs: Needs, given_up: Sequence[Need]) -> bool:
    """Whether any rig meets `needs` without these.

    Raises:
        TimeUpError: When that is not known in time.
    """
    rest = without(needs, given_up)
    if all(need.name != "rate_hz" for need in given_up):
        return probes.possible(rest)
    choice = rates(probes.catalogue, needs.rate_hz)
    return any(probes.possible(edited(rest, "rate_hz", rate)) for rate in choice)
