"""Questions to which the answer is a rig for each column or count.

`time_limit` is in seconds, for all of a question.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from rigopt.answers.outcome import Answered, NotAsked, Outcome
from rigopt.answers.series import Column, Comparison, Curve, Point, Scenario, Stretch
from rigopt.api.audited import audited, finished
from rigopt.catalogue.ends import at_upper_ends
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.optimiser.solver.watch import Watch

if TYPE_CHECKING:
    from rigopt.optimiser.solver.run import Deadline


MOST_POINTS: Final = 200
"""Counts of a curve, at most."""
MOST_DRAWN: Final = 200
"""Counts that a picture shows one by one."""


def ask_each(
    scenarios: Sequence[Scenario],
    time_limit: float | None = None,
    watch: Watch | None = None,
    *,
    second: bool = False,
) -> Comparison:
    """Each scenario with its outcome; `second`: with a second opinion on it.

    Raises:
        AuditFailedError: When a rig found breaks a rule.
        KeyboardInterrupt: When `watch` was told to stop before there was any rig.
    """
    from rigopt.optimiser.solver.run import Deadline  # noqa: PLC0415

    watch = watch or Watch()
    deadline = Deadline(time_limit, watch)
    columns: list[Column] = []
    for place, scenario in enumerate(scenarios):
        watch.question(f"column {place + 1} of {len(scenarios)}", scenario.catalogue.currency)
        left = len(scenarios) - place
        columns.append(Column(scenario, _outcome(scenario, deadline, left, second)))
    if watch.stopped and not any(isinstance(c.outcome, Answered) for c in columns):
        raise KeyboardInterrupt
    return Comparison(tuple(columns))


def _outcome(
    scenario: Scenario, deadline: Deadline, left: int, second: bool
) -> Outcome | NotAsked:
    """The outcome of the next of `left` scenarios, unless it was stopped before."""
    from rigopt.optimiser.questions.plan import solve  # noqa: PLC0415

    if deadline.watch.stopped:
        return NotAsked()
    catalogue, needs = at_upper_ends(scenario.catalogue), scenario.needs
    try:
        found = solve(catalogue, needs, deadline.share(left).seconds, deadline.watch)
    except KeyboardInterrupt:
        if not deadline.watch.stopped:
            raise
        return NotAsked()
    return finished(found, catalogue, needs, deadline.share(left), second)


def ask_curve(
    catalogue: Catalogue,
    needs: Needs,
    counts: Sequence[int],
    time_limit: float | None = None,
    watch: Watch | None = None,
    *,
    second: bool = False,
    every: bool = False,
) -> Curve:
    """Outcomes for ascending `counts` of microphones, all other needs as they are.

    `second`: with a second opinion on each. `every`: those for all counts between as well, in
    what is left of the time, unless they are too many to be seen.

    Raises:
        AuditFailedError: When a rig found breaks a rule.
        KeyboardInterrupt: When `watch` was told to stop before there was any rig.
    """
    from rigopt.optimiser.questions.curve import curve  # noqa: PLC0415
    from rigopt.optimiser.solver.run import Deadline  # noqa: PLC0415

    catalogue = at_upper_ends(catalogue)
    deadline = Deadline(time_limit, watch)
    every = every and counts[-1] - counts[0] < MOST_DRAWN
    found = curve(catalogue, needs, counts, deadline, every)
    points = tuple(
        _finished(point, catalogue, needs, deadline.share(len(found.points) - place), second)
        for place, point in enumerate(found.points)
    )
    for point in found.between:
        audited(point.outcome, catalogue, replace(needs, mic=point.mic))
    return replace(found, points=points)


def ask_stretch(
    catalogue: Catalogue,
    needs: Needs,
    budget: int,
    time_limit: float | None = None,
    watch: Watch | None = None,
) -> Stretch:
    """The most microphones for `budget` (minor units), and the next step up.

    Raises:
        AuditFailedError: When a rig found breaks a rule.
        KeyboardInterrupt: When `watch` was told to stop before there was any rig within it.
    """
    from rigopt.optimiser.questions.stretch import stretch  # noqa: PLC0415
    from rigopt.optimiser.solver.run import Deadline  # noqa: PLC0415

    catalogue = at_upper_ends(catalogue)
    deadline = Deadline(time_limit, watch)
    found = stretch(catalogue, needs, budget, deadline)
    best, step = found.best, found.step
    if best is not None:
        best = _finished(best, catalogue, replace(needs, budget=budget), deadline)
    if step is not None:
        step = _finished(step, catalogue, replace(needs, budget=None), deadline)
    return replace(found, best=best, step=step)


def _finished(
    point: Point, catalogue: Catalogue, needs: Needs, deadline: Deadline, second: bool = False
) -> Point:
    asked = replace(needs, mic=point.mic)
    return Point(point.mic, finished(point.outcome, catalogue, asked, deadline, second))
