"""A second opinion on the money of an answer, or on there being no rig.

The whole model is asked, with every column, so that what the search left out is tested too.
Hosts, and units with analogue cables, are pooled first: that allows more than there is, so
where nothing pooled costs less than the rig that was found, or there is nothing at all, the
answer stands.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Final

from ortools.sat.python import cp_model

from rigopt.answers.growth import Grown
from rigopt.answers.outcome import Answered, Impossible, Opinion, Outcome
from rigopt.catalogue.ends import at_upper_ends
from rigopt.catalogue.types import Catalogue
from rigopt.facts import ANALOGUE
from rigopt.needs.types import Needs, Stage
from rigopt.optimiser.model.model import build, columns
from rigopt.optimiser.model.variables import RigVars
from rigopt.optimiser.problem.problem import Problem, state
from rigopt.optimiser.questions.growth.journey import Journey, journey
from rigopt.optimiser.questions.growth.model import pose
from rigopt.optimiser.search.posed import Cut
from rigopt.optimiser.solver.linear import Terms, amount
from rigopt.optimiser.solver.run import Deadline, TimeIsUpError
from rigopt.optimiser.solver.second import cheaper, opinion

SECONDS: Final = 60.0
"""The longest search for an opinion where no other limit is said."""

Asked = tuple[cp_model.CpModel, Terms]


def second_opinion(
    outcome: Outcome, catalogue: Catalogue, needs: Needs, deadline: Deadline
) -> Outcome:
    """`outcome` with the second opinion on it, if there is a proof to have one on."""
    if not isinstance(outcome, Answered | Impossible) or not _claims(outcome):
        return outcome
    problem = state(at_upper_ends(catalogue), needs)
    limit = _limit(deadline)
    said = said_of(problem, _claimed(outcome), limit)
    # Which mix can seat its pairs side by side is no rule of the model: one that cannot may
    # cost less.
    if said == "disagrees" and any(line.pair for line in needs.sources):
        said = "no opinion"
    return replace(outcome, second=said)


def second_on_growth(
    found: Grown, catalogue: Catalogue, stages: Sequence[Stage], deadline: Deadline
) -> Grown:
    """`found` with the second opinion on the money of all stages, if that is proven."""
    if not found.together.proven:
        return found
    trip = journey(catalogue, stages)
    return replace(found, second=said_of_trip(trip, found.together.total, _limit(deadline)))


def _claims(outcome: Answered | Impossible) -> bool:
    """Whether it is proven, and of money: where prices are ranges, the cheapest at any."""
    return isinstance(outcome, Impossible) or (
        outcome.proven and not (outcome.regret and outcome.regret.most)
    )


def _claimed(outcome: Answered | Impossible) -> int | None:
    return outcome.rig.total if isinstance(outcome, Answered) else None


def said_of(
    problem: Problem,
    claimed: int | None,
    limit: Deadline,
    cuts: Sequence[Cut] = (),
) -> Opinion:
    """What is said of `claimed`, the least money of a problem; None: there is no rig.

    `cuts`: what else is asked of it. The pooled model is asked, and where that allows more than
    there is, by name.
    """
    said = _of((_posed(p, limit, cuts) for p in [problem]), claimed, limit)
    if said == "agrees" or not (problem.needs.max_hosts > 1 or problem.cables_of(ANALOGUE)):
        return said
    if said == "disagrees" and _beaten(problem, claimed, limit, cuts):
        return "disagrees"
    return _of((_posed(p.apart(), limit, cuts) for p in [problem]), claimed, limit)


def said_of_trip(trip: Journey, claimed: int | None, limit: Deadline) -> Opinion:
    """What is said of `claimed`, the least money of all stages; None: there is no way."""
    most = None if claimed is None else claimed + trip.most_sold
    return _of((_travelled(t, limit) for t in (trip, trip.apart())), most, limit)


def _limit(deadline: Deadline) -> Deadline:
    return Deadline(SECONDS, deadline.watch) if deadline.left is None else deadline


def _posed(problem: Problem, deadline: Deadline, cuts: Sequence[Cut]) -> Asked:
    model, rig = _built(problem, deadline, cuts)
    return model, rig.net()


def _built(
    problem: Problem, deadline: Deadline, cuts: Sequence[Cut]
) -> tuple[cp_model.CpModel, RigVars]:
    model = cp_model.CpModel()
    found = columns(problem, ranks=0, beat=deadline.check)
    rig = build(model, problem, found, beat=deadline.check)
    for cut in cuts:
        cut(model, rig)
    return model, rig


def _beaten(
    problem: Problem, claimed: int | None, deadline: Deadline, cuts: Sequence[Cut]
) -> bool:
    """Whether the types of what costs less pooled make a rig that does so by name."""
    try:
        model, rig = _built(problem, deadline, cuts)
        found = cheaper(model, rig.net(), claimed, deadline)
        if found is None:
            return False
        units = rig.units_by_type.items()
        types = {item for item, each in units if amount(each, lambda var: found[var.index])}
        apart = problem.apart()
        small = apart.only(types, {cable.id for cable in apart.cables})
        model, rig = _built(small, deadline, cuts)
        return cheaper(model, rig.net(), claimed, deadline) is not None
    except TimeIsUpError:
        return False


def _travelled(trip: Journey, deadline: Deadline) -> Asked:
    every = [columns(problem, ranks=0, beat=deadline.check) for problem in trip.problems]
    posed = pose(trip, every, deadline)
    return posed.model, posed.spent


def _of(asked: Iterable[Asked], claimed: int | None, deadline: Deadline) -> Opinion:
    """What is said of the first model that confirms it; if none does, of the last."""
    said: Opinion = "no opinion"
    try:
        for model, money in asked:
            said = opinion(model, money, claimed, deadline)
            if said == "agrees":
                return said
    except TimeIsUpError:
        return "no opinion"
    return said
