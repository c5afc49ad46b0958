"""What stands in the way of stages that cannot all be reached."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from rigopt.answers.growth import Obstacle
from rigopt.answers.outcome import Impossible
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Stage
from rigopt.optimiser.questions.conflict.explain import explained
from rigopt.optimiser.questions.growth.grow import together
from rigopt.optimiser.questions.growth.journey import journey
from rigopt.optimiser.questions.plan import solve
from rigopt.optimiser.solver.run import Deadline, Result, TimeIsUpError


def obstacle(
    catalogue: Catalogue, stages: Sequence[Stage], deadline: Deadline
) -> Obstacle | None:
    """The first of `stages` that is out of reach; one of them is. None if time is short."""
    free = [replace(stage, needs=replace(stage.needs, budget=None)) for stage in stages]
    reached = _reached(catalogue, free, deadline)
    if reached == len(stages):
        reached = _reached(catalogue, stages, deadline)
        return None if reached is None else Obstacle(stages[reached], money=True)
    if reached is None:
        return None
    needs = free[reached].needs
    alone = None
    if isinstance(solve(catalogue, needs, deadline.left, deadline.watch), Impossible):
        alone = explained(catalogue, needs, deadline)
    return Obstacle(stages[reached], money=False, alone=alone)


def _reached(catalogue: Catalogue, stages: Sequence[Stage], deadline: Deadline) -> int | None:
    """How many stages can be reached from the first on; None if time is short."""
    for number in range(len(stages)):
        try:
            trip = journey(catalogue, stages[: number + 1], deadline.check)
        except TimeIsUpError:
            return None
        found = together(trip, None, deadline)
        if isinstance(found, Result):
            return number if found.status == "infeasible" else None
    return len(stages)
