"""Among rigs that are equal in money, units, links and hops: the first by the order of ids.

The first is the one with more units of the type whose id comes first; if equal, of the
next, and so on; then the same with packs of cables. This order does not change when a
type that is not in the answer leaves the catalogue.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from ortools.sat.python import cp_model

from rigopt.optimiser.run import Deadline, run
from rigopt.optimiser.variables import RigVars, Terms, Var, total


@dataclass(frozen=True, slots=True)
class Mix:
    """Units by device id and packs by cable id, without zeros."""

    units: Mapping[str, int]
    packs: Mapping[str, int]


def mix_of(rig: RigVars, value: Callable[[Var], int]) -> Mix:
    """The mix of a solution."""
    counts = {
        item: sum(factor * value(var) for var, factor in terms) for item, terms in _ordered(rig)
    }
    cables = {cable.id for cable in rig.problem.cables}
    return Mix(
        units={item: n for item, n in counts.items() if n and item not in cables},
        packs={item: n for item, n in counts.items() if n and item in cables},
    )


def first_mix(  # noqa: PLR0917
    model: cp_model.CpModel, rig: RigVars, goal: Terms, best: int, mix: Mix, deadline: Deadline
) -> Mix:
    """The first mix in the order of ids among the solutions whose goal is `best`.

    `mix` is one of them. `model` stays as it is.
    """
    while True:
        trial = model.clone()
        trial.add(total(goal) <= best)
        _earlier(trial, rig, mix)
        result = run(trial, deadline)
        if not result.found:
            return mix
        mix = mix_of(rig, result.value)


def _ordered(rig: RigVars) -> list[tuple[str, Terms]]:
    """Counts of device types, then of cables, each in the order of ids."""
    counts = sorted(rig.units_by_type.items())
    counts += [
        (cable.id, [term for terms in rig.packs[cable.id] for term in terms])
        for cable in rig.problem.cables
    ]
    return counts


def _earlier(model: cp_model.CpModel, rig: RigVars, mix: Mix) -> None:
    """Ask for a mix that comes before `mix`: equal up to some type, more of that one."""
    ordered = _ordered(rig)
    turn = [model.new_bool_var(f"turn {item}") for item, _ in ordered]
    model.add_exactly_one(turn)
    for place, (item, terms) in enumerate(ordered):
        now = mix.units.get(item, 0) or mix.packs.get(item, 0)
        model.add(total(terms) >= now + 1).only_enforce_if(turn[place])
        later = turn[place + 1 :]
        if later and terms:
            # At most one of them is true, so their sum is a truth value.
            most = max(rig.problem.max_units, rig.problem.max_links) + 1
            slack = most * (1 - sum(later))
            model.add(total(terms) <= now + slack)
            model.add(total(terms) >= now - slack)


def differ(model: cp_model.CpModel, rig: RigVars, mix: Mix) -> None:
    """Ask for another number of units of at least one type than in `mix`."""
    ways = []
    for item, terms in rig.units_by_type.items():
        now = mix.units.get(item, 0)
        more = model.new_bool_var(f"more {item}")
        model.add(total(terms) >= now + 1).only_enforce_if(more)
        ways.append(more)
        if now:
            fewer = model.new_bool_var(f"fewer {item}")
            model.add(total(terms) <= now - 1).only_enforce_if(fewer)
            ways.append(fewer)
    model.add_bool_or(ways)
