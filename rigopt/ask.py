"""The one way from a question to an answer: solve, then audit, then hand over."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, ClassVar

from rigopt.answers.outcome import Answered, Choice, Impossible, Outcome
from rigopt.catalogue.types import Catalogue
from rigopt.errors import RigoptError
from rigopt.needs.types import Needs
from rigopt.optimiser.solver.progress import Watch, watching

if TYPE_CHECKING:
    from rigopt.optimiser.solver.run import Deadline
    from rigopt.rig.audit import Finding


class AuditFailedError(RigoptError):
    """The optimiser's rig breaks a rule: a fault of this program, never of the input.

    It has an exit status of its own (EX_SOFTWARE of BSD's sysexits.h, from memory), so
    that no script takes it for an answer or for a fault in its files.
    """

    exit_status: ClassVar[int] = 70

    def __init__(self, findings: Sequence[Finding]) -> None:
        super().__init__(findings)
        self.findings = tuple(findings)

    def __str__(self) -> str:
        lines = [
            "the rig that was found does not pass the audit, so it is not shown.",
            "This is a fault of this program, not of your files. Please report it, with these:",
            *(f"- {finding}" for finding in self.findings),
        ]
        return "\n".join(lines)


def ask(catalogue: Catalogue, needs: Needs, time_limit: float | None = None) -> Outcome:
    """The outcome for `needs`; a rig in it has passed the audit. `time_limit` in seconds.

    Where there is no rig, the outcome explains why.

    Raises:
        AuditFailedError: When the rig found breaks a rule.
    """
    with watching(catalogue.currency) as watch:
        return _asked(catalogue, needs, time_limit, watch)


def ask_choice(
    catalogue: Catalogue,
    needs: Needs,
    time_limit: float | None,
    alternatives: int,
    why: bool,
) -> Choice:
    """The outcome with the next `alternatives` mixes, and `why`; all within `time_limit`.

    Raises:
        AuditFailedError: When a rig found breaks a rule.
    """
    from rigopt.optimiser.questions.behind import behind  # noqa: PLC0415
    from rigopt.optimiser.solver.run import Deadline  # noqa: PLC0415

    with watching(catalogue.currency) as watch:
        deadline = Deadline(time_limit, watch)
        outcome = _asked(catalogue, needs, time_limit, watch)
        choice = behind(catalogue, needs, outcome, alternatives, why, deadline)
        for other in choice.alternatives.found if choice.alternatives else ():
            audited(other, catalogue, needs)
        return choice


def _asked(
    catalogue: Catalogue, needs: Needs, time_limit: float | None, watch: Watch
) -> Outcome:
    # Here and not above, so that help and version do not wait for the solver.
    from rigopt.optimiser.questions.plan import solve  # noqa: PLC0415
    from rigopt.optimiser.solver.run import Deadline  # noqa: PLC0415

    deadline = Deadline(time_limit, watch)
    return finished(solve(catalogue, needs, time_limit, watch), catalogue, needs, deadline)


def finished(
    outcome: Outcome, catalogue: Catalogue, needs: Needs, deadline: Deadline
) -> Outcome:
    """`outcome` as it is shown: a rig has passed the audit, and no rig is explained.

    Raises:
        AuditFailedError: When the rig breaks a rule.
    """
    if isinstance(outcome, Impossible):
        from rigopt.optimiser.questions.conflict.explain import explained  # noqa: PLC0415
        from rigopt.output.words.reasons import reasons  # noqa: PLC0415

        found = explained(catalogue, needs, deadline)
        return replace(found, reasons=reasons(found, catalogue.currency, needs))
    return audited(outcome, catalogue, needs)


def audited(outcome: Outcome, catalogue: Catalogue, needs: Needs) -> Outcome:
    """`outcome` as it is.

    Raises:
        AuditFailedError: When it has a rig that breaks a rule.
    """
    from rigopt.rig.audit import audit  # noqa: PLC0415

    if isinstance(outcome, Answered) and (findings := audit(outcome.rig, catalogue, needs)):
        raise AuditFailedError(findings)
    return outcome
