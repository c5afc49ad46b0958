"""The variables of one rig, in the words of the trade.

Every rule reads and constrains these; none but this module creates the counts.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TypeVar

from ortools.sat.python import cp_model

from rigopt.catalogue.types import Device
from rigopt.facts import AUDIO_KINDS, Kind
from rigopt.optimiser.columns import ClockState, Clockwork, HostColumn, SatelliteColumn
from rigopt.optimiser.problem import Problem

Var = cp_model.IntVar
Terms = list[tuple[Var, int]]
"""A linear expression: variables with their factors."""

RACK = -1
"""Stands for 'any unit that is no host' where hosts are named by slot."""


def total(terms: Iterable[tuple[Var, int]]) -> cp_model.LinearExprT:
    """The sum of `terms`."""
    pairs = [(variable, factor) for variable, factor in terms if factor]
    return cp_model.LinearExpr.weighted_sum(
        [variable for variable, _ in pairs], [factor for _, factor in pairs]
    )


@dataclass(frozen=True, slots=True)
class ClockRoute:
    """Links for clock alone: kind, hop of the receivers, giver and taker (slot or RACK)."""

    kind: Kind
    hop: int
    giver: int
    taker: int

    @property
    def to_rack(self) -> bool:
        """Whether its run is that between a host and a unit that is no host."""
        return (self.giver == RACK) != (self.taker == RACK)


@dataclass(frozen=True, slots=True)
class Counted:
    """A solution without its zeros: hosts by slot with their clock, and counts."""

    hosts: tuple[tuple[HostColumn, ClockState], ...]
    satellites: dict[SatelliteColumn, int]
    clocked: dict[Clockwork, dict[ClockState, int]]
    routes: dict[ClockRoute, int]
    packs: dict[str, tuple[int, ...]]


@dataclass
class RigVars:
    """Variables of one rig.

    hosts: how many stand in each host column (at most one in all of a slot, unless hosts
    are pooled); host_clocks: how many of a slot are in each clock state;
    satellites: how many stand in each column; clocked: how many of each clockwork are in
    each clock state; routes: clock-only links; deepest: 0/1 for each hop from 1, 'some
    unit is that far'; packs: packs bought of each supply, by item.
    """

    problem: Problem
    hosts: dict[HostColumn, Var] = field(default_factory=dict)
    host_clocks: dict[int, dict[ClockState, Var]] = field(default_factory=dict)
    satellites: dict[SatelliteColumn, Var] = field(default_factory=dict)
    clocked: dict[Clockwork, dict[ClockState, Var]] = field(default_factory=dict)
    routes: dict[ClockRoute, Var] = field(default_factory=dict)
    deepest: dict[int, Var] = field(default_factory=dict)
    packs: dict[str, tuple[Terms, ...]] = field(default_factory=dict)

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

    def host_at(self, slot: int, hop: int) -> Terms:
        """How many hosts of `slot` are `hop` links from the master."""
        return [(var, 1) for state, var in self.host_clocks[slot].items() if state.hop == hop]

    def rack_at(self, hop: int) -> Iterable[tuple[Clockwork, Var]]:
        """Units that are no host and `hop` links from the master, by clockwork."""
        for clockwork, states in self.clocked.items():
            for state, number in states.items():
                if state.hop == hop:
                    yield clockwork, number

    def links(self, kind: Kind) -> tuple[Terms, Terms]:
        """Links of `kind`: between a host and another unit, and all others."""
        to_rack: Terms = []
        other: Terms = []
        for column, count in self.satellites.items():
            wiring = column.wiring
            audio = wiring.links if wiring.kind == kind else 0
            back = wiring.returns[AUDIO_KINDS.index(kind)] if kind != "word" else 0
            if audio + back:
                to_rack.append((count, audio + back))
        for route, count in self.routes.items():
            if route.kind == kind:
                (to_rack if route.to_rack else other).append((count, 1))
        return to_rack, other

    def spent(self) -> Terms:
        """Money spent, minor units."""
        return [
            (var, factor * supply.price)
            for item, bought in self.packs.items()
            for terms, supply in zip(bought, self.problem.ways(item), strict=True)
            for var, factor in terms
        ]

    def read(self, value: Callable[[Var], int]) -> Counted:
        """The solution that `value` tells."""
        hosts = sorted((c.slot, c.device.id, c) for c, var in self.hosts.items() if value(var))
        packs = {
            item: tuple(sum(f * value(v) for v, f in terms) for terms in bought)
            for item, bought in self.packs.items()
        }
        return Counted(
            hosts=tuple((c, self._state(slot, value)) for slot, _, c in hosts),
            satellites=_positive(self.satellites, value),
            clocked={work: _positive(states, value) for work, states in self.clocked.items()},
            routes=_positive(self.routes, value),
            packs={item: numbers for item, numbers in packs.items() if any(numbers)},
        )

    def _state(self, slot: int, value: Callable[[Var], int]) -> ClockState:
        return next(state for state, var in self.host_clocks[slot].items() if value(var))


KeyT = TypeVar("KeyT")


def _positive(counts: Mapping[KeyT, Var], value: Callable[[Var], int]) -> dict[KeyT, int]:
    return {key: value(var) for key, var in counts.items() if value(var)}


def most_of(problem: Problem, device: Device) -> int:
    """Most units of a type that can be in a cheapest rig."""
    if problem.unlimited(device.id):
        return problem.max_units
    return min(problem.max_units, problem.owned(device.id))
