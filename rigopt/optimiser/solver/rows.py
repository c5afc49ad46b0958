"""Rules of a model as rows, for solvers that know nothing else."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any, NamedTuple


class Row(NamedTuple):
    """lower <= terms <= upper, wherever all the literals of `when` are true.

    A literal is the index of a 0/1 variable, or below zero the negation of variable -1 - index;
    terms are of variables alone.
    """

    terms: dict[int, int]
    lower: int
    upper: int
    when: tuple[int, ...]


def linear_row(rule: Any) -> Row | None:
    """A linear rule of a model; None where what it allows has holes."""
    if not rule.has_linear():
        # To ask for what is not there would put an empty rule in the place of this one.
        return None
    linear = rule.linear
    if len(linear.domain) != 2:
        return None
    indices, factors = _numbers(linear.vars), _numbers(linear.coeffs)
    terms, shift = dict(zip(indices, factors, strict=True)), 0
    if len(terms) < len(indices) or min(indices, default=0) < 0:
        terms, shift = summed(zip(indices, factors, strict=True), 0)
    lower, upper = linear.domain[0] + shift, linear.domain[1] + shift
    return Row(terms, lower, upper, tuple(rule.enforcement_literal))


def _numbers(field: Any) -> list[int]:
    """All numbers of a field; one by one the solver hands them out in three times the time."""
    found: list[int] = json.loads(str(field))
    return found


def summed(pairs: Iterable[tuple[int, int]], lower: int) -> tuple[dict[int, int], int]:
    """The sum of these over variables alone, and what it is at least where with literals below
    zero it was `lower`.
    """
    terms: dict[int, int] = {}
    for literal, factor in pairs:
        index, sign = (literal, 1) if literal >= 0 else (-1 - literal, -1)
        terms[index] = terms.get(index, 0) + sign * factor
        if literal < 0:
            lower -= factor
    return terms, lower
