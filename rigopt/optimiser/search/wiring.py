"""The wiring of a mix whose units are known, hosts apart."""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

from ortools.sat.python import cp_model

from rigopt.catalogue.types import Cable
from rigopt.facts import ANALOGUE
from rigopt.optimiser.model.model import (
    Objective,
    build,
    columns,
    objective_of,
    reweighed,
)
from rigopt.optimiser.model.variables import Counted, RigVars
from rigopt.optimiser.problem.chosen import chosen
from rigopt.optimiser.problem.problem import Problem
from rigopt.optimiser.search.ties import Mix, first_mix, mix_of, packed
from rigopt.optimiser.solver.linear import LARGEST, amount, total
from rigopt.optimiser.solver.memory import uncollected
from rigopt.optimiser.solver.run import (
    Deadline,
    Result,
    TimeIsUpError,
    run_late,
)


class Wired(NamedTuple):
    """A mix with its wiring, the objective that it reaches, and its money."""

    mix: Mix
    counted: Counted
    objective: int
    money: int


def with_any_cables(problem: Problem, mix: Mix, lower: int, deadline: Deadline) -> Wired | None:
    """The best wiring of the units of a mix, whatever is bought with them."""
    every = {cable.id for cable in problem.cables}
    small = chosen(problem, mix.units, {*every, *mix.packs})
    free = _wire(problem, small, mix, lower, deadline, settle=True)
    if free is None:
        return None
    # Once more with these cables alone, so that no other cable has a say in ties.
    return wire(problem, free.mix, free.objective, deadline)


def wire(problem: Problem, mix: Mix, lower: int, deadline: Deadline) -> Wired | None:
    """The best wiring of a mix, hosts apart; None if there is none (or no time).

    Only the types of the mix are looked at, so that the answer does not depend on
    anything in the catalogue that is not in it. `lower` is a bound on the objective. Where
    sellers are named, the baskets stay those of the mix if they can.
    """
    wired = _cheapest(problem, mix, lower, deadline)
    if wired is None:
        return None
    idle = _idle_leads(problem, wired)
    if not idle and (wired.objective == lower or deadline.over):
        return wired
    # Once more without owned leads that are not used, and with the bound that it has, so that
    # neither they nor the bound that was known have a say in ties.
    left = replace(problem, cables=tuple(c for c in problem.cables if c not in idle))
    again = _cheapest(left, wired.mix, wired.objective, deadline)
    return again if again and again.objective == wired.objective else wired


def _cheapest(problem: Problem, mix: Mix, lower: int, deadline: Deadline) -> Wired | None:
    small = chosen(problem, mix.units, mix.packs)
    same = None
    if problem.order_terms:
        same = _wire(problem, small, mix, lower, deadline, fixed=True)
    return same or _wire(problem, small, mix, lower, deadline)


def _idle_leads(problem: Problem, wired: Wired) -> list[Cable]:
    """Analogue cables that are owned and of a kind that no line goes by."""
    used = {(piece.lead.ends, piece.lead.ways) for piece, _ in wired.counted.joined.pieces}
    return [
        cable
        for cable in problem.cables_of(ANALOGUE)
        if problem.owned(cable.id)
        and cable.id not in wired.mix.packs
        and (cable.ends, cable.ways) not in used
    ]


def _wire(  # noqa: PLR0917
    problem: Problem,
    small: Problem,
    mix: Mix,
    lower: int,
    deadline: Deadline,
    fixed: bool = False,
    settle: bool = False,
) -> Wired | None:
    """The best wiring of a mix, found in `small`, with objectives in the weights of `problem`.

    `fixed`: with its packs; to `settle` is to take, of packs that come to the same, the first
    in the order of ids, which the wiring need not use.
    """
    model = cp_model.CpModel()

    def beat() -> None:
        if deadline.over:
            deadline.late().check()

    try:
        with uncollected():
            rig = build(model, small, columns(small, 0, (), beat), beat=beat)
    except TimeIsUpError:
        return None
    for item, units in rig.units_by_type.items():
        model.add(total(units) == mix.units.get(item, 0))
    for item in packed(rig) if fixed else ():
        bought = rig.packs[item]
        for terms, number in zip(bought, mix.packs.get(item, (0,) * len(bought)), strict=True):
            model.add(total(terms) == number)
    objective = objective_of(rig)
    # A regret is no sum of parts.
    least = lower if rig.regret is not None else reweighed(lower, problem, small)
    model.add_linear_constraint(total(objective.terms), least, LARGEST)
    model.minimize(total(objective.terms))
    result = run_late(model, deadline, rig.net())
    if not result.found:
        return None
    wired = as_it_stands(rig, objective_of(rig, problem), result)
    if settle and result.status == "optimal":
        least = amount(objective.terms, result.value)
        mix = first_mix(model, rig, objective.terms, least, wired.mix, deadline)
        return wired._replace(mix=mix)
    return wired


def as_it_stands(rig: RigVars, objective: Objective, result: Result) -> Wired:
    """What a solution is, hosts apart."""
    return Wired(
        mix=mix_of(rig, result.value),
        counted=rig.read(result.value),
        objective=amount(objective.terms, result.value),
        money=amount(rig.net(), result.value),
    )
