"""The one way from several questions to their answers: solve, then audit, then hand over."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from rigopt.answers.growth import Grown, Growth, Most
from rigopt.answers.outcome import Answered, Impossible, OutOfTime
from rigopt.answers.series import Column, Curve, Point, Scenario, Stretch
from rigopt.ask import AuditFailedError, finished
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs, Stage
from rigopt.optimiser.solver.progress import watching

if TYPE_CHECKING:
    from rigopt.optimiser.solver.run import Deadline


def ask_each(scenarios: Sequence[Scenario], time_limit: float | None = None) -> list[Column]:
    """Each scenario with its outcome; `time_limit`, in seconds, is for all together.

    Raises:
        AuditFailedError: When a rig found breaks a rule.
        KeyboardInterrupt: When the user said stop before there was any rig.
    """
    # Here and not above, so that help does not wait for the solver.
    from rigopt.optimiser.questions.plan import solve  # noqa: PLC0415
    from rigopt.optimiser.solver.run import Deadline  # noqa: PLC0415

    columns: list[Column] = []
    with watching() as watch:
        deadline = Deadline(time_limit, watch)
        for place, scenario in enumerate(scenarios):
            left = len(scenarios) - place
            catalogue, needs = scenario.catalogue, scenario.needs
            watch.question(f"column {place + 1} of {len(scenarios)}", catalogue.currency)
            try:
                seconds = deadline.share(left).seconds
                found = None if watch.stopped else solve(catalogue, needs, seconds, watch)
            except KeyboardInterrupt:
                found = None
            outcome = None
            if found is not None:
                outcome = finished(found, catalogue, needs, deadline.share(left))
            columns.append(Column(scenario, outcome))
        if watch.stopped and not any(isinstance(c.outcome, Answered) for c in columns):
            raise KeyboardInterrupt
    return columns


def ask_curve(
    catalogue: Catalogue, needs: Needs, counts: Sequence[int], time_limit: float | None = None
) -> Curve:
    """Outcomes for ascending `counts` of microphones, all other needs as they are.

    Raises:
        AuditFailedError: When a rig found breaks a rule.
        KeyboardInterrupt: When the user said stop before there was any rig.
    """
    from rigopt.optimiser.questions.curve import curve  # noqa: PLC0415
    from rigopt.optimiser.solver.run import Deadline  # noqa: PLC0415

    with watching(catalogue.currency) as watch:
        deadline = Deadline(time_limit, watch)
        found = curve(catalogue, needs, counts, deadline)
        points = tuple(_finished(point, catalogue, needs, deadline) for point in found.points)
    return replace(found, points=points)


def ask_stretch(
    catalogue: Catalogue, needs: Needs, budget: int, time_limit: float | None = None
) -> Stretch:
    """The most microphones for `budget` (minor units), and the next step up.

    Raises:
        AuditFailedError: When a rig found breaks a rule.
        KeyboardInterrupt: When the user said stop before there was any rig within it.
    """
    from rigopt.optimiser.questions.stretch import stretch  # noqa: PLC0415
    from rigopt.optimiser.solver.run import Deadline  # noqa: PLC0415

    with watching(catalogue.currency) as watch:
        deadline = Deadline(time_limit, watch)
        found = stretch(catalogue, needs, budget, deadline)
        best, step = found.best, found.step
        if best is not None:
            best = _finished(best, catalogue, replace(needs, budget=budget), deadline)
        if step is not None:
            step = _finished(step, catalogue, replace(needs, budget=None), deadline)
    return replace(found, best=best, step=step)


def ask_growth(
    catalogue: Catalogue, stages: Sequence[Stage], time_limit: float | None = None
) -> Grown | Impossible | OutOfTime:
    """The cheapest way through `stages`, beside buying one after the other.

    Raises:
        AuditFailedError: When a rig or a sum in it breaks a rule.
        KeyboardInterrupt: When the user said stop before there was any.
    """
    from rigopt.optimiser.questions.growth.grow import grow  # noqa: PLC0415
    from rigopt.optimiser.solver.run import Deadline  # noqa: PLC0415

    with watching(catalogue.currency) as watch:
        deadline = Deadline(time_limit, watch)
        found = grow(catalogue, stages, deadline)
        if isinstance(found, Grown):
            for growth in (found.together, found.one_by_one):
                if growth is not None:
                    _audit_growth(growth, catalogue, stages)
            return found
        if watch.stopped:
            raise KeyboardInterrupt
        if found.status == "infeasible":
            return Impossible(_in_the_way(catalogue, stages, deadline))
        return OutOfTime(time_limit or 0.0)


def _in_the_way(
    catalogue: Catalogue, stages: Sequence[Stage], deadline: Deadline
) -> tuple[str, ...]:
    """Which stage is out of reach, and the reasons as far as they are its own."""
    from rigopt.optimiser.questions.growth.obstacle import obstacle  # noqa: PLC0415
    from rigopt.output.words.reasons import reasons  # noqa: PLC0415

    found = obstacle(catalogue, stages, deadline)
    if found is None:
        return ("The time was up before it was clear which stage is out of reach.",)
    title = found.stage.title
    if found.alone is not None:
        told = reasons(found.alone, catalogue.currency, replace(found.stage.needs, budget=None))
        return tuple(f"{title}: {reason}" for reason in told)
    if found.money:
        return (f"{title}: the budgets of the stages until then are not enough for it.",)
    return (f"{title}: there is a rig for it, but not together with the stages before it.",)


def ask_most_each(
    catalogue: Catalogue, stages: Sequence[Stage], budget: int, time_limit: float | None = None
) -> Most:
    """The most microphones at each stage for `budget` (minor units) at each.

    Raises:
        AuditFailedError: When a rig or a sum in it breaks a rule.
        KeyboardInterrupt: When the user said stop before there was any.
    """
    from rigopt.optimiser.questions.growth.most import most_each  # noqa: PLC0415
    from rigopt.optimiser.solver.run import Deadline  # noqa: PLC0415

    with watching(catalogue.currency) as watch:
        found = most_each(catalogue, stages, budget, Deadline(time_limit, watch))
        steps = found.growth.steps
        if watch.stopped and not steps:
            raise KeyboardInterrupt
        asked = [
            replace(stage, needs=replace(stage.needs, mic=step.needs.mic, budget=budget))
            for stage, step in zip(stages, steps, strict=False)
        ]
        _audit_growth(found.growth, catalogue, asked)
        return found


def _audit_growth(growth: Growth, catalogue: Catalogue, stages: Sequence[Stage]) -> None:
    from rigopt.rig.audit.growth import audit_growth  # noqa: PLC0415

    if findings := audit_growth(growth.steps, catalogue, stages, growth.bound, growth.proven):
        raise AuditFailedError(findings)


def _finished(point: Point, catalogue: Catalogue, needs: Needs, deadline: Deadline) -> Point:
    asked = replace(needs, mic=point.mic)
    return Point(point.mic, finished(point.outcome, catalogue, asked, deadline))
