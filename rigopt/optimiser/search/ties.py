"""Among rigs with the same objective, packs and orders included: the first by ids.

The first is the one with more units of the type whose id comes first; if equal, of the
next, and so on; then the same with packs: of devices at named sellers, of cables and of
extras, each by id, and of one item by the order of its supplies. This order does not change
when a type that is not in the answer leaves the catalogue.

Here are the cuts as well that ask for other mixes than one that is known: without all of its
units, with other numbers of units, or before it in this order.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import NamedTuple

from ortools.sat.python import cp_model

from rigopt.optimiser.model.variables import RigVars
from rigopt.optimiser.solver.linear import Terms, Var, amount, total
from rigopt.optimiser.solver.run import Deadline, run


class Mix(NamedTuple):
    """Units by device id; packs of each supply by item, where any are bought.

    Devices have packs here only where sellers are named: otherwise the units say it.
    """

    units: Mapping[str, int]
    packs: Mapping[str, tuple[int, ...]]


def mix_of(rig: RigVars, value: Callable[[Var], int]) -> Mix:
    """The mix of a solution."""
    units = {item: amount(terms, value) for item, terms in rig.units_by_type.items()}
    packs = {
        item: tuple(amount(terms, value) for terms in rig.packs[item]) for item in packed(rig)
    }
    return Mix(
        units={item: number for item, number in units.items() if number},
        packs={item: numbers for item, numbers in packs.items() if any(numbers)},
    )


def first_mix(  # noqa: PLR0917
    model: cp_model.CpModel,
    rig: RigVars,
    objective: Terms,
    best: int,
    mix: Mix,
    deadline: Deadline,
) -> Mix:
    """The first mix in the order of ids among the solutions whose objective is `best`.

    `mix` is one of them. Adds to `model`: each mix that is found comes before all others,
    so what was asked for once can stay.
    """
    model.add(total(objective) <= best)
    while True:
        earlier(model, rig, mix)
        result = run(model, deadline)
        if not result.found:
            return mix
        mix = mix_of(rig, result.value)


def packed(rig: RigVars) -> list[str]:
    """Items whose packs do not follow from the units."""
    problem = rig.problem
    devices = [
        item
        for item in sorted(rig.units_by_type)
        if any(supply.seller is not None for supply in problem.ways(item))
    ]
    return [*devices, *(c.id for c in problem.cables), *(e.id for e in problem.extras)]


def _ordered(rig: RigVars, mix: Mix) -> list[tuple[str, Terms, int]]:
    """Each count in its order, with what it is in `mix`."""
    counts = [
        (item, terms, mix.units.get(item, 0))
        for item, terms in sorted(rig.units_by_type.items())
    ]
    for item in packed(rig):
        bought = rig.packs[item]
        now = mix.packs.get(item, (0,) * len(bought))
        counts += [(item, terms, n) for terms, n in zip(bought, now, strict=True)]
    return counts


def earlier(
    model: cp_model.CpModel, rig: RigVars, mix: Mix, than: tuple[Terms, int] | None = None
) -> None:
    """Ask for a mix that comes before `mix`: equal up to some type, more of that one.

    `than`: the objective, and what it is for `mix`; to be less is to come before it as well.
    """
    problem = rig.problem
    upper = 1 + max(problem.max_units, problem.max_links, problem.max_leads)
    if problem.order_terms or problem.extras:
        upper = 1 + problem.max_packs
    ordered = _ordered(rig, mix)
    turn = [model.new_bool_var(f"turn {item}") for item, _, _ in ordered]
    same = [model.new_bool_var(f"same {item}") for item, _, _ in ordered]
    # Up to where it is the same, and one more place, which is where more is bought.
    alike: cp_model.LinearExprT = 1
    if than is not None:
        less = model.new_bool_var("less")
        model.add(total(than[0]) <= than[1] - 1).only_enforce_if(less)
        alike = 1 - less
    for place, former in enumerate([alike, *same[:-1]]):
        model.add(former == same[place] + turn[place])
    model.add(same[-1] == 0)
    for place, (_, terms, now) in enumerate(ordered):
        number = total(terms)
        model.add(number >= now + 1).only_enforce_if(turn[place])
        if terms:
            slack = upper * (1 - same[place])
            model.add(number <= now + slack)
            model.add(number >= now - slack)


def exclude_supersets(model: cp_model.CpModel, rig: RigVars, mix: Mix) -> None:
    """Ask for fewer units than in `mix` of at least one of its types.

    Not just for another number of some type: a rig that holds all of `mix` works without
    the rest of it, so the rest is no choice that anybody faces.
    """
    ways = []
    for item, now in mix.units.items():
        fewer = model.new_bool_var(f"fewer {item}")
        model.add(total(rig.units_by_type.get(item, [])) <= now - 1).only_enforce_if(fewer)
        ways.append(fewer)
    model.add_bool_or(ways)


def no_good(model: cp_model.CpModel, rig: RigVars, mix: Mix) -> None:
    """Ask for another number of units of at least one type than in `mix`."""
    ways = []
    for item, terms in rig.units_by_type.items():
        now = mix.units.get(item, 0)
        more = model.new_bool_var(f"more {item}")
        model.add(total(terms) >= now + 1).only_enforce_if(more)
        ways.append(more)
        if now:
            fewer = model.new_bool_var(f"less {item}")
            model.add(total(terms) <= now - 1).only_enforce_if(fewer)
            ways.append(fewer)
    model.add_bool_or(ways)


def place(mix: Mix, other: Mix) -> tuple[int, ...]:
    """Where `mix` stands beside `other` in the order of ids: the smaller comes first."""
    items = sorted({*mix.units, *other.units})
    return tuple(-mix.units.get(item, 0) for item in items)
