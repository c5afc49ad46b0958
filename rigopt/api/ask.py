"""The question for the cheapest rig.

`time_limit` is in seconds, for all of a question. The optimiser is imported only when
something is asked, so that help does not wait for the solver.
"""

from __future__ import annotations

from rigopt.answers.outcome import Choice
from rigopt.api.audited import audited, finished
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.optimiser.solver.watch import Watch


def ask_plan(
    catalogue: Catalogue,
    needs: Needs,
    time_limit: float | None = None,
    watch: Watch | None = None,
    *,
    alternatives: int = 0,
    why: bool = False,
    second: bool = False,
) -> Choice:
    """The outcome, with the next `alternatives` mixes of devices, and `why`.

    `second`: with a second opinion on it.

    Raises:
        AuditFailedError: When a rig found breaks a rule.
        KeyboardInterrupt: When `watch` was told to stop before there was any rig.
    """
    from rigopt.optimiser.questions.plan import solve  # noqa: PLC0415
    from rigopt.optimiser.solver.run import Deadline  # noqa: PLC0415

    watch = watch or Watch(catalogue.currency)
    deadline = Deadline(time_limit, watch)
    found = solve(catalogue, needs, time_limit, watch)
    outcome = finished(found, catalogue, needs, deadline, second)
    if not (alternatives or why):
        return Choice(outcome)
    from rigopt.optimiser.questions.behind import behind  # noqa: PLC0415

    choice = behind(catalogue, needs, outcome, alternatives, why, deadline)
    for other in choice.alternatives.found if choice.alternatives else ():
        audited(other, catalogue, needs)
    return choice
