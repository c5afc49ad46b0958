"""What the optimiser says of a question, for comparison."""

from __future__ import annotations

from rigopt.answers.outcome import Answered, Impossible
from rigopt.optimiser.questions.plan import solve
from rigopt.rig.types import Rig
from tests.analogue.brute import Key, brute_best
from tests.analogue.checks import faults
from tests.analogue.instances import Question


def rig_of(question: Question) -> Rig | None:
    """The optimiser's rig, None where there is none; anything unproven is a failure."""
    outcome = solve(*question)
    if isinstance(outcome, Impossible):
        return None
    assert isinstance(outcome, Answered)
    assert outcome.proven
    assert outcome.bound == outcome.rig.total
    return outcome.rig


def key_of(rig: Rig | None) -> Key | None:
    """Money, units, links (analogue ones by the piece), hops, microphone inputs that arrive."""
    if rig is None:
        return None
    digital = sum(link.piece is None for link in rig.links)
    pieces = len({link.piece for link in rig.links} - {None})
    arriving = sum("mic" in line.accepts for line in rig.inputs)
    return rig.total, len(rig.units), digital + pieces, rig.clock_hops, -arriving


def trouble(question: Question) -> list[str]:
    """How the optimiser differs from the enumeration, and the rules that its rig breaks."""
    rig, key = rig_of(question), brute_best(*question)
    differs = [] if key_of(rig) == key else [f"optimiser {key_of(rig)}, enumeration {key}"]
    return differs + ([] if rig is None else faults(rig, question[1]))
