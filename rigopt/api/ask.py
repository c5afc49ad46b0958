"""The question for the cheapest rig.

`time_limit` is in seconds, for all of a question. The optimiser is imported only when
something is asked, so that help does not wait for the solver.
"""

from __future__ import annotations

from decimal import Decimal

from rigopt.answers.checks import Checks
from rigopt.answers.outcome import Choice, Outcome
from rigopt.api.audited import audited, finished
from rigopt.catalogue.ends import at_upper_ends, has_ranges
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
    checks: bool = False,
    more: Decimal | None = None,
) -> Choice:
    """The outcome, with the next `alternatives` mixes of devices, `why`, the facts on which it
    hangs, and what so many percent `more` would buy.

    Raises:
        AuditFailedError: When a rig found breaks a rule.
        KeyboardInterrupt: When `watch` was told to stop before there was any rig.
    """
    from rigopt.optimiser.questions.plan import solve  # noqa: PLC0415
    from rigopt.optimiser.solver.run import Deadline  # noqa: PLC0415

    watch = watch or Watch(catalogue.currency)
    deadline = Deadline(time_limit, watch)
    if has_ranges(catalogue):
        from rigopt.optimiser.questions.regret.plan import solve_ranges as solve  # noqa: PLC0415
    found = solve(catalogue, needs, time_limit, watch)
    outcome = finished(found, catalogue, needs, deadline)
    catalogue = at_upper_ends(catalogue)
    if not (alternatives or why or checks or more is not None):
        return Choice(outcome)
    from rigopt.optimiser.questions.behind import Wanted, behind  # noqa: PLC0415

    wanted = Wanted(alternatives, why, checks, more)
    choice = behind(catalogue, needs, outcome, wanted, deadline)
    for other in choice.alternatives.found if choice.alternatives else ():
        audited(other, catalogue, needs)
    for better in choice.more.found if choice.more else ():
        audited(better.answer, catalogue, better.needs)
    return choice


def ask_checks(outcome: Outcome, catalogue: Catalogue, needs: Needs) -> Checks | None:
    """The facts on which an answer hangs; None where there is no proven rig."""
    from rigopt.optimiser.questions.behind import Wanted, behind  # noqa: PLC0415
    from rigopt.optimiser.solver.run import Deadline  # noqa: PLC0415

    upper = at_upper_ends(catalogue)
    return behind(upper, needs, outcome, Wanted(checks=True), Deadline(None)).checks
