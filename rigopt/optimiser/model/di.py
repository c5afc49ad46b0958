"""Rule: an instrument may take a microphone input through a channel of a DI box.

It is a source of its own then: a microphone that needs 48 V, or one that takes either.

Variables: boxed[powered], instruments in boxes whose input must have 48 V, or need not.
Constraints: no more than the boxes have channels, and in all no more than instruments.
Cost: none.
"""

from __future__ import annotations

from ortools.sat.python import cp_model

from rigopt.optimiser.model.variables import RigVars
from rigopt.optimiser.solver.linear import Terms, total


def add(model: cp_model.CpModel, rig: RigVars) -> None:
    """Add the rule to `model`."""
    instruments = rig.problem.needs.instrument
    room: dict[bool, Terms] = {}
    for column, count in rig.satellites.items():
        if column.device.role == "di" and instruments:
            row = (count, column.device.inst)
            room.setdefault(column.device.di_phantom, []).append(row)
    for powered, terms in room.items():
        rig.boxed[powered] = model.new_int_var(0, instruments, "instruments in DI boxes")
        model.add(rig.boxed[powered] <= total(terms))
    model.add(total([(var, 1) for var in rig.boxed.values()]) <= instruments)
