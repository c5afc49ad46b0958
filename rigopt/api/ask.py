"""The question for the cheapest rig.

`time_limit` is in seconds, for all of a question. The optimiser is imported only when
something is asked, so that help does not wait for the solver.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import ClassVar

from rigopt.answers.checks import Checks
from rigopt.answers.choice import Alternative, difference
from rigopt.answers.outcome import IMPOSSIBLE, OUT_OF_TIME, Answered, Choice, Outcome
from rigopt.api.audited import audited, finished
from rigopt.catalogue.ends import at_upper_ends, has_ranges
from rigopt.catalogue.types import Catalogue
from rigopt.errors import RigoptError
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
    checks: bool = False,
    more: Decimal | None = None,
) -> Choice:
    """The outcome, with the next `alternatives` mixes of devices, `why`, the facts on which it
    hangs, and what so many percent `more` would buy.

    `second`: with a second opinion on it.

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
    outcome = finished(found, catalogue, needs, deadline, second)
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


class NoAlternativeError(RigoptError):
    """There are fewer alternatives than asked for: `found` of them."""

    exit_status: ClassVar[int] = IMPOSSIBLE

    def __init__(self, number: int, found: int) -> None:
        super().__init__(number, found)
        self.number, self.found = number, found

    def __str__(self) -> str:
        return f"{self.known} of devices would do, so there is no alternative {self.number}"

    @property
    def known(self) -> str:
        """'only 2 other mixes'."""
        mixes = "mix" if self.found == 1 else "mixes"
        return f"only {self.found} other {mixes}" if self.found else "no other mix"


class LateAlternativeError(NoAlternativeError):
    """The same, as far as was found in the time; `found` of them were."""

    exit_status: ClassVar[int] = OUT_OF_TIME

    def __str__(self) -> str:
        return f"{self.known} of devices found in the time, so no alternative {self.number}"


def ask_alternative(
    catalogue: Catalogue,
    needs: Needs,
    number: int,
    time_limit: float | None = None,
    watch: Watch | None = None,
) -> Outcome:
    """The mix of devices that comes as `number` after the cheapest, or why there is no rig.

    Raises:
        AuditFailedError: When a rig found breaks a rule.
        KeyboardInterrupt: When `watch` was told to stop before there was any rig.
        NoAlternativeError: When there is a cheapest rig, but not that many others, or they
            were not found in the time.
    """
    choice = ask_plan(catalogue, needs, time_limit, watch, alternatives=number)
    if not isinstance(choice.outcome, Answered):
        return choice.outcome
    others = choice.alternatives
    if others is None or len(others.found) < number:
        found = len(others.found) if others else 0
        late = others is None or others.ended == "time"
        raise (LateAlternativeError if late else NoAlternativeError)(number, found)
    answer = others.found[number - 1]
    place = Alternative(number, difference(choice.outcome.rig, answer.rig))
    return replace(answer, alternative=place)
