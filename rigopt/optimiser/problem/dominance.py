"""Columns that cannot be in the answer, because another type does the same for less.

A column is dropped if a unit of another type could stand in its place in every rig: wired
in the same way, clocked in as many, with at least the same channels, sockets and outputs,
in banks that can be switched at least as finely, not higher, not hungrier for mains plugs
where these are limited or paid for, and cheaper: at plain prices, or as dear and first in
the order of ids, so that ties end the same way; at named sellers, in any order it may be
part of (`bargains` has the proof). Types that are owned or required are never dropped, and
only types that can be bought in any number take the place of others.
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
from rigopt.optimiser.problem.bargains import always_cheaper, cost
from rigopt.optimiser.problem.columns import HostColumn, SatelliteColumn, lockable
from rigopt.optimiser.problem.demands import demands
from rigopt.optimiser.problem.problem import Problem

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
        for same in sorted(types.values(), key=lambda c: judge.rank(c[0].device)):
            column = same[0]
            if judge.droppable(column, front):
                continue
            kept.update(same)
            if judge.takes_over(column.device):
                front.append(column)
    return [column for column in columns if column in kept]


class _Judge:
    """Compares columns in what these needs ask for."""

    def __init__(self, problem: Problem, ranks: int, focus: frozenset[str]) -> None:
        self.problem, self.ranks, self.focus = problem, ranks, focus
        self.taken = lockable(problem)
        self.wanted = set(demands(problem.needs))
        sources = {"mic" if "phantom" in group else group for group in self.wanted}
        paid = {extra.per for extra in problem.extras}
        self.height = problem.needs.rack_units is not None or "rack_unit" in paid
        self.plugs = problem.needs.mains is not None or "mains" in paid
        self.accepts = {kind: sources & set(takes) for kind, takes in ACCEPTS.items()}

    def rank(self, device: Device) -> tuple[Fraction | int, str]:
        """Cheapest first, then the order of ids."""
        return cost(self.problem.ways(device.id), self.problem.order_terms), device.id

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
            and self._as_host(better, column)
            and self._as_satellite(better, column)
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

    def _as_satellite(self, better: ColumnT, column: ColumnT) -> bool:
        """What it can lock to, and the sockets it has left for the clock of others."""
        if not (isinstance(better, SatelliteColumn) and isinstance(column, SatelliteColumn)):
            return True
        works, work = better.signature, column.signature
        return (
            works.internal >= work.internal
            and set(works.shared) >= set(work.shared)
            and set(works.alone) >= set(work.alone)
            and all(a >= b for a, b in zip(works.free_out, work.free_out, strict=True))
        )

    def _as_host(self, better: ColumnT, column: ColumnT) -> bool:
        """What it can lock to, sockets that arrive, sockets out, headphone outputs."""
        if not (isinstance(better, HostColumn) and isinstance(column, HostColumn)):
            return True
        rate, shows, visible = self.problem.rate_hz, better.visible, column.visible
        whole = zip(shows.whole, visible.whole, strict=True)
        return (
            set(better.signature.shared) >= set(column.signature.shared)
            and set(better.signature.alone) >= set(column.signature.alone)
            and better.signature.internal >= column.signature.internal
            and (
                not self.problem.needs.out_phones
                or better.device.phones >= column.device.phones
            )
            and all(
                better.device.live_in(kind, rate) >= column.device.live_in(kind, rate)
                for kind in AUDIO_KINDS
            )
            and all(
                better.device.live_out(kind, rate) >= column.device.live_out(kind, rate)
                for kind in self.taken
            )
            and all(one >= other for one, other in whole)
            and (
                visible.cut_kind is None
                or (shows.cut_kind, shows.cut) == (visible.cut_kind, visible.cut)
            )
        )

    def _channels(self, better: ColumnT, column: ColumnT) -> bool:
        if "phantom" in self.wanted and column.device.phantom_bank:
            size, other = better.device.phantom_bank, column.device.phantom_bank
            if not size or ("no_phantom" in self.wanted and other % size):
                return False
        if not set(better.arriving).issuperset(column.arriving):
            return False
        kinds, others = better.device.channel_kinds, column.device.channel_kinds
        return all(
            self.accepts[kinds[n - 1]] >= self.accepts[others[n - 1]] for n in column.arriving
        )
