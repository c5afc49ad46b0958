"""The one way from a question to an answer: solve, then audit, then hand over."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar

from rigopt.catalogue.types import Catalogue
from rigopt.errors import RigoptError
from rigopt.needs.types import Needs
from rigopt.rig.outcome import Answered, Outcome

if TYPE_CHECKING:
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

    Raises:
        AuditFailedError: When the rig found breaks a rule.
    """
    # Here and not above, so that help and version do not wait for the solver.
    from rigopt.optimiser.solve import solve  # noqa: PLC0415
    from rigopt.rig.audit import audit  # noqa: PLC0415

    outcome = solve(catalogue, needs, time_limit)
    if isinstance(outcome, Answered) and (findings := audit(outcome.rig, catalogue, needs)):
        raise AuditFailedError(findings)
    return outcome
