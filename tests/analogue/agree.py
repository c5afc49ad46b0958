"""What the optimiser says of a question, for comparison."""

from __future__ import annotations

from rigopt.answers.outcome import Answered, Impossible
from rigopt.optimiser.questions.plan import solve
from rigopt.rig.types import Rig
from tests.analogue.brute import brute_best
from tests.analogue.checks import faults
from tests.analogue.instances import Question
from tests.oracle.keys import key_of


def rig_of(question: Question) -> Rig | None:
    """The optimiser's rig, None where there is none; anything unproven is a failure."""
    outcome = solve(*question)
    if isinstance(outcome, Impossible):
        return None
    assert isinstance(outcome, Answered)
    assert outcome.proven
    assert outcome.bound == outcome.rig.total
    return outcome.rig


def trouble(question: Question) -> list[str]:
    """How the optimiser differs from the enumeration, and the rules that its rig breaks."""
    rig, key = rig_of(question), brute_best(*question)
    differs = [] if key_of(rig) == key else [f"optimiser {key_of(rig)}, enumeration {key}"]
    return differs + ([] if rig is None else faults(rig, question[1]))
