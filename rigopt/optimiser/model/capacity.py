"""Rule: what a few hosts take in, said so that a part of one more is of no use.

Every source comes in by a channel of a host's own or by a link in one of its sockets. So what
hosts have and can take in by some kinds of socket, and what other units bring by the other
kinds, is no less than the sources; and there are only so many hosts. Other rules say that of
whole units, but the linear relaxation takes a seventh of a larger host where only that is
short. Rounded up, the same sums say how many larger ones it takes.

Variables: sums of hosts that take in as much, and of units that bring as much by other kinds.
Constraints, where several hosts are pooled: those of `rounded`, for each of `KINDS`.
Cost: none.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence, Set
from typing import Final

from ortools.sat.python import cp_model

from rigopt.facts import SocketKind
from rigopt.optimiser.model.variables import RigVars
from rigopt.optimiser.problem.ports import Hosting
from rigopt.optimiser.solver.linear import Terms, Var, total, variable_for

KINDS: Final[tuple[frozenset[SocketKind], ...]] = (
    frozenset({"optical", "coax", "trunk"}),
    frozenset({"optical"}),
)
"""All kinds that bring channels, and the one that brings most of them."""

Row = tuple[tuple[int, ...], int]
"""Factors of counts, and what they come to at least."""


def add(model: cp_model.CpModel, rig: RigVars) -> None:
    """Add the rule to `model`."""
    if rig.problem.per_slot == 1:
        return
    wanted = sum(number for number, _ in rig.wanted().values())
    for kinds in KINDS:
        hosts, others = _hosts(model, rig, kinds), _others(model, rig, kinds)
        counts = [*hosts.values(), *others.values()]
        for factors, least in rounded([*hosts], [*others], wanted, rig.problem.per_slot):
            model.add(total(zip(counts, factors, strict=True)) >= least)


def rounded(hosts: Sequence[int], others: Sequence[int], wanted: int, most: int) -> list[Row]:
    """What counts of hosts and of other units come to if these bring all that is wanted.

    `hosts` and `others`: channels that one brings of each sort; there are at most `most` hosts.
    For any number of channels, what is wanted beyond `most` hosts with so many is brought by
    other units and by what larger hosts have more; for any size, each of these is so many
    parts of that size, the last one not full, and it takes as many parts as that makes
    (V. Chvatal, 1973). Of the sizes that make it as many, the largest says all.
    """
    found: dict[tuple[int, ...], int] = {}
    for channels in (0, *sorted(hosts)):
        beyond = wanted - most * channels
        if beyond <= 0:
            break
        more = [*(max(0, number - channels) for number in hosts), *others]
        for size, least in _sizes(beyond, most):
            parts = [min(-(-each // size), least) for each in more]
            same = math.gcd(*parts) or 1
            row = tuple(part // same for part in parts)
            found[row] = max(-(-least // same), found.get(row, 0))
    return list(found.items())


def _sizes(channels: int, most: int) -> Iterator[tuple[int, int]]:
    """The largest sizes of which so many channels take 1, 2 ... parts, and how many."""
    yield channels, 1
    for parts in range(2, min(channels, most) + 1):
        size = (channels - 1) // (parts - 1)
        if -(-channels // size) == parts:
            yield size, parts


def _takes_in(hosting: Hosting, kinds: Set[SocketKind]) -> int:
    """Channels that a host has and can take in by sockets of some kinds."""
    return hosting.own + sum(
        number * max(arriving for _, arriving in port.arrives)
        for port, number in hosting.ports
        if port.kind in kinds
    )


def _hosts(model: cp_model.CpModel, rig: RigVars, kinds: Set[SocketKind]) -> dict[int, Var]:
    """How many hosts take in so many channels."""
    found: dict[int, Terms] = defaultdict(list)
    for column, count in rig.hosts.items():
        found[_takes_in(column.hosting, kinds)].append((count, 1))
    return {
        n: variable_for(model, "bringing", found[n], rig.problem.per_slot)
        for n in sorted(found)
    }


def _others(model: cp_model.CpModel, rig: RigVars, kinds: Set[SocketKind]) -> dict[int, Var]:
    """How many other units bring so many channels by sockets of other kinds."""
    found: dict[int, Terms] = defaultdict(list)
    for column, count in rig.satellites.items():
        row = column.wiring.format
        if row is not None and row.socket not in kinds:
            found[len(column.arriving)].append((count, 1))
    return {
        n: variable_for(model, "bringing", found[n], rig.problem.max_units)
        for n in sorted(found)
    }
