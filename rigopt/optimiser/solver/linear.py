"""Sums of variables, and how large they may become so that the solver adds them exactly."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from ortools.sat.python import cp_model

from rigopt.errors import RigoptError
from rigopt.needs.types import Needs

Var = cp_model.IntVar
Terms = list[tuple[Var, int]]
"""A linear expression: variables with their factors."""


LARGEST = 2**62
"""Sums stay below this: the solver adds in 64 bits. No value passes through a float."""


class TooLargeError(RigoptError):
    """The sums of this question would not be exact; `needs`, as far as they are known."""

    def __init__(self, needs: Needs | None = None) -> None:
        super().__init__(needs)
        self.needs = needs

    def __str__(self) -> str:
        where = fewer = ""
        if more := self._more():
            where = f" with {' and '.join(more.values())}"
            fewer = f", fewer {' or '.join(more)}"
        return (
            f"prices, counts and exchange rates are too large to add up exactly{where}; use "
            f"smaller ones{fewer}, or rates and taxes with fewer digits"
        )

    def _more(self) -> dict[str, str]:
        """What multiplies the sums, where more is allowed than without a word."""
        asked, usual = self.needs or Needs(), Needs()
        more = {}
        if asked.max_hosts > usual.max_hosts:
            more["hosts"] = f"up to {asked.max_hosts} hosts"
        if asked.max_hops > usual.max_hops:
            more["hops"] = f"up to {asked.max_hops} hops to the clock master"
        return more


def total(terms: Iterable[tuple[Var, int]]) -> cp_model.LinearExprT:
    """The sum of `terms`."""
    pairs = [pair for pair in terms if pair[1]]
    variables, factors = zip(*pairs, strict=True) if pairs else ((), ())
    return cp_model.LinearExpr.weighted_sum(variables, factors)


def variable_for(model: cp_model.CpModel, name: str, terms: Terms, upper: int) -> Var:
    """A variable for a sum that stands in many inequalities."""
    var = model.new_int_var(0, upper, name)
    model.add(var == total(terms))
    return var


def amount(terms: Terms, value: Callable[[Var], int]) -> int:
    """What `terms` come to in a solution."""
    return sum(factor * value(var) for var, factor in terms)


def reach(terms: Terms) -> int:
    """What `terms` add up to where every variable is at its largest, as the solver checks."""
    return sum(abs(factor) * _last(var) for var, factor in terms)


def rise(terms: Terms) -> int:
    """How much more that is where these are added to factors that stay above zero."""
    return sum(factor * _last(var) for var, factor in terms)


def _last(var: Var) -> int:
    """The greatest value a variable may take; a domain is in ascending order."""
    domain = var.proto.domain
    return int(domain[len(domain) - 1])


def smallest(terms: Terms) -> int:
    """What `terms` cannot fall below, whatever the constraints."""
    ends = ((min if factor > 0 else max)(var.proto.domain) * factor for var, factor in terms)
    return sum(ends)
