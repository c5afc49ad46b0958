"""Columns that cannot be in the answer, because another type does the same for less.

A column is dropped if a unit of another type could stand in its place in every rig: wired
in the same way, clocked in as many, with at least the same channels, sockets and outputs,
in banks that can be switched at least as finely, with no more rack units and mains plugs
where these are limited or paid for, and cheaper. Cheaper at plain prices is less money, or
the same and first in the order of ids, so that ties end the same way; at named sellers, it
is so in any order it may be part of (`bargains` has the proof). Types that are owned or
required are never dropped, and only types that can be bought in any number take the place
of others.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Hashable, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import islice
from typing import TypeVar

from rigopt.catalogue.types import ACCEPTS, Device
from rigopt.facts import AUDIO_KINDS
from rigopt.needs.types import NO_PHANTOM, PHANTOM
from rigopt.optimiser.problem.bargains import always_cheaper, cost
from rigopt.optimiser.problem.columns import HostColumn, SatelliteColumn
from rigopt.optimiser.problem.problem import Problem
from rigopt.rig.banks import as_fine, banks

ColumnT = TypeVar("ColumnT", HostColumn, SatelliteColumn)


def undominated(
    problem: Problem,
    hosts: Sequence[HostColumn],
    satellites: Sequence[SatelliteColumn],
    ranks: int,
    focus: frozenset[str],
) -> tuple[list[HostColumn], list[SatelliteColumn]]:
    """The columns worth keeping for the `ranks` cheapest mixes; those in `focus` stay.

    Types in `focus` take the place of no other, since their price may be in question.
    """
    judge = _Judge(problem, ranks, focus)
    return (
        _front(hosts, judge, lambda _: None),
        _front(satellites, judge, lambda c: replace(c.wiring, slot=c.wiring.slot and 0)),
    )


def _front(
    columns: Sequence[ColumnT], judge: _Judge, stands: Callable[[ColumnT], Hashable]
) -> list[ColumnT]:
    """The columns that no others replace; slots make no difference to that."""
    groups: dict[Hashable, dict[str, list[ColumnT]]] = defaultdict(lambda: defaultdict(list))
    for column in columns:
        groups[stands(column)][column.device.id].append(column)
    kept: set[ColumnT] = set()
    for types in groups.values():
        front: list[ColumnT] = []
        for same in sorted(types.values(), key=lambda c: rank(judge.problem, c[0].device)):
            column = same[0]
            if judge.droppable(column, front):
                continue
            kept.update(same)
            if judge.takes_over(column.device):
                front.append(column)
    return [column for column in columns if column in kept]


def rank(problem: Problem, device: Device) -> tuple[Fraction | int, str]:
    """The order in which types are tried: the cheapest first, then the order of ids."""
    return cost(problem.ways(device.id), problem.order_terms), device.id


class _Judge:
    """Compares columns in what these needs ask for."""

    def __init__(self, problem: Problem, ranks: int, focus: frozenset[str]) -> None:
        self.problem, self.ranks, self.focus = problem, ranks, focus
        self.wanted = problem.needs.groups
        sources = {group.kind for group in self.wanted}
        paid = {extra.per for extra in problem.extras}
        self.height = problem.needs.rack_units is not None or "rack_unit" in paid
        self.plugs = problem.needs.mains is not None or "mains" in paid
        self.accepts = {kind: sources & set(takes) for kind, takes in ACCEPTS.items()}

    def takes_over(self, device: Device) -> bool:
        """Whether any number of it can be had at its price."""
        return self.problem.unlimited(device.id) and device.id not in self.focus

    def droppable(self, column: ColumnT, front: Sequence[ColumnT]) -> bool:
        """Whether enough of `front` replace it, and nothing else speaks for its type."""
        device = column.device
        if (
            self.problem.owned(device.id)
            or device.id in self.problem.needs.require
            or device.id in self.focus
        ):
            return False
        before = (better for better in front if self.replaces(better, column))
        return len(list(islice(before, self.ranks))) == self.ranks

    def replaces(self, better: ColumnT, column: ColumnT) -> bool:
        """Whether `better`, which is not dearer, could stand in the place of `column`."""
        return (
            self._room(better.device, column.device)
            and self._cheaper(better.device, column.device)
            and (not self.problem.needs.out_line or better.line_outs >= column.line_outs)
            and self._clock(better, column)
            and self._as_host(better, column)
            and self._channels(better, column)
        )

    def _cheaper(self, better: Device, device: Device) -> bool:
        """At plain prices the order in which they are tried says so; at sellers, a proof."""
        if not self.problem.order_terms:
            return True
        ways, others = self.problem.ways(better.id), self.problem.ways(device.id)
        if ways[0].seller is None and others[0].seller is None:
            return True
        return always_cheaper(ways, others, self.problem.order_terms, self.problem.capped)

    def _room(self, better: Device, device: Device) -> bool:
        """Not larger where height is limited or paid for, and the same for mains plugs."""
        return (not self.height or better.rack_units <= device.rack_units) and (
            not self.plugs or better.mains <= device.mains
        )

    def _clock(self, better: ColumnT, column: ColumnT) -> bool:
        """What it can lock to, and the output sockets it has for the clock of others."""
        one, other = better.signature, column.signature
        return (
            one.internal >= other.internal
            and set(one.shared) >= set(other.shared)
            and set(one.alone) >= set(other.alone)
            and one.free_out.covers(other.free_out)
        )

    def _as_host(self, better: ColumnT, column: ColumnT) -> bool:
        """Headphone outputs, outputs that feed others, and inputs with what of them arrives."""
        if not (isinstance(better, HostColumn) and isinstance(column, HostColumn)):
            return True
        needs, box, other = self.problem.needs, better.at_rate, column.at_rate
        return (
            (not needs.out_phones or box.device.phones >= other.device.phones)
            and all(box.inputs[kind] >= other.inputs[kind] for kind in AUDIO_KINDS)
            and (
                not needs.out_line
                or all(box.outputs[kind] >= other.outputs[kind] for kind in AUDIO_KINDS)
            )
            and box.visible.whole.covers(other.visible.whole)
            and (not other.visible.cut or box.visible.cut == other.visible.cut)
        )

    def _channels(self, better: ColumnT, column: ColumnT) -> bool:
        if PHANTOM in self.wanted and column.device.phantom_bank:
            mixed = NO_PHANTOM in self.wanted
            if not (as_fine(better.device, column.device) if mixed else banks(better.device)):
                return False
        if not set(better.arriving).issuperset(column.arriving):
            return False
        kinds, others = better.device.channel_kinds, column.device.channel_kinds
        return all(
            self.accepts[kinds[n - 1]] >= self.accepts[others[n - 1]] for n in column.arriving
        )
