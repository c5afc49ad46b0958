"""Which line of a repaired rig is on which piece: as many as can be stay on their own."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from ortools.sat.python import cp_model

from rigopt.catalogue.types import Cable
from rigopt.optimiser.questions.repair.analogue import Bundle, Line
from rigopt.optimiser.questions.repair.case import Case
from rigopt.optimiser.questions.repair.variables import RepairVars
from rigopt.optimiser.solver.linear import Var, total
from rigopt.optimiser.solver.run import Deadline, run

Value = Callable[[Var], int]


@dataclass
class Loom:
    """A piece of the repaired rig and the lines on it; `lead`: which of old it is, if any."""

    cable: Cable | None
    ways: int
    length_mm: int
    lead: int | None = None
    lines: list[Line] = field(default_factory=list)


def laid(repair: RepairVars, value: Value) -> list[Loom]:
    """Every piece with its lines: those of old in their order, then new ones."""
    case, found = repair.case, []
    for bundle, possible in case.analogue.lines.items():
        lines = [line for line in possible if value(repair.line[line])]
        looms = _pieces(repair, value, bundle)
        _deal(case, lines, looms)
        found += looms
    of_old = len(case.analogue.leads)
    return sorted(found, key=lambda loom: of_old if loom.lead is None else loom.lead)


def _pieces(repair: RepairVars, value: Value, bundle: Bundle) -> list[Loom]:
    case = repair.case
    found = [
        Loom(lead.cable, lead.ways, lead.length_mm, index)
        for index, lead in enumerate(case.analogue.leads)
        if (index, bundle) in repair.sits and value(repair.sits[index, bundle])
    ]
    for cable in case.leads_sold:
        put = repair.put.get((cable.id, bundle))
        number = 0 if put is None else value(put)
        found += [Loom(cable, cable.ways, cable.length_mm) for _ in range(number)]
    return found


def _deal(case: Case, lines: Sequence[Line], looms: Sequence[Loom]) -> None:
    """Put every line of a bundle on a piece that reaches, and none on no piece."""
    model = cp_model.CpModel()
    on = {
        (line, place): model.new_bool_var("on")
        for line in lines
        for place, loom in enumerate(looms)
        if loom.length_mm >= case.line_mm(line)
    }
    for line in lines:
        model.add_exactly_one(var for (one, _), var in on.items() if one == line)
    for place, loom in enumerate(looms):
        ways = total((var, 1) for (_, other), var in on.items() if other == place)
        model.add_linear_constraint(ways, 1, loom.ways)
    others = [
        (var, 1) for (line, place), var in on.items() if not _own(case, line, looms[place].lead)
    ]
    model.minimize(total(others))
    value = run(model, Deadline(None)).value
    for (line, place), var in on.items():
        if value(var):
            looms[place].lines.append(line)


def _own(case: Case, line: Line, lead: int | None) -> bool:
    """Whether a line is on that piece already."""
    analogue = case.analogue
    return lead is not None and line in (analogue.given[i] for i in analogue.leads[lead].links)


def numbered(case: Case, looms: Sequence[Loom]) -> list[int | None]:
    """The number of each piece: its old one; a new one where it has several ways or none of
    the old ones had any.
    """
    known = {
        index: case.lines[lead.links[0]].piece for index, lead in enumerate(case.analogue.leads)
    }
    taken = {number for number in known.values() if number is not None}
    free = (number for number in range(1, len(looms) + len(taken) + 1) if number not in taken)
    found: list[int | None] = []
    given = set[int]()
    for loom in looms:
        old = None if loom.lead is None else known[loom.lead]
        alone = loom.lead is not None and len(loom.lines) == 1
        number = old if old not in given and (old is not None or alone) else next(free)
        if number is not None:
            given.add(number)
        found.append(number)
    return found
