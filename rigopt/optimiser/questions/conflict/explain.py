"""Needs that no rig meets, explained: what conflicts, why, and what would help."""

from __future__ import annotations

from rigopt.answers.outcome import Impossible
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.optimiser.questions.conflict.advice import advice
from rigopt.optimiser.questions.conflict.analogue_way import analogue_way
from rigopt.optimiser.questions.conflict.blank_cells import blank_cells
from rigopt.optimiser.questions.conflict.catalogue_facts import facts
from rigopt.optimiser.questions.conflict.conflict import Conflict
from rigopt.optimiser.questions.conflict.probes import Probes, payable
from rigopt.optimiser.solver.run import Deadline

PATIENCE_S = 20.0
"""Seconds after which an explanation is good enough as it is; most take one or two."""


def explained(catalogue: Catalogue, needs: Needs, deadline: Deadline) -> Impossible:
    """Why no rig meets `needs`, which none does. Takes no longer than `PATIENCE_S`."""
    left = PATIENCE_S if deadline.left is None else min(PATIENCE_S, deadline.left)
    probes = Probes(payable(catalogue, needs), Deadline(left, deadline.watch))
    deadline.watch.question("no rig; looking for the reason", catalogue.currency)
    conflict = Conflict(probes, needs)
    members = conflict.members()
    blanks = blank_cells(probes, needs, members)
    changes = advice(probes, needs, members)
    return Impossible(
        conflict=members,
        facts=(
            *facts(probes.catalogue, needs, members),
            *analogue_way(probes, needs, members),
        ),
        changes=changes,
        minimal=conflict.minimal,
        blanks=blanks,
    )
