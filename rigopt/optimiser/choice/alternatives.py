"""The next cheapest mixes of devices.

A mix that holds all of a cheaper one is no alternative: the rest of it is not needed.
"""

from __future__ import annotations

from collections import Counter

from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.optimiser.problem import state
from rigopt.optimiser.run import Deadline
from rigopt.optimiser.search import Best, Scope, Search
from rigopt.optimiser.solve import OTHER_MIXES, answered
from rigopt.optimiser.ties import Mix
from rigopt.rig.outcome import Alternatives, Answered
from rigopt.rig.types import Rig


def alternatives(
    catalogue: Catalogue, needs: Needs, rig: Rig, count: int, deadline: Deadline
) -> Alternatives:
    """The `count` mixes that come after the one of `rig`, or as many as there are."""
    problem = state(catalogue, needs)
    search = Search(problem, ranks=count + 1 + OTHER_MIXES)
    search.forbid(Mix(Counter(unit.device.id for unit in rig.units), {}))
    found: list[Answered] = []
    least = split = 0
    while len(found) < count and split <= OTHER_MIXES:
        deadline.watch.question(f"alternative {len(found) + 1}", catalogue.currency)
        best = search.best(deadline, Scope(least=least))
        if not (isinstance(best, Best) and best.proven):
            none = not isinstance(best, Best) and best.status == "infeasible"
            return Alternatives(tuple(found), "no more" if none else "time")
        least = best.cost
        answer = answered(problem, best)
        if answer.rig.split_pairs and not rig.split_pairs:
            search.other_than(best.mix)  # as a plan does, see `solve`
            split += 1
            continue
        found.append(answer)
        search.forbid(best.mix)
    return Alternatives(tuple(found), "asked" if len(found) == count else "time")
