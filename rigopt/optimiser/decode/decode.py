"""From counts to names: units, sockets, cables, clock settings, purchases.

The column of a unit fixes which sockets it needs, and the rules made sure that there are
enough, so nothing is searched for here: sockets are dealt out in order. Where something
stood before, units keep their names, and their links the sockets that they had.
"""

from __future__ import annotations

from collections.abc import Sequence

from rigopt.optimiser.decode.baskets import purchases
from rigopt.optimiser.decode.boxes import boxes, units
from rigopt.optimiser.decode.kept import keep
from rigopt.optimiser.decode.pieces import with_cables
from rigopt.optimiser.decode.seating import seated
from rigopt.optimiser.decode.wires import wires
from rigopt.optimiser.model.variables import Counted
from rigopt.optimiser.problem.problem import Problem
from rigopt.rig.links import derive_links
from rigopt.rig.orders import orders, paid
from rigopt.rig.types import Rig


def decode(problem: Problem, counted: Counted, before: Sequence[Rig] = ()) -> Rig:
    """The finished rig of a solution; `before`: the rigs that stood until then, in turn."""
    found = keep(boxes(counted), before)
    bare = wires(problem, found, counted)
    named = units(problem, found)
    roles = {unit.name: unit.role for unit in named}
    wired = with_cables(problem, counted.packs, bare, roles)
    links = derive_links(named, wired, problem.rate_hz)
    seating = seated(problem.needs, named, links)
    bought = purchases(problem, counted.packs, seating.units, links)
    placed = orders(bought, problem.catalogue, problem.needs.exchange)
    return Rig(
        rate_hz=problem.rate_hz,
        units=seating.units,
        links=links,
        inputs=seating.inputs,
        purchases=bought,
        clock_hops=max(box.state.hop for box in found if box.state is not None),
        total=paid(bought, placed),
        orders=placed,
        split_pairs=seating.split_pairs,
    )
