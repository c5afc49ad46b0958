"""Rule: each cable is one piece that is long enough: its own, one moved, owned or bought.

Pieces differ by nothing but kind and length, so whether those at hand suffice is told by
counting, for each run, the cables at least that long and the pieces at least that long.

Variables: own, moved, owned; and the basket: packs and orders, as of a planned rig.
Constraints: own[i] <= cable i stays, and its piece fits; own[i] + moved[i] <= 1; for each
kind and run, cables of such a run or a longer one, without those that keep their own
piece <= pieces moved, owned and bought that are as long; money <= budget.
Cost: money; pieces moved; pieces no longer used; pieces added.
"""

from __future__ import annotations

from rigopt.facts import ANALOGUE, TEE, TERMINATOR
from rigopt.optimiser.model import money, orders
from rigopt.optimiser.questions.repair import chains
from rigopt.optimiser.questions.repair.variables import RepairVars
from rigopt.optimiser.solver.linear import Terms, total


def add(repair: RepairVars) -> None:
    """Add the rule and its variables.

    Raises:
        TooLargeError: When an order could be too large to be rounded exactly.
    """
    _create(repair)
    model, case = repair.model, repair.case
    for index in range(len(case.links)):
        model.add(repair.own[index] + repair.moved[index] <= 1)
        model.add(repair.kept[index] >= repair.own[index])
        if not case.fits(index):
            model.add(repair.own[index] == 0)
        if not case.usable(case.links[index]):
            model.add(repair.moved[index] == 0)
    if "cables" not in case.relaxed:
        for kind in case.kinds:
            _enough(repair, kind)
        _small(repair, TEE, chains.tees(repair), sum(tee for tee, _ in case.fitted))
        _small(repair, TERMINATOR, chains.ends(repair), sum(end for _, end in case.fitted))
    orders.create(model, repair.basket)
    if case.needs.budget is not None and case.asks("budget"):
        model.add(total(repair.basket.spent()) <= case.needs.budget)


def unused(repair: RepairVars) -> tuple[Terms, int]:
    """Pieces of the given rig that are left out: terms and a constant."""
    digital = (*repair.own.values(), *repair.moved.values())
    terms: Terms = [(var, -1) for var in (*digital, *repair.sits.values())]
    return terms, len(repair.case.links) + len(repair.case.analogue.leads)


def added(repair: RepairVars) -> Terms:
    """Cables that no piece of the given rig is used for."""
    used = [(var, -1) for var in (*repair.own.values(), *repair.moved.values())]
    new = (*repair.plug.values(), *repair.put.values())
    return [*((var, 1) for var in new), *used]


def _create(repair: RepairVars) -> None:
    case = repair.case
    for index in range(len(case.links)):
        repair.own[index] = repair.flag("own", index)
        repair.moved[index] = repair.flag("moved", index)
    inputs = sum(len(there) for there in case.sockets.values())
    inputs += sum(map(len, case.analogue.outs.values()))
    for kind in (*case.kinds, TEE, TERMINATOR, ANALOGUE):
        for cable in case.shelf(kind):
            unplugged = case.unplugged(cable)
            repair.owned[cable.id] = repair.count(unplugged, "owned", cable.id)
            money.item(repair.model, repair.basket, cable.id, inputs)


def _enough(repair: RepairVars, kind: str) -> None:
    case = repair.case
    runs = {r: case.run_mm(r.ends) for r in case.routes if r.format.cable == kind}
    staying = [i for i, link in enumerate(case.links) if link.format.cable == kind]
    for run in sorted(set(runs.values())):
        wanting = [(repair.plug[route], 1) for route, far in runs.items() if far >= run]
        wanting += [(repair.own[i], -1) for i in staying if case.run_mm(case.ends[i]) >= run]
        repair.model.add(total(wanting) <= total(_pieces(repair, kind, run)))


def _pieces(repair: RepairVars, kind: str, run: int) -> Terms:
    case = repair.case
    found: Terms = [
        (repair.moved[index], 1)
        for index, link in enumerate(case.links)
        if case.piece_kind(link) == kind and case.length(link) >= run
    ]
    return found + _new(repair, kind, run)


def _small(repair: RepairVars, kind: str, wanting: Terms, there: int) -> None:
    """T-pieces or terminators: those that are in the rig go wherever they are called for."""
    repair.model.add(total(wanting) <= there + total(_new(repair, kind, 0)))


def _new(repair: RepairVars, kind: str, run: int) -> Terms:
    """Pieces of a kind that are owned and unplugged, or bought, as long as a run."""
    found: Terms = []
    for cable in repair.case.shelf(kind):
        if cable.length_mm >= run:
            found.append((repair.owned[cable.id], 1))
            found += money.bought(repair.basket, cable.id)
    return found
