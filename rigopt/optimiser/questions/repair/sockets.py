"""Rule: a socket takes one cable, of a group of sockets one works, and no cable is idle.

Variables: plug, kept.
Constraints: for each socket, cables <= 1; for each group of `either`, cables <= 1; kept[i] <=
cables between its sockets, and of several cables there one stays; plug <= what it is for:
channels that it brings, line outputs that it feeds, or a unit that is locked to it.
Of sockets that are alike and hold no given cable, the lower are taken first.
Cost: none.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from itertools import pairwise

from rigopt.optimiser.questions.repair.case import Case
from rigopt.optimiser.questions.repair.routes import Ends, Place
from rigopt.optimiser.questions.repair.variables import RepairVars
from rigopt.optimiser.solver.linear import Var, total
from rigopt.rig.sockets import Socket
from rigopt.rig.types import Unit


def create(repair: RepairVars) -> None:
    """Create the cables, for other rules to count."""
    for place, route in enumerate(repair.case.routes):
        repair.plug[route] = repair.flag("plug", place)
    for index in range(len(repair.case.links)):
        repair.kept[index] = repair.flag("stays", index)


def add(repair: RepairVars) -> None:
    """Add the rule."""
    case, model = repair.case, repair.model
    for place in case.at:
        model.add_at_most_one(var for var, _ in repair.cables(place))
    for unit in case.units:
        for group in unit.device.either:
            there = [term for ref in group for term in repair.cables(Place(unit.name, ref))]
            model.add(total(there) <= 1)
    twins: dict[Ends, list[Var]] = defaultdict(list)
    for index, routes in enumerate(case.staying):
        model.add(total((repair.plug[route], 1) for route in routes) >= repair.kept[index])
        twins[case.ends[index]].append(repair.kept[index])
    for several in twins.values():
        model.add_at_most_one(several)
    for lower, higher in _alike(case):
        model.add(total(repair.cables(higher)) <= total(repair.cables(lower)))


def purpose(repair: RepairVars) -> None:
    """No cable is there for nothing."""
    why: dict[object, list[Var]] = defaultdict(list)
    for deal in repair.deals:
        why[deal.route].append(deal.var)
    for route, plug in repair.plug.items():
        reasons = why[route]
        for _, place in route.ways:
            if route.format.clock and place in repair.locked:
                reasons.append(repair.locked[place])
            if (place, route.format.id) in repair.tops:
                reasons.append(repair.tops[place, route.format.id])
        repair.model.add(total((var, 1) for var in reasons) >= plug)


def _alike(case: Case) -> Iterator[tuple[Place, Place]]:
    """Neighbouring sockets of a unit that are as good as each other, the lower first."""
    held = {place for ends in case.ends for place in (ends.start, ends.end)}
    for unit in case.units:
        there = list(case.sockets[unit.name].values())
        for one, other in pairwise(there):
            places = (Place(unit.name, one.ref), Place(unit.name, other.ref))
            same = one.ref[:2] == other.ref[:2] and one[1:] == other[1:]
            if same and held.isdisjoint(places) and _plain(case, unit, (one, other)):
                yield places


def _plain(case: Case, unit: Unit, sockets: tuple[Socket, ...]) -> bool:
    """Whether nothing but their numbers tells sockets apart."""
    clock, numbers = unit.clock, case.numbers.get(unit.name)
    shared = {ref for group in unit.device.either for ref in group}
    cut = numbers is not None and numbers.base.row > numbers.base.total
    return not any(
        socket.ref in shared
        or (socket.ref.way == "in" and cut)
        or (
            clock is not None and (clock.source, clock.socket) == (socket.ref[0], socket.ref[2])
        )
        for socket in sockets
    )
