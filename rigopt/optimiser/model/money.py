"""Rule: what is used is owned or bought, in whole packs; money is what is bought, and what
is not got for owned pieces that are used and could be sold.

Variables: packs[item][i], packs bought of the item's i-th supply, at most its stock, and
no more than what can be needed and what can get an order past a free-delivery limit; and
those of the orders, which `orders` adds; kept[item], owned pieces that are not sold; full, 0/1,
whether all of them are kept.
Constraints: for each device type, units <= pieces bought + pieces owned; money <= budget
and all that could be sold. Owned pieces come before bought ones, whatever they are sold for:
kept >= full x owned, kept >= units - most x full. (Cables and extras have the like in rules
of their own.)
Cost: packs times price for what is bought at plain prices, and the orders; exact in minor
units.
"""

from __future__ import annotations

from ortools.sat.python import cp_model

from rigopt.optimiser.model import orders
from rigopt.optimiser.model.variables import Kept, RigVars
from rigopt.optimiser.problem.supplies import Supply
from rigopt.optimiser.solver.linear import Terms, total


def create(model: cp_model.CpModel, rig: RigVars) -> None:
    """Create what is bought of every device type, cable and extra, and the orders."""
    problem = rig.problem
    for name, pieces in problem.sellable.items():
        rig.kept[name] = Kept(model.new_int_var(0, pieces, f"kept {name}"), pieces, [])
    for cable in problem.cables:
        item(model, rig, cable.id, problem.max_pieces(cable))
    for extra in problem.extras:
        item(model, rig, extra.id, problem.max_extra[extra.id])
    for name, units in rig.units_by_type.items():
        supplies = problem.ways(name)
        if _one_each(rig, name, supplies):
            rig.packs[name] = (units,)  # each unit is bought: no variable is needed
        else:
            item(model, rig, name, problem.max_units if units else 0)
    orders.create(model, rig)


def _one_each(rig: RigVars, item: str, supplies: tuple[Supply, ...]) -> bool:
    """Whether there is one way to buy it, one for each unit and never one more."""
    if rig.problem.owned(item) or len(supplies) != 1:
        return False
    (way,) = supplies
    return way.pack == 1 and way.stock is None and not orders.surplus(rig, way)


def item(model: cp_model.CpModel, rig: RigVars, name: str, pieces: int) -> None:
    """Create the packs of an item of which at most `pieces` are needed."""
    rig.beat()
    rig.packs[name] = tuple(_packs(model, rig, s, pieces) for s in rig.problem.ways(name))


def _packs(model: cp_model.CpModel, rig: RigVars, supply: Supply, pieces: int) -> Terms:
    upper = -(-pieces // supply.pack) + orders.surplus(rig, supply)
    if supply.stock is not None:
        upper = min(upper, supply.stock)
    return [(model.new_int_var(0, upper, f"packs {supply.item}"), 1)] if upper else []


def bought(rig: RigVars, name: str) -> Terms:
    """Pieces of an item in the basket."""
    return [
        (var, factor * supply.pack)
        for terms, supply in zip(rig.packs[name], rig.problem.ways(name), strict=True)
        for var, factor in terms
    ]


def pieces(rig: RigVars, name: str) -> tuple[Terms, int]:
    """Pieces of an item: those bought and those that could be sold, and others owned."""
    there = bought(rig, name) if rig.stock is None else list(rig.stock.get(name, []))
    owned = rig.problem.owned(name)
    if kept := rig.kept.get(name):
        return [*there, (kept.pieces, 1)], owned - kept.number
    return there, owned


def keep(
    model: cp_model.CpModel, rig: RigVars, name: str, used: cp_model.LinearExprT, most: int
) -> None:
    """Of an item that could be sold, what is `used`, at most `most`, comes from the owned."""
    if kept := rig.kept.get(name):
        full = model.new_bool_var(f"all of {name} kept")
        least = total([*kept.before, (full, kept.number)])
        model.add(kept.pieces + (kept.number if kept.before else 0) >= least)
        model.add(kept.pieces + most * full >= used)


def add(model: cp_model.CpModel, rig: RigVars) -> None:
    """Add the rule to `model`."""
    for name, used in rig.units_by_type.items():
        there, owned = pieces(rig, name)
        if used and rig.packs.get(name) != (used,):
            model.add(total(used) <= total(there) + owned)
            keep(model, rig, name, total(used), rig.problem.max_units)
    if rig.problem.needs.budget is not None:
        model.add(total(rig.spent()) <= rig.problem.needs.budget + rig.problem.sale)
