"""From counts to names: units, sockets, cables, clock settings, purchases.

The column of a unit fixes which sockets it needs, and the rules made sure that there are
enough, so nothing is searched for here: sockets are dealt out in order. Where something
stood before, units keep their names, and their links the sockets that they had.
"""

from __future__ import annotations

from collections.abc import Sequence

from rigopt.optimiser.decode import leads
from rigopt.optimiser.decode.baskets import purchases, sold
from rigopt.optimiser.decode.boxes import boxes, units
from rigopt.optimiser.decode.kept import keep
from rigopt.optimiser.decode.pieces import with_cables
from rigopt.optimiser.decode.seating import seated
from rigopt.optimiser.decode.wires import wires
from rigopt.optimiser.model.variables import Counted
from rigopt.optimiser.problem.problem import Problem
from rigopt.optimiser.solver.run import NO_END, Deadline
from rigopt.rig.links import derive_links
from rigopt.rig.orders import orders, paid
from rigopt.rig.sales import proceeds
from rigopt.rig.types import Rig


def decode(
    problem: Problem, counted: Counted, before: Sequence[Rig] = (), deadline: Deadline = NO_END
) -> Rig:
    """The finished rig of a solution; `before`: the rigs that stood until then, in turn.

    Past the deadline sources sit on any inputs that will do.
    """
    found = keep(boxes(counted), before)
    pieces = leads.laid(problem, found, counted)
    bare = [*wires(problem, found, counted), *leads.wires(pieces)]
    named = units(problem, found)
    roles = {unit.name: unit.role for unit in named}
    wired = with_cables(
        problem, counted.packs, bare, roles, leads=[p.lead for p in pieces], laid=counted.laid
    )
    links = derive_links(named, wired, problem.rate_hz)
    seating = seated(problem.needs, named, links, boxed=counted.boxed, deadline=deadline)
    bought = purchases(problem, counted.packs, seating.units, links, seating.inputs)
    to_sell = sold(problem, seating.units, links, seating.inputs)
    placed = orders(bought, problem.catalogue, problem.needs.exchange)
    return Rig(
        rate_hz=problem.rate_hz,
        units=seating.units,
        links=links,
        inputs=seating.inputs,
        purchases=bought,
        clock_hops=max(box.state.hop for box in found if box.state is not None),
        total=paid(bought, placed) - proceeds(to_sell),
        orders=placed,
        split_pairs=seating.split_pairs,
        to_sell=to_sell,
    )
