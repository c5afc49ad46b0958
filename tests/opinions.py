"""What a solver of another kind says of each sort of proven end: of a search, of a rig, of the
mixes that come next, of a way through stages, of the prices of `why`, and of repairs.

Nothing is said of what is not proven. Where pairs of sources have a say in which mix it is,
which is no rule of the model, "disagrees" becomes "no opinion".
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable
from dataclasses import replace
from functools import partial

from ortools.sat.python import cp_model

from rigopt.answers.choice import Price, Why
from rigopt.answers.growth import Growth
from rigopt.answers.outcome import Alternatives, Opinion, Outcome
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.optimiser.model.model import weights
from rigopt.optimiser.model.variables import RigVars
from rigopt.optimiser.problem.problem import state
from rigopt.optimiser.questions.conflict.edited_needs import with_settings
from rigopt.optimiser.questions.growth.journey import Journey
from rigopt.optimiser.questions.repair.case import Case
from rigopt.optimiser.questions.repair.model import Solved, build
from rigopt.optimiser.questions.repair.objectives import objectives
from rigopt.optimiser.questions.second import said_of, said_of_trip, second_opinion
from rigopt.optimiser.search.fixing import Scope
from rigopt.optimiser.search.pooled import Best, Search
from rigopt.optimiser.search.posed import Cut
from rigopt.optimiser.search.ties import Mix, exclude_supersets
from rigopt.optimiser.solver.linear import LARGEST, TooLargeError, amount, total
from rigopt.optimiser.solver.run import NO_END, Deadline, Result
from rigopt.optimiser.solver.second import opinion
from rigopt.rig.types import Rig

NONE: Opinion = "no opinion"


def of_outcome(
    outcome: Outcome, catalogue: Catalogue, needs: Needs, limit: Deadline
) -> Opinion:
    """Of the money of a rig, or that there is none."""
    return getattr(second_opinion(outcome, catalogue, needs, limit), "second", None) or NONE


def of_search(
    search: Search, found: Best | Result, limit: Deadline, upper: int = LARGEST
) -> Opinion:
    """Of what a search with its cuts and limits has proven, where no objective above `upper`
    was of interest."""
    problem = search.problem
    if isinstance(found, Best) and found.proven:
        claimed = found.money if found.objective <= upper else None
    elif isinstance(found, Result) and found.status == "infeasible":
        claimed = None
    else:
        return NONE

    def cut(model: cp_model.CpModel, rig: RigVars) -> None:
        search._asked(model, rig)
        if claimed is None and upper < LARGEST:
            # An objective is money by its weight, and less than that beside it.
            regret = rig.regret is not None
            unit, sale = (1, 0) if regret else (weights(problem).money, problem.sale)
            model.add(total(rig.net()) <= (upper + 1) // unit - 1 - sale)

    return said_of(problem, claimed, limit, [cut])


def of_trip(trip: Journey, found: Growth | Result, limit: Deadline) -> Opinion:
    """Of the money of all stages, or that there is no way through them."""
    if isinstance(found, Growth):
        return said_of_trip(trip, found.total, limit) if found.proven else NONE
    return said_of_trip(trip, None, limit) if found.status == "infeasible" else NONE


def of_alternatives(
    catalogue: Catalogue, needs: Needs, rig: Rig, told: Alternatives, limit: Deadline
) -> Opinion:
    """Of each mix, that none of those that do not hold one before it costs less; and that
    there are no more."""
    if any(line.pair for line in needs.sources):
        return NONE
    problem = state(catalogue, needs)
    cuts = [_without(rig)]
    for answer in told.found:
        if (said := said_of(problem, answer.rig.total, limit, cuts)) != "agrees":
            return said
        cuts.append(_without(answer.rig))
    return said_of(problem, None, limit, cuts) if told.ended == "no more" else "agrees"


def _without(rig: Rig) -> Cut:
    """Ask for a rig that does not hold all the devices of this one."""
    mix = Mix(Counter(unit.device.id for unit in rig.units), {})
    return partial(exclude_supersets, mix=mix)


def of_why(catalogue: Catalogue, needs: Needs, told: Why, limit: Deadline) -> Opinion:
    """Of each price, that the answer changes there; and of what each step costs."""
    if any(line.pair for line in needs.sources):
        return NONE
    said = {_of_price(catalogue, needs, price, limit) for price in told.prices}
    for change in told.changes:
        problem = state(catalogue, with_settings(needs, change.settings))
        said.add(said_of(problem, change.total, limit))
    return worst(said)


def of_repair(found: Solved, case: Case, limit: Deadline) -> Opinion:
    """Of each objective of a repair, after those before it, or that there is none."""
    repair = build(case, NO_END)
    order = objectives(repair)
    if found.result.status == "infeasible":
        return opinion(repair.model, [], None, limit)
    if not found.proven:
        return NONE
    for terms in order:
        least = amount(terms, found.result.value)
        if (said := opinion(repair.model, terms, least, limit)) != "agrees":
            return said
        repair.model.add(total(terms) <= least)
    return "agrees"


def worst(said: Iterable[Opinion]) -> Opinion:
    """The least of what was said of the parts of an end."""
    known = {*said}
    return next((one for one in ("disagrees", NONE) if one in known), "agrees")


class _UnsureError(Exception):
    """The two solvers are not of one mind, or one of them has none."""

    def __init__(self, said: Opinion) -> None:
        super().__init__(said)
        self.said = said


def _of_price(catalogue: Catalogue, needs: Needs, price: Price, limit: Deadline) -> Opinion:
    """At the last price a rig with so many is no dearer than one with fewer, and at the next
    it is no cheaper; an entry price is the one after the last."""
    if price.note not in ("", "always", "never"):
        return "agrees"
    units = max(1, price.units)
    last = -1 if price.limit is None else price.limit - (price.units == 0)
    asked = (catalogue, needs, price.device, units, limit)
    try:
        if price.note == "always":
            return "agrees" if _least(*asked, 0)[1] == math.inf else "disagrees"
        if last >= 0:
            many, fewer = _least(*asked, last)
            if many > fewer:
                return "disagrees"
        many, fewer = _least(*asked, last + 1)
    except _UnsureError as error:
        return error.said
    except TooLargeError:
        return NONE  # the answer may have left out what comes last in the objective
    return "agrees" if many >= fewer else "disagrees"


def _least(  # noqa: PLR0917
    catalogue: Catalogue, needs: Needs, item: str, units: int, limit: Deadline, price: int
) -> tuple[float, float]:
    """The least money with so many of a type at a price, and with fewer; without end if there
    is no rig, or with so many none that is as good, or none within the budget.

    Raises:
        _UnsureError: When the second solver does not agree about that.
    """
    devices = {**catalogue.devices, item: replace(catalogue.devices[item], price=price)}
    offers = tuple(offer for offer in catalogue.offers if offer.item != item)
    shop = replace(catalogue, devices=devices, offers=offers)
    problem = state(shop, replace(needs, budget=None))
    found, upper = [math.inf], LARGEST
    for low, high in ((0, units - 1), (units, problem.max_units)):
        search = Search(problem, focus={item})
        search.between(item, low, high)
        best = search.best(NO_END, Scope(upper=upper, ties="nothing"))
        if (said := of_search(search, best, limit, upper)) != "agrees":
            raise _UnsureError(said)
        if isinstance(best, Best) and best.objective <= upper:
            found, upper = [best.money, *found], best.objective
        else:
            found = [math.inf, *found]
    many, fewer, _ = found
    return many if needs.budget is None or many <= needs.budget else math.inf, fewer
