"""Rule: an output of clock alone feeds a chain of inputs, each at a T-piece but the last.

Variables: open_end; and the place of each input in its chain, which counts.
Constraints: one cable at most goes on from an input, and only where one comes in; each input
stands one place further than the one before it, at most as many as may hang on one output;
open_end = a cable comes in at an input without an end of its own, and none goes on.
Cost: T-pieces and terminators, with the pieces of cable.
"""

from __future__ import annotations

from collections import defaultdict

from rigopt.optimiser.questions.repair.routes import Place, chains
from rigopt.optimiser.questions.repair.variables import RepairVars
from rigopt.optimiser.solver.linear import Terms, Var, total


def add(repair: RepairVars) -> None:
    """Add the rule and its variables."""
    case, model = repair.case, repair.model
    place_in: dict[Place, Var] = {}
    coming: dict[Place, Terms] = defaultdict(list)
    going: dict[Place, Terms] = defaultdict(list)
    for route, plug in repair.plug.items():
        if chains(route.format):
            coming[route.end].append((plug, 1))
            if route.tee:
                going[route.start].append((plug, 1))
    for place, comes in coming.items():
        place_in[place] = model.new_int_var(1, case.word_inputs, f"place in chain {place}")
        model.add(total(going[place]) <= total(comes))
        if case.by_name[place.unit].device.word_end == "none":
            end = repair.open_end[place] = repair.flag("open end", place)
            model.add(total([*going[place], (end, 1)]) == total(comes))
    for route, plug in repair.plug.items():
        if route.tee and route.start in place_in:
            further = place_in[route.end] >= place_in[route.start] + 1
            model.add(further).only_enforce_if(plug)
        elif route.tee:
            model.add(plug == 0)


def tees(repair: RepairVars) -> Terms:
    """T-pieces that are called for."""
    return [(plug, 1) for route, plug in repair.plug.items() if route.tee] + ends(repair)


def ends(repair: RepairVars) -> Terms:
    """Terminators that are called for."""
    return [(var, 1) for var in repair.open_end.values()]
