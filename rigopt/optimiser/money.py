"""Rule: what is used is owned or bought, in whole packs; money is what is bought.

Variables: packs[item][i], packs bought of the item's i-th supply.
Constraints: for each device type, units <= pieces bought + pieces owned; for cables see
there; money <= budget.
Cost: packs times price, exact in minor units.
"""

from __future__ import annotations

from ortools.sat.python import cp_model

from rigopt.optimiser.problem import Supply
from rigopt.optimiser.variables import RigVars, Terms, total


def create(model: cp_model.CpModel, rig: RigVars) -> None:
    """Create what is bought of every device type and cable."""
    problem = rig.problem
    for cable in problem.cables:
        rig.packs[cable.id] = tuple(
            _packs(model, supply, problem.max_links) for supply in problem.ways(cable.id)
        )
    for item, units in rig.units_by_type.items():
        supplies = problem.ways(item)
        if not problem.owned(item) and len(supplies) == 1 and supplies[0].pack == 1:
            rig.packs[item] = (units,)  # each unit is bought: no variable is needed
        else:
            rig.packs[item] = tuple(_packs(model, s, problem.max_units) for s in supplies)


def _packs(model: cp_model.CpModel, supply: Supply, pieces: int) -> Terms:
    return [(model.new_int_var(0, -(-pieces // supply.pack), f"packs {supply.item}"), 1)]


def pieces(rig: RigVars, item: str) -> tuple[Terms, int]:
    """Pieces of an item: those bought, and the number owned."""
    supplies = rig.problem.ways(item)
    bought = [
        (var, factor * supply.pack)
        for terms, supply in zip(rig.packs[item], supplies, strict=True)
        for var, factor in terms
    ]
    return bought, rig.problem.owned(item)


def add(model: cp_model.CpModel, rig: RigVars) -> None:
    """Add the rule to `model`."""
    for item, used in rig.units_by_type.items():
        bought, owned = pieces(rig, item)
        if used and rig.packs[item] != (used,):
            model.add(total(used) <= total(bought) + owned)
    if rig.problem.needs.budget is not None:
        model.add(total(rig.spent()) <= rig.problem.needs.budget)
