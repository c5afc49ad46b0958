"""Rule: of everything bought by the count, as many pieces as there are things to count.

An extra that nobody sells holds nothing up: only what is kept of it, and not sold, counts.

Variables: none of its own. Constraints: for each extra, `each` times what it is counted
by (microphones and sources of the needs, instruments in DI boxes as microphones; units, rack
units and mains plugs of the rig; 1 for the rig) <= pieces bought + pieces owned.
Cost: none here; packs are money.
"""

from __future__ import annotations

from ortools.sat.python import cp_model

from rigopt.optimiser.model.money import keep, pieces
from rigopt.optimiser.model.variables import RigVars
from rigopt.optimiser.solver.linear import total
from rigopt.rig.counts import asked, weight


def add(model: cp_model.CpModel, rig: RigVars) -> None:
    """Add the rule to `model`."""
    problem = rig.problem
    for extra in (*problem.extras, *problem.idle_extras):
        terms = [(n, weight(extra.per, c.device)) for c, n in rig.columns()]
        if extra.per == "mic":
            terms += [(var, 1) for var in rig.boxed.values()]
        needed = extra.each * (total(terms) + asked(extra.per, problem.needs))
        keep(model, rig, extra.id, needed, problem.max_extra[extra.id])
        if extra not in problem.idle_extras:
            bought, owned = pieces(rig, extra.id)
            model.add(needed <= total(bought) + owned)
