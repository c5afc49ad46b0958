"""The variables of one rig, in the words of the trade, and reading a solution.

`model.build` creates the counts of columns, each rule those that its docstring names.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import NamedTuple, TypeVar

from rigopt.facts import Kind
from rigopt.optimiser.problem.columns import HostColumn, SatelliteColumn
from rigopt.optimiser.problem.problem import Problem
from rigopt.optimiser.problem.signatures import ClockSignature, ClockState
from rigopt.optimiser.solver.linear import Terms, Var, amount

RACK = -1
"""Stands for 'any unit that is no host' where hosts are named by slot."""


class ClockRoute(NamedTuple):
    """Links for clock alone: kind, hop of the receivers, sender and receiver (slot or RACK)."""

    kind: Kind
    hop: int
    sender: int
    receiver: int

    @property
    def to_rack(self) -> bool:
        """Whether its run is that between a host and a unit that is no host."""
        return (self.sender == RACK) != (self.receiver == RACK)


class Counted(NamedTuple):
    """A solution without its zeros: the hosts by slot, and counts."""

    hosts: tuple[HostColumn, ...]
    satellites: dict[SatelliteColumn, int]
    clocked: dict[ClockSignature, dict[ClockState, int]]
    routes: dict[ClockRoute, int]
    packs: dict[str, tuple[int, ...]]


class OrderVars(NamedTuple):
    """An order at a named seller: whether there is one, and what it comes to."""

    used: Var
    cost: Terms


@dataclass
class RigVars:
    """Variables of one rig.

    hosts: how many stand in each host column (at most one in all of a slot, unless hosts
    are pooled); satellites: how many stand in each other column; clocked: how many of
    each signature are in each clock state; routes: clock-only links; deepest: 0/1 for
    each hop from 1, 'some unit is that far'; packs: packs bought of each supply, by item;
    orders: what is ordered at each named seller.
    """

    problem: Problem
    hosts: dict[HostColumn, Var] = field(default_factory=dict)
    satellites: dict[SatelliteColumn, Var] = field(default_factory=dict)
    clocked: dict[ClockSignature, dict[ClockState, Var]] = field(default_factory=dict)
    routes: dict[ClockRoute, Var] = field(default_factory=dict)
    deepest: dict[int, Var] = field(default_factory=dict)
    packs: dict[str, tuple[Terms, ...]] = field(default_factory=dict)
    orders: dict[str, OrderVars] = field(default_factory=dict)
    stock: Mapping[str, Terms] | None = None
    """Pieces bought by item, where not only this rig is bought for: it then buys nothing."""

    @property
    def slots(self) -> range:
        """The host slots."""
        return self.problem.slots

    @property
    def hops(self) -> range:
        """Distances from the clock master of those that are locked."""
        return range(1, self.problem.needs.max_hops + 1)

    def columns(self) -> Iterable[tuple[HostColumn | SatelliteColumn, Var]]:
        """All columns with their counts."""
        yield from self.hosts.items()
        yield from self.satellites.items()

    def units(self) -> Terms:
        """Number of units."""
        return [(count, 1) for _, count in self.columns()]

    @cached_property
    def units_by_type(self) -> dict[str, Terms]:
        """Number of units of every usable type."""
        counts: dict[str, Terms] = {device.id: [] for device in self.problem.devices}
        for column, count in self.columns():
            counts[column.device.id].append((count, 1))
        return counts

    def slot(self, slot: int) -> list[tuple[HostColumn, Var]]:
        """The host columns of one slot."""
        return [(column, var) for column, var in self.hosts.items() if column.slot == slot]

    def joined(self, slot: int) -> list[tuple[SatelliteColumn, Var]]:
        """The columns joined to the host in one slot."""
        return [(c, n) for c, n in self.satellites.items() if c.wiring.slot == slot]

    def clocked_at(self, end: int, hop: int) -> Iterable[tuple[ClockSignature, Var]]:
        """Units that are `hop` links from the master: hosts of a slot, or the RACK."""
        for signature, states in self.at(end):
            for state, number in states.items():
                if state.hop == hop:
                    yield signature, number

    def at(self, end: int) -> Iterable[tuple[ClockSignature, Mapping[ClockState, Var]]]:
        """The clock states of the hosts of a slot, or of the RACK."""
        for signature, states in self.clocked.items():
            if signature.host == (end != RACK) and (end in (RACK, signature.slot)):
                yield signature, states

    def links(self, kind: Kind) -> tuple[Terms, Terms]:
        """Links of `kind`: between a host and another unit, and all others."""
        to_rack: Terms = []
        other: Terms = []
        for column, count in self.satellites.items():
            wiring = column.wiring
            audio = wiring.links if wiring.kind == kind else 0
            number = audio + wiring.returns[kind]
            if number:
                to_rack.append((count, number))
        for route, count in self.routes.items():
            if route.kind == kind:
                (to_rack if route.to_rack else other).append((count, 1))
        return to_rack, other

    def spent(self) -> Terms:
        """Money spent, minor units: at plain prices, and in orders."""
        plain = [
            (var, factor * supply.price)
            for item, bought in self.packs.items()
            for terms, supply in zip(bought, self.problem.ways(item), strict=True)
            if supply.seller is None
            for var, factor in terms
        ]
        return plain + [term for order in self.orders.values() for term in order.cost]

    def ordered(self) -> Terms:
        """Number of orders."""
        return [(order.used, 1) for order in self.orders.values()]

    def read(self, value: Callable[[Var], int]) -> Counted:
        """The solution that `value` tells."""
        hosts = sorted((c.slot, c.device.id, c) for c, var in self.hosts.items() if value(var))
        packs = {
            item: tuple(amount(terms, value) for terms in bought)
            for item, bought in self.packs.items()
        }
        return Counted(
            hosts=tuple(column for _, _, column in hosts),
            satellites=_positive(self.satellites, value),
            clocked={work: _positive(states, value) for work, states in self.clocked.items()},
            routes=_positive(self.routes, value),
            packs={item: numbers for item, numbers in packs.items() if any(numbers)},
        )


KeyT = TypeVar("KeyT")


def _positive(counts: Mapping[KeyT, Var], value: Callable[[Var], int]) -> dict[KeyT, int]:
    return {key: value(var) for key, var in counts.items() if value(var)}


def max_units_of(problem: Problem, item: str) -> int:
    """Most units of a type that can be in a cheapest rig."""
    if problem.unlimited(item):
        return problem.max_units
    return min(problem.max_units, problem.obtainable(item))
