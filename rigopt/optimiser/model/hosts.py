"""Rule: at least one host, at most one in each slot, slots filled from the first.

Several hosts are interchangeable, so they stand in the order of their ids: this only
removes copies of the same rig. What is joined to an empty slot is held to nothing by the
rules of sockets.

Variables: none of its own. Constraints: slot 0 holds one host; slot i + 1 holds none unless
slot i does; the place in the list of types never falls from one slot to the next. Of pooled
hosts there is at least one, and at most as many as the needs allow.
Cost: none.
"""

from __future__ import annotations

from ortools.sat.python import cp_model

from rigopt.optimiser.model.variables import RigVars
from rigopt.optimiser.solver.linear import total


def add(model: cp_model.CpModel, rig: RigVars) -> None:
    """Add the rule to `model`."""
    if rig.problem.pooled:
        pool = total([(number, 1) for number in rig.hosts.values()])
        model.add_linear_constraint(pool, 1, rig.problem.per_slot)
        return
    places = {device.id: place for place, device in enumerate(rig.problem.hosts)}
    last = len(places)
    before = None
    for slot in rig.slots:
        columns = rig.slot(slot)
        filled = total([(var, 1) for _, var in columns])
        # An empty slot counts as `last`, so that empty slots come at the end.
        place = last - total([(var, last - places[c.device.id]) for c, var in columns])
        if before is None:
            model.add(filled == 1)
        else:
            model.add(filled <= 1)
            model.add(before <= place)
        before = place
