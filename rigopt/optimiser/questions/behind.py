"""What is asked of the choice behind an outcome, as far as there is anything to tell."""

from __future__ import annotations

from decimal import Decimal
from typing import NamedTuple

from rigopt.answers.outcome import Answered, Choice, Outcome
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.optimiser.questions.alternatives import alternatives
from rigopt.optimiser.questions.checks.checks import checks
from rigopt.optimiser.questions.more import more
from rigopt.optimiser.questions.plan import solve
from rigopt.optimiser.questions.why.why import why
from rigopt.optimiser.solver.run import Deadline


class Wanted(NamedTuple):
    """What is to be told beside the answer: the next mixes, as many; why; the facts on which
    it hangs; and what so many percent more would buy."""

    alternatives: int = 0
    why: bool = False
    checks: bool = False
    more: Decimal | None = None


def behind(
    catalogue: Catalogue, needs: Needs, outcome: Outcome, wanted: Wanted, deadline: Deadline
) -> Choice:
    """What is wanted, of a rig that is proven cheapest, or the one with the least regret.

    `catalogue` has each price that is a range at its upper end.
    """
    if not (isinstance(outcome, Answered) and outcome.proven):
        return Choice(outcome)
    asked = (catalogue, needs, outcome.rig)
    cheapest = outcome.rig
    if outcome.regret is not None and wanted.why:
        there = solve(catalogue, needs, deadline.left, deadline.watch)
        cheapest = there.rig if isinstance(there, Answered) else cheapest
    count, percent = wanted.alternatives, wanted.more
    return Choice(
        outcome,
        alternatives(*asked, count, deadline) if count else None,
        why(catalogue, needs, cheapest, deadline) if wanted.why else None,
        checks(*asked, deadline) if wanted.checks else None,
        more(*asked, percent, deadline) if percent is not None else None,
    )
