"""Rule: each link takes one piece, at least as long as its run and no longer than works.

Runs have two lengths: between a host and another unit, and between any others. A chain of
word inputs takes T-pieces and terminators besides, which have no length.

Variables: laid[cable], pieces in use of a cable that could be sold. Constraints: laid <= pieces
there; for each kind of cable, links by format and run find
pieces that suit them (see `transport`). Pieces are those bought and owned.
Cost: none here; packs are money.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from ortools.sat.python import cp_model

from rigopt.catalogue.types import Cable
from rigopt.facts import ANALOGUE, FORMATS, TEE, TERMINATOR
from rigopt.optimiser.model import leads
from rigopt.optimiser.model.money import keep, pieces
from rigopt.optimiser.model.transport import transport
from rigopt.optimiser.model.variables import RigVars
from rigopt.optimiser.solver.linear import Terms, total


class Run(NamedTuple):
    """Links that the same pieces suit: from so long to so long; None: without end."""

    least_mm: int
    most_mm: int | None


def add(model: cp_model.CpModel, rig: RigVars) -> None:
    """Add the rule to `model`."""
    wanted: dict[str, dict[Run, Terms]] = {}
    for (name, far), terms in rig.runs().items():
        row, needs = rig.problem.formats[name], rig.problem.needs
        run = Run(needs.host_to_rack_mm if far else needs.within_rack_mm, row.max_mm)
        wanted.setdefault(row.cable, {}).setdefault(run, []).extend(terms)
    for kind, runs in wanted.items():
        _pieces(model, rig, rig.problem.cables_of(kind), runs)
    _analogue(model, rig)
    for kind, terms in zip((TEE, TERMINATOR), rig.tees(), strict=True):
        if terms:
            _pieces(model, rig, rig.problem.cables_of(kind), {Run(0, None): terms})


def _analogue(model: cp_model.CpModel, rig: RigVars) -> None:
    """Pieces of each pair of plugs and number of channels."""
    longest = FORMATS[ANALOGUE].max_mm
    wanted: dict[tuple[object, int], dict[Run, Terms]] = {}
    for lead, var in rig.leads.items():
        run = Run(leads.lengths(rig)[lead.far].length_mm, longest)
        alike = wanted.setdefault((lead.ends, lead.ways), {})
        alike.setdefault(run, []).append((var, 1))
    for sort, runs in wanted.items():
        cables = [c for c in rig.problem.cables_of(ANALOGUE) if (c.ends, c.ways) == sort]
        _pieces(model, rig, cables, runs)


def _pieces(
    model: cp_model.CpModel, rig: RigVars, cables: Sequence[Cable], runs: dict[Run, Terms]
) -> None:
    there = {cable: _there(model, rig, cable) for cable in cables}
    transport(
        model,
        runs,
        {cable: bought for cable, (bought, _) in there.items()},
        _suits,
        {cable: owned for cable, (_, owned) in there.items()},
    )


def _there(model: cp_model.CpModel, rig: RigVars, cable: Cable) -> tuple[Terms, int]:
    """Pieces of a cable; of one that could be sold, those that are in use."""
    bought, owned = pieces(rig, cable.id)
    if cable.id not in rig.kept:
        return bought, owned
    most = rig.problem.max_pieces(cable)
    laid = rig.laid[cable.id] = model.new_int_var(0, most, f"laid {cable.id}")
    model.add(laid <= total(bought) + owned)
    keep(model, rig, cable.id, laid, most)
    return [(laid, 1)], 0


def _suits(cable: Cable, run: Run) -> bool:
    most = run.most_mm
    return run.least_mm <= cable.length_mm and (most is None or cable.length_mm <= most)
