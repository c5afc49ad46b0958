"""Rule: each cable is one piece that is long enough: its own, one moved, spare or bought.

Pieces differ by nothing but kind and length, so whether those at hand suffice is told by
counting, for each run, the cables at least that long and the pieces at least that long.

Variables: own, moved, spares, packs (at most the stock; for the orders see there).
Constraints: own[i] <= cable i stays, and its piece fits; own[i] + moved[i] <= 1; for each
kind and run, cables of such a run or a longer one, without those that keep their own
piece <= pieces moved, spare and bought that are as long; money <= budget.
Cost: money; pieces moved; pieces no longer used; pieces added.
"""

from __future__ import annotations

from rigopt.facts import KINDS, Kind
from rigopt.optimiser.questions.repair import orders
from rigopt.optimiser.questions.repair.variables import Rewire
from rigopt.optimiser.solver.linear import Terms, total

UNSOLD = "cables"
"""The wish that only cables of the catalogue be used, when it may be left out."""


def add(rewire: Rewire) -> None:
    """Add the rule and its variables."""
    _create(rewire)
    model, case = rewire.model, rewire.case
    for index in range(len(case.links)):
        model.add(rewire.own[index] + rewire.moved[index] <= 1)
        model.add(total(rewire.kept(index)) >= rewire.own[index])
        if not case.fits(case.links[index]):
            model.add(rewire.own[index] == 0)
        if not case.usable(case.links[index]):
            model.add(rewire.moved[index] == 0)
    if UNSOLD not in case.relaxed:
        for kind in KINDS:
            _enough(rewire, kind)
    orders.add(rewire)
    if case.needs.budget is not None and case.asks("budget"):
        model.add(total(orders.spent(rewire)) <= case.needs.budget)


def unused(rewire: Rewire) -> tuple[Terms, int]:
    """Pieces of the given rig that are left out: terms and a constant."""
    terms: Terms = [(var, -1) for var in (*rewire.own.values(), *rewire.moved.values())]
    return terms, len(rewire.case.links)


def added(rewire: Rewire) -> Terms:
    """Cables that no piece of the given rig is used for."""
    cables = [term for _, terms in rewire.links() for term in terms]
    return cables + [(v, -1) for v in (*rewire.own.values(), *rewire.moved.values())]


def _create(rewire: Rewire) -> None:
    case = rewire.case
    for index in range(len(case.links)):
        rewire.own[index] = rewire.flag("own", index)
        rewire.moved[index] = rewire.flag("moved", index)
    for kind in KINDS:
        for cable in case.shelf(kind):
            rewire.spares[cable.id] = rewire.count(case.spare(cable), "spare", cable.id)
            rewire.packs[cable.id] = tuple(
                rewire.count(orders.most_packs(case, supply), "packs", cable.id, supply.price)
                for supply in case.problem.ways(cable.id)
            )


def _enough(rewire: Rewire, kind: Kind) -> None:
    case = rewire.case
    ways = [(way, terms) for way, terms in rewire.links() if way[2] == kind]
    runs = {way: case.run_mm(way[0], way[1]) for way, _ in ways}
    for run in sorted(set(runs.values())):
        wanting = [term for way, terms in ways if runs[way] >= run for term in terms]
        wanting += [
            (rewire.own[index], -1)
            for index, link in enumerate(case.links)
            if link.kind == kind and case.run_mm(link.from_unit, link.to_unit) >= run
        ]
        rewire.model.add(total(wanting) <= total(_pieces(rewire, kind, run)))


def _pieces(rewire: Rewire, kind: Kind, run: int) -> Terms:
    case = rewire.case
    found: Terms = [
        (rewire.moved[index], 1)
        for index, link in enumerate(case.links)
        if case.piece_kind(link) == kind and case.length(link) >= run
    ]
    for cable in case.shelf(kind):
        if cable.length_mm >= run:
            found.append((rewire.spares[cable.id], 1))
            supplies = case.problem.ways(cable.id)
            packs = zip(rewire.packs[cable.id], supplies, strict=True)
            found += [(var, supply.pack) for var, supply in packs]
    return found
