"""What is asked of the choice behind an outcome, as far as there is anything to tell."""

from __future__ import annotations

from rigopt.answers.outcome import Answered, Choice, Outcome
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.optimiser.questions.alternatives import alternatives
from rigopt.optimiser.questions.why.why import why
from rigopt.optimiser.solver.run import Deadline


def behind(  # noqa: PLR0917
    catalogue: Catalogue,
    needs: Needs,
    outcome: Outcome,
    count: int,
    wants_why: bool,
    deadline: Deadline,
) -> Choice:
    """The next `count` mixes and, if wanted, why; of a rig that is proven cheapest."""
    if not (isinstance(outcome, Answered) and outcome.proven):
        return Choice(outcome)
    rig = outcome.rig
    return Choice(
        outcome,
        alternatives(catalogue, needs, rig, count, deadline) if count else None,
        why(catalogue, needs, rig, deadline) if wants_why else None,
    )
