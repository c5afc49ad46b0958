"""Objectives one after another: each as small as those before it leave it.

One call for each is many times faster than one call for a sum with large weights, and no
weight can grow too large.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from ortools.sat.python import cp_model

from rigopt.optimiser.solver.linear import Terms, amount, smallest, total
from rigopt.optimiser.solver.run import Deadline, Result, run


class Optimum(NamedTuple):
    """The first solution found in that order; `proven`: no other comes before it."""

    result: Result
    proven: bool


def optimise(
    model: cp_model.CpModel,
    objectives: Iterable[Terms],
    deadline: Deadline,
    known: Result | None = None,
) -> Optimum:
    """The first solution of `model` in the order of `objectives`.

    `known` is a solution, if there is one. What is as small as it can be in the last
    solution is not asked for anew. `model` then allows only solutions that are as good, as
    far as the deadline let it be proven, and has no objective.
    """
    best = known
    for terms in objectives:
        if best is None or amount(terms, best.value) > smallest(terms):
            model.minimize(total(terms))
            result = run(model, deadline)
            model.clear_objective()  # type: ignore[no-untyped-call]
            if not result.found:
                return Optimum(best or result, False)
            if result.status != "optimal":
                # What was known may come first in what follows: only less of this is better.
                same = best is not None and amount(terms, best.value) <= amount(
                    terms, result.value
                )
                return Optimum(best if best and same else result, False)
            best = result
        model.add(total(terms) <= amount(terms, best.value))
    assert best is not None
    return Optimum(best, True)
