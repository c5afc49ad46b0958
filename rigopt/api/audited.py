"""The gate before every answer: a rig passes the audit, and no rig is explained."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, ClassVar

from rigopt.answers.outcome import Answered, Impossible, Outcome
from rigopt.catalogue.types import Catalogue
from rigopt.errors import RigoptError
from rigopt.needs.types import Needs, Stage

if TYPE_CHECKING:
    from rigopt.answers.growth import Growth
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
        from rigopt.output.words.findings import says  # noqa: PLC0415

        lines = [
            "the rig that was found does not pass the audit, so it is not shown.",
            "This is a fault of this program, not of your files. Please report it, with these:",
            *(f"- {says(found)}" for found in self.findings),
        ]
        return "\n".join(lines)


def finished(
    outcome: Outcome,
    catalogue: Catalogue,
    needs: Needs,
    deadline: Deadline,
    second: bool = False,
) -> Outcome:
    """`outcome` as it is shown: a rig has passed the audit, and no rig is explained.

    `second`: with a second opinion on it.

    Raises:
        AuditFailedError: When the rig breaks a rule.
    """
    if second and not deadline.watch.stopped:
        outcome = _with_second(outcome, catalogue, needs, deadline)
    if isinstance(outcome, Impossible) and not deadline.watch.stopped:
        # Here and not above, so that an answer does not wait for it.
        from rigopt.optimiser.questions.conflict.explain import explained  # noqa: PLC0415

        told = explained(catalogue, needs, deadline)
        return replace(told, second=outcome.second) if isinstance(told, Impossible) else told
    return audited(outcome, catalogue, needs)


def _with_second(
    outcome: Outcome, catalogue: Catalogue, needs: Needs, deadline: Deadline
) -> Outcome:
    from rigopt.optimiser.questions.second import second_opinion  # noqa: PLC0415

    return second_opinion(outcome, catalogue, needs, deadline)


def audited(outcome: Outcome, catalogue: Catalogue, needs: Needs) -> Outcome:
    """`outcome` as it is.

    Raises:
        AuditFailedError: When it has a rig that breaks a rule.
    """
    from rigopt.rig.audit import audit  # noqa: PLC0415

    if isinstance(outcome, Answered) and (findings := audit(outcome.rig, catalogue, needs)):
        raise AuditFailedError(findings)
    return outcome


def audited_growth(growth: Growth, catalogue: Catalogue, stages: Sequence[Stage]) -> None:
    """Let a growth through.

    Raises:
        AuditFailedError: When a rig or a sum in it breaks a rule.
    """
    from rigopt.rig.audit.growth import audit_growth  # noqa: PLC0415

    if findings := audit_growth(growth.steps, catalogue, stages, growth.bound, growth.proven):
        raise AuditFailedError(findings)
