"""The whole model of one repair, and its objectives one after another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from ortools.sat.python import cp_model

from rigopt.optimiser.model.variables import RigVars
from rigopt.optimiser.questions.repair import (
    audio,
    chains,
    clock,
    demands,
    leads,
    lines,
    outputs,
    pieces,
    returns,
    sockets,
)
from rigopt.optimiser.questions.repair.case import Case
from rigopt.optimiser.questions.repair.objectives import objectives, ties
from rigopt.optimiser.questions.repair.variables import RepairVars
from rigopt.optimiser.solver.lexicographic import optimise
from rigopt.optimiser.solver.linear import Terms, amount, total
from rigopt.optimiser.solver.run import Deadline, Result, TimeIsUpError, run

TIE_EFFORT = 0.5
"""Work for each choice among equals, in units of the solver that are about a second."""


class Solved(NamedTuple):
    """The variables with a solution, if there is any; `proven`: it is the best; `for_outputs`:
    what of its money only keeps line outputs fed that nobody asked for, in minor units.
    """

    repair: RepairVars
    result: Result
    proven: bool
    for_outputs: int


def build(case: Case, deadline: Deadline) -> RepairVars:
    """The model: first the cables that several rules count, then the rules.

    Raises:
        TimeIsUpError: When the deadline comes before it is made.
        TooLargeError: When an order could be too large to be rounded exactly.
    """
    beat = deadline.check
    basket = RigVars(case.problem, beat=beat)
    repair = RepairVars(case, cp_model.CpModel(), basket, beat=beat)
    sockets.create(repair)
    clock.create(repair)
    lines.create(repair)
    demands.create(repair)
    for rule in (
        sockets,
        clock,
        audio,
        lines,
        returns,
        chains,
        pieces,
        leads,
        demands,
        outputs,
    ):
        rule.add(repair)
    sockets.purpose(repair)
    _hint(repair)
    return repair


def _hint(repair: RepairVars) -> None:
    """Let the search begin with the cables as they are."""
    staying = {routes[0] for routes in repair.case.staying if routes}
    for route, plug in repair.plug.items():
        repair.model.add_hint(plug, route in staying)
    for var in (*repair.kept.values(), *repair.own.values()):
        repair.model.add_hint(var, True)
    there = set(repair.case.analogue.given)
    for line, var in repair.line.items():
        repair.model.add_hint(var, line in there)
    for packs in repair.basket.packs.values():
        for var, _ in (pack for packs_of in packs for pack in packs_of):
            repair.model.add_hint(var, 0)


def solve(case: Case, deadline: Deadline) -> Solved:
    """The best repair, objective by objective; or a result that found none.

    Raises:
        TimeIsUpError: When the deadline comes before there is a model.
        TooLargeError: When prices and counts are too large to add up exactly.
    """
    repair = build(case, deadline)
    order = objectives(repair)
    untouched = repair.model.clone()
    near = _near(repair, order, deadline)
    known = near if near.found else None
    if known and not deadline.over:
        _start(repair.model, known)
    result, proven = optimise(repair.model, order, deadline.share(2), known)
    if result.found:
        for terms in ties(repair) if proven else order:
            if deadline.over:
                break
            result = _lessen(repair.model, terms, result, deadline)
    paid = _for_outputs(untouched, order, result, deadline) if proven and not case.judged else 0
    return Solved(repair, result, proven, paid)


def _for_outputs(
    model: cp_model.CpModel, order: Sequence[Terms], best: Result, deadline: Deadline
) -> int:
    """What is paid to keep line outputs fed, in minor units; 0 where time does not tell."""
    unheard, unfed, spent = order[:3]
    if not (amount(spent, best.value) and amount(unfed, best.value)):
        return 0
    found = optimise(model, [unheard, spent], deadline)
    return amount(spent, best.value) - amount(spent, found.result.value) if found.proven else 0


def _lessen(model: cp_model.CpModel, terms: Terms, best: Result, deadline: Deadline) -> Result:
    """A solution with less of `terms`, if little work finds one; `best` if not."""
    _start(model, best)
    model.minimize(total(terms))
    better = run(model, deadline, effort=TIE_EFFORT)
    if better.found and amount(terms, better.value) < amount(terms, best.value):
        best = better
    model.add(total(terms) <= amount(terms, best.value))
    return best


def _near(repair: RepairVars, order: Sequence[Terms], deadline: Deadline) -> Result:
    """The best repair that leaves every cable where it is, if there is one.

    It is quickly found, often the best of all, and worth showing where the time is short.
    """
    model = repair.model.clone()
    model.add_bool_and([*repair.kept.values()])
    found = optimise(model, order, deadline.share(3)).result
    deadline.watch.kept = found.found
    return found


def _start(model: cp_model.CpModel, known: Result) -> None:
    """Let the search begin with a solution of the same variables."""
    model.clear_hints()  # type: ignore[no-untyped-call]
    for index in range(len(model.proto.variables)):
        var = model.get_int_var_from_proto_index(index)
        model.add_hint(var, known.value(var))


def can(case: Case, deadline: Deadline, *without: str) -> bool:
    """Whether there is any repair, once these needs or means are left out.

    Raises:
        TimeIsUpError: When the deadline comes before that is known.
    """
    relaxed = replace(case, relaxed=frozenset(without))
    result = run(build(relaxed, deadline).model, deadline)
    if result.status == "unknown":
        raise TimeIsUpError
    return result.found
