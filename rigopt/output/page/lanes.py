"""The order of lanes in a channel between two columns, with few crossings.

A lane is the upright part of one cable. It has the whole height from its highest to its
lowest point, and stubs that lead from it to sockets on the left and on the right.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Lane:
    """`left` and `right` hold the y of the stubs on either side."""

    number: int
    top: int
    bottom: int
    left: tuple[int, ...]
    right: tuple[int, ...]


def in_order(lanes: Sequence[Lane]) -> list[Lane]:
    """`lanes` from left to right: neighbours change places while that saves a crossing."""
    order = list(lanes)
    better = True
    while better:
        better = False
        for i in range(len(order) - 1):
            one, other = order[i], order[i + 1]
            if crossings(other, one) < crossings(one, other):
                order[i], order[i + 1] = other, one
                better = True
    return order


def crossings(one: Lane, other: Lane) -> int:
    """How often the two cross when `one` is to the left of `other`."""
    return sum(other.top < y < other.bottom for y in one.right) + sum(
        one.top < y < one.bottom for y in other.left
    )
