"""The stages at the least cost in all, beside the same bought one after the other.

The stages bought one after the other come first: they are a way through that nothing
better may cost more than, and the answer if time is up before there is another.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from rigopt.answers.growth import Grown, Growth, Known
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Stage
from rigopt.optimiser.decode.baskets import lines
from rigopt.optimiser.questions.growth.journey import Journey, Sold, journey
from rigopt.optimiser.questions.growth.selling import before
from rigopt.optimiser.questions.growth.solve import solve
from rigopt.optimiser.questions.growth.steps import growth, there
from rigopt.optimiser.search.pooled import NOTHING_YET, Best, Search
from rigopt.optimiser.solver.run import Deadline, Result, TimeIsUpError
from rigopt.rig.types import Purchase


def grow(catalogue: Catalogue, stages: Sequence[Stage], deadline: Deadline) -> Grown | Result:
    """The cheapest way through `stages`; a result that has not found any, if so.

    Raises:
        NoRateError: When something could be bought in a currency without exchange rate.
        TooLargeError: When what is paid could exceed what is exact.
    """
    try:
        trip = journey(catalogue, stages, deadline.check)
    except TimeIsUpError:
        return NOTHING_YET
    ahead, known = one_by_one(trip, deadline.share(2))
    found = together(trip, ahead, deadline)
    return found if isinstance(found, Result) else Grown(found, ahead, known)


def together(
    trip: Journey, ahead: Growth | None, deadline: Deadline, settle: bool = True
) -> Growth | Result:
    """The cheapest way through the stages, where `ahead` is one.

    Unless it is to `settle`, any of those that cost the same will do. Hosts are pooled
    first; they are told apart if the rig of a stage cannot be wired so.
    """
    currency = trip.problems[0].catalogue.currency
    deadline.watch.question("all stages together", currency)
    if ahead is not None:
        deadline.watch.found(ahead.total)
    bound = -trip.most_sold
    for told in (trip, trip.apart()):
        try:
            limit = None if ahead is None else ahead.total
            solved = solve(told, deadline.early(), limit, settle)
        except TimeIsUpError:
            break
        if solved.result.status == "infeasible" and ahead is None:
            return solved.result
        bound = max(bound, solved.result.bound - trip.most_sold)
        if not solved.result.found:
            break
        bought = [
            lines(basket.problem, basket.read(solved.result.value).packs)
            for basket in solved.posed.baskets
        ]
        left = [
            {item: solved.result.value(kept.pieces) for item, kept in held.items()}
            for held in solved.posed.held
        ]
        found = growth(trip, bought, left, deadline)
        if found is not None:
            return _judged(found, bound)
    return NOTHING_YET if ahead is None else _judged(ahead, bound)


def _judged(found: Growth, bound: int) -> Growth:
    """With what is known of all others: none costs less than `bound`."""
    return replace(found, bound=min(found.total, bound), proven=found.total <= bound)


def one_by_one(trip: Journey, deadline: Deadline) -> tuple[Growth | None, Known]:
    """The stages bought one after the other without looking ahead, and what is known.

    Each is bought as `plan` would, from what is there by then; what it does not use is sold.
    """
    bought: list[tuple[Purchase, ...]] = []
    left: list[dict[str, int]] = []
    sold, known = Sold(), True
    for stage, problem in enumerate(trip.problems):
        if deadline.over:
            return None, "time"
        deadline.watch.question(f"stage {stage + 1} by itself", problem.catalogue.currency)
        owned, come = there(trip, stage, bought, left), before(trip, stage, left)
        found = Search(trip.alone(stage, owned, come, sold)).best_exact(deadline)
        if not isinstance(found, Best):
            return None, "stuck" if found.status == "infeasible" and known else "time"
        known = known and found.proven
        bought.append(lines(problem, found.counted.packs))
        left.append({**come, **found.counted.kept})
        sold.update(trip.sold(stage, found.counted.packs))
    way = growth(trip, bought, left, deadline)
    return way, ("proven" if known else "found") if way else "time"
