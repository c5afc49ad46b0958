"""Questions about stages: what to buy at each, or the most microphones at each.

`time_limit` is in seconds, for all of a question.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from rigopt.answers.growth import Grown, Most, OutOfReach
from rigopt.answers.outcome import OutOfTime
from rigopt.api.audited import audited_growth
from rigopt.catalogue.ends import at_upper_ends
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Stage
from rigopt.optimiser.solver.watch import Watch

if TYPE_CHECKING:
    from rigopt.optimiser.solver.run import Deadline


def ask_growth(
    catalogue: Catalogue,
    stages: Sequence[Stage],
    time_limit: float | None = None,
    watch: Watch | None = None,
    *,
    second: bool = False,
) -> Grown | OutOfReach | OutOfTime:
    """The cheapest way through `stages`, beside buying one after the other.

    `second`: with a second opinion on its money.

    Raises:
        AuditFailedError: When a rig or a sum in it breaks a rule.
        KeyboardInterrupt: When `watch` was told to stop before there was any.
    """
    # Here and not above, so that help does not wait for the solver.
    from rigopt.optimiser.questions.growth.grow import grow  # noqa: PLC0415
    from rigopt.optimiser.questions.growth.obstacle import obstacle  # noqa: PLC0415
    from rigopt.optimiser.solver.run import Deadline  # noqa: PLC0415

    catalogue = at_upper_ends(catalogue)
    deadline = Deadline(time_limit, watch)
    found = grow(catalogue, stages, deadline)
    if isinstance(found, Grown):
        for growth in (found.together, found.one_by_one):
            if growth is not None:
                audited_growth(growth, catalogue, stages)
        return _second(found, catalogue, stages, deadline) if second else found
    if deadline.watch.stopped:
        raise KeyboardInterrupt
    if found.status == "infeasible":
        return OutOfReach(obstacle(catalogue, stages, deadline))
    return OutOfTime(time_limit or 0.0)


def _second(
    found: Grown, catalogue: Catalogue, stages: Sequence[Stage], deadline: Deadline
) -> Grown:
    from rigopt.optimiser.questions.second import second_on_growth  # noqa: PLC0415

    return second_on_growth(found, catalogue, stages, deadline)


def ask_most_each(
    catalogue: Catalogue,
    stages: Sequence[Stage],
    budget: int,
    time_limit: float | None = None,
    watch: Watch | None = None,
) -> Most:
    """The most microphones at each stage for `budget` (minor units) at each.

    Raises:
        AuditFailedError: When a rig or a sum in it breaks a rule.
        KeyboardInterrupt: When `watch` was told to stop before there was any.
    """
    from rigopt.optimiser.questions.growth.most import most_each  # noqa: PLC0415
    from rigopt.optimiser.solver.run import Deadline  # noqa: PLC0415

    catalogue = at_upper_ends(catalogue)
    deadline = Deadline(time_limit, watch)
    found = most_each(catalogue, stages, budget, deadline)
    steps = found.growth.steps
    if deadline.watch.stopped and not steps:
        raise KeyboardInterrupt
    asked = [
        replace(stage, needs=replace(stage.needs, mic=step.needs.mic, budget=budget))
        for stage, step in zip(stages, steps, strict=False)
    ]
    audited_growth(found.growth, catalogue, asked)
    return found
