"""Rule: limits on rack units, mains plugs and units; types that must be in the rig.

Variables: none. Constraints: one sum for each limit that is given; at least one unit of
each required type. (Types to avoid have no supply, so they are there only if owned. The
budget is with the money.) Cost: none.
"""

from __future__ import annotations

from ortools.sat.python import cp_model

from rigopt.optimiser.model.variables import RigVars
from rigopt.optimiser.solver.linear import total


def add(model: cp_model.CpModel, rig: RigVars) -> None:
    """Add the rule to `model`."""
    needs = rig.problem.needs
    if needs.rack_units is not None:
        height = [(n, c.device.rack_units) for c, n in rig.columns()]
        model.add(total(height) <= needs.rack_units)
    if needs.mains is not None:
        plugs = [(n, c.device.mains) for c, n in rig.columns()]
        model.add(total(plugs) <= needs.mains)
    if needs.units is not None:
        model.add(total(rig.units()) <= needs.units)
    by_type = rig.units_by_type
    for item in needs.require:
        model.add(total(by_type.get(item, [])) >= 1)
