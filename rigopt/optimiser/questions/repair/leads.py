"""Rule: every line is on a piece that fits: one that is there, one owned, or one bought.

In a bundle with a D-sub connector there is one piece at most, and each connector is in one
bundle. Else pieces of a bundle differ by ways and length, and whether they suffice is told
by counting, for each run, the lines at least that long and the ways at least that long.

Variables: sits[lead, bundle], a piece that is there is used so; put[cable, bundle], counts.
Constraints: a piece that is there is in one bundle at most; as many are put as are owned and
come into use, or are bought; lines of a run or a longer one <= ways of pieces as long; and
shorter pieces <= lines of shorter runs, so that none is idle.
Cost: money, and pieces moved, no longer used and added, with those of other cables.
"""

from __future__ import annotations

from collections import defaultdict

from rigopt.optimiser.model import money
from rigopt.optimiser.questions.repair.analogue import FAR, Bundle, Line
from rigopt.optimiser.questions.repair.variables import RepairVars
from rigopt.optimiser.solver.linear import Terms, Var, total


def add(repair: RepairVars) -> None:
    """Add the rule and its variables; what can be bought is there already."""
    _create(repair)
    model, analogue = repair.model, repair.case.analogue
    for index in range(len(analogue.leads)):
        model.add_at_most_one(var for (lead, _), var in repair.sits.items() if lead == index)
    if "cables" in repair.case.relaxed:
        return
    for cable in repair.case.leads_sold:
        put = [(var, 1) for (name, _), var in repair.put.items() if name == cable.id]
        had = [(repair.owned[cable.id], 1), *money.bought(repair.basket, cable.id)]
        model.add(total(put) <= total(had))
    for bundle, lines in analogue.lines.items():
        _enough(repair, bundle, lines)
    _connectors(repair)


def moved(repair: RepairVars) -> list[Var]:
    """Pieces that are used elsewhere than they were."""
    leads = repair.case.analogue.leads
    return [var for (lead, bundle), var in repair.sits.items() if leads[lead].home != bundle]


def pieces_in(repair: RepairVars, bundle: Bundle) -> list[tuple[Terms, int, int]]:
    """The pieces of a bundle: how many, their ways, and their length."""
    leads = repair.case.analogue.leads
    there = [
        ([(var, 1)], leads[lead].ways, leads[lead].length_mm)
        for (lead, where), var in repair.sits.items()
        if where == bundle
    ]
    cables = {cable.id: cable for cable in repair.case.leads_sold}
    new = [
        ([(var, 1)], cables[name].ways, cables[name].length_mm)
        for (name, where), var in repair.put.items()
        if where == bundle
    ]
    return [*there, *new]


def _create(repair: RepairVars) -> None:
    analogue = repair.case.analogue
    for bundle, lines in analogue.lines.items():
        plugs = (bundle.start, bundle.plug)
        for index, lead in enumerate(analogue.leads):
            if lead.usable and lead.plugs == plugs:
                repair.sits[index, bundle] = repair.flag("sits", index, bundle)
        most = len({line.out for line in lines})
        for cable in repair.case.leads_sold:
            if cable.ends == plugs:
                repair.put[cable.id, bundle] = repair.count(most, "put", cable.id, bundle)


def _enough(repair: RepairVars, bundle: Bundle, lines: list[Line]) -> None:
    case, pieces = repair.case, pieces_in(repair, bundle)
    runs = {line: case.line_mm(line) for line in lines}
    for run in sorted(set(runs.values())):
        long = [(repair.line[line], 1) for line, far in runs.items() if far >= run]
        ways = [(v, ways) for terms, ways, length in pieces if length >= run for v, _ in terms]
        repair.model.add(total(long) <= total(ways))
    for end in (*sorted(set(runs.values())), FAR + 1):
        short = [(repair.line[line], 1) for line, far in runs.items() if far < end]
        some = [term for terms, _, length in pieces if length < end for term in terms]
        repair.model.add(total(some) <= total(short))


def _connectors(repair: RepairVars) -> None:
    """Each D-sub connector has one piece at most."""
    there: dict[object, Terms] = defaultdict(list)
    for bundle in repair.case.analogue.lines:
        terms = [term for some, _, _ in pieces_in(repair, bundle) for term in some]
        if bundle.connector is not None:
            there["out", bundle.sender, bundle.connector] += terms
        if bundle.socket is not None:
            there["in", bundle.taker, bundle.socket] += terms
    for terms in there.values():
        repair.model.add(total(terms) <= 1)
