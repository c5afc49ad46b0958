"""Rule: each link takes one piece, at least as long as its run and within its kind's limit.

Runs have two lengths, so pieces fall into three groups: too short for both, long enough for
the shorter, long enough for both.

Variables: none of its own. Constraints, for each kind: links of the longer run <= pieces
long enough for it; all links <= pieces long enough for the shorter run (those that are
too long for the kind were left out of the problem). Pieces are those bought and owned.
Cost: none here; packs are money.
"""

from __future__ import annotations

from ortools.sat.python import cp_model

from rigopt.facts import KINDS, Kind
from rigopt.optimiser.model.money import pieces
from rigopt.optimiser.model.variables import RigVars
from rigopt.optimiser.solver.linear import total


def add(model: cp_model.CpModel, rig: RigVars) -> None:
    """Add the rule to `model`."""
    for kind in KINDS:
        _kind(model, rig, kind)


def _kind(model: cp_model.CpModel, rig: RigVars, kind: Kind) -> None:
    needs = rig.problem.needs
    to_rack, other = rig.links(kind)
    runs = {needs.host_to_rack_mm: list(to_rack), needs.within_rack_mm: list(other)}
    if needs.host_to_rack_mm == needs.within_rack_mm:
        runs = {needs.host_to_rack_mm: [*to_rack, *other]}
    so_far = []
    for run in sorted(runs, reverse=True):
        so_far += runs[run]
        if not so_far:
            continue
        enough = []
        owned = 0
        for cable in rig.problem.cables_of(kind):
            if cable.length_mm >= run:
                bought, there = pieces(rig, cable.id)
                enough += bought
                owned += there
        model.add(total(so_far) <= total(enough) + owned)
