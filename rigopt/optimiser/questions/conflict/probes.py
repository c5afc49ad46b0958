"""Short questions to one catalogue: is anything possible, and what does it cost?"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from rigopt.catalogue.types import Catalogue
from rigopt.errors import RigoptError
from rigopt.needs.types import Needs
from rigopt.optimiser.problem.problem import state
from rigopt.optimiser.search.fixing import Scope
from rigopt.optimiser.search.pooled import Best, Search
from rigopt.optimiser.solver.run import Deadline, Result

FEW_HOSTS, FEW_HOPS = (1, 2, 4, 8), 4
"""If some rig has no more than these, which is quick to see, there is no need to look on."""

UNSETTLED = Scope(ties="nothing")


class TimeUpError(Exception):
    """What is asked is not known in time, or too large to be told exactly.

    It is caught inside this package.
    """


@dataclass(frozen=True, slots=True)
class Probes:
    """Questions to `catalogue` until the deadline."""

    catalogue: Catalogue
    deadline: Deadline
    _known: list[tuple[Needs, bool]] = field(default_factory=list)
    """What was asked, and whether it is possible: the same is asked several times."""

    def possible(self, needs: Needs) -> bool:
        """Whether any rig meets `needs`.

        Raises:
            TimeUpError: When that is not known in time.
        """
        for few in FEW_HOSTS:
            if few < needs.max_hosts or needs.max_hops > FEW_HOPS:
                hosts, hops = min(needs.max_hosts, few), min(needs.max_hops, FEW_HOPS)
                if self._possible(replace(needs, max_hosts=hosts, max_hops=hops)):
                    return True
            if few >= needs.max_hosts:
                break
        return self._possible(needs)

    def _possible(self, needs: Needs) -> bool:
        for known, answer in self._known:
            if known == needs:
                return answer
        self.in_time()
        result = Search(state(self.catalogue, needs)).possible(self.deadline)
        if result.status == "unknown":
            raise TimeUpError
        self._known.append((needs, result.found))
        return result.found

    def total(self, needs: Needs) -> int | None:
        """What the cheapest rig for `needs` costs, in minor units; None when there is none.

        Raises:
            TimeUpError: When that is not known in time.
        """
        self.in_time()
        try:
            found = Search(state(self.catalogue, needs)).best_exact(self.deadline, UNSETTLED)
        except RigoptError:
            raise TimeUpError from None
        best = proven(found)
        return None if best is None else best.money

    def in_time(self) -> None:
        """Do nothing more when the time is up: not even narrowing the catalogue.

        Raises:
            TimeUpError: When it is.
        """
        if self.deadline.over:
            raise TimeUpError


def proven(found: Best | Result) -> Best | None:
    """What a search has proven: a best, or that there is none.

    Raises:
        TimeUpError: When it has proven nothing.
    """
    if isinstance(found, Best):
        if found.proven:
            return found
    elif found.status == "infeasible":
        return None
    raise TimeUpError


def payable(catalogue: Catalogue, needs: Needs) -> Catalogue:
    """`catalogue` without offers in a currency that nobody said the rate of.

    Where such offers are left out for another reason, the question itself is sound; but
    other needs may let them in.
    """
    sellers = catalogue.sellers
    known = {catalogue.currency, *needs.exchange}
    kept = tuple(o for o in catalogue.offers if sellers[o.seller].currency in known)
    return replace(catalogue, offers=kept)
