"""Columns that cannot be in the answer, because another type does the same for less.

A column is dropped if a unit of another type could stand in its place in every rig: wired
in the same way, clocked in as many, with at least the same channels, sockets and outputs,
in banks that can be switched at least as finely, with no more rack units and mains plugs
where these are limited or paid for, and cheaper. Cheaper at plain prices is less money, or
the same and first in the order of ids, so that ties end the same way; at named sellers, it
is so in any order it may be part of (`bargains` has the proof); and where prices are ranges,
whatever they are. Types that are owned or
required are never dropped, and only types that can be bought in any number take the place
of others.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Hashable, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import TypeVar

from rigopt.catalogue.types import ACCEPTS, Device
from rigopt.facts import WORD
from rigopt.needs.types import NO_PHANTOM, PHANTOM
from rigopt.optimiser.problem.bargains import always_cheaper, cost, known_dearer
from rigopt.optimiser.problem.columns import HostColumn, SatelliteColumn
from rigopt.optimiser.problem.ports import covers
from rigopt.optimiser.problem.problem import Problem
from rigopt.rig.banks import as_fine

ColumnT = TypeVar("ColumnT", HostColumn, SatelliteColumn)


def undominated(
    problem: Problem,
    columns: Sequence[ColumnT],
    ranks: int,
    focus: frozenset[str],
    beat: Callable[[], None] = lambda: None,
) -> list[ColumnT]:
    """The columns worth keeping for the `ranks` cheapest mixes; those in `focus` stay.

    `beat` is called now and then, and may raise what ends it.

    Types in `focus` take the place of no other, since their price may be in question. Slots
    make no difference to which column replaces which.
    """
    judge = _Judge(problem, ranks, focus)
    groups: dict[Hashable, dict[Hashable, list[ColumnT]]] = defaultdict(
        lambda: defaultdict(list)
    )
    for column in columns:
        beat()
        groups[_stands(column)][column.device.id, _alike(column)].append(column)
    kept: set[ColumnT] = set()
    for alike in groups.values():
        front: list[ColumnT] = []
        own: dict[str, list[ColumnT]] = defaultdict(list)
        for same in sorted(alike.values(), key=lambda c: rank(judge.problem, c[0].device)):
            beat()
            column = same[0]
            mine = own[column.device.id]
            if any(judge.serves(other, column) for other in mine):
                continue
            if judge.droppable(column, front):
                continue
            kept.update(same)
            mine.append(column)
            if judge.takes_over(column.device):
                front.append(column)
    return [column for column in columns if column in kept]


def _stands(column: HostColumn | SatelliteColumn) -> Hashable:
    """What a column must have in common with one that takes its place."""
    if isinstance(column, HostColumn):
        return None
    return replace(column.wiring, slot=None)


def _alike(column: HostColumn | SatelliteColumn) -> Hashable:
    """What tells columns of a type and a wiring apart, but for the slot."""
    signature = column.signature
    clock = None if signature is None else signature._replace(slot=None)
    return clock, column.hosting if isinstance(column, HostColumn) else None


def rank(problem: Problem, device: Device) -> tuple[Fraction | int, str]:
    """The order in which types are tried: the cheapest first, then the order of ids."""
    return cost(problem.ways(device.id), problem.order_terms), device.id


class _Judge:
    """Compares columns in what these needs ask for."""

    def __init__(self, problem: Problem, ranks: int, focus: frozenset[str]) -> None:
        self.problem, self.ranks, self.focus = problem, ranks, focus
        self.wanted = problem.needs.wanted
        sources = {group.kind for group in self.wanted}
        if problem.plugs:
            sources.add("line")
        if any(box.device.role == "di" for box in problem.satellites):
            sources.add("mic")
        self.phantom = PHANTOM in self.wanted or any(
            box.device.di_phantom for box in problem.satellites
        )
        paid = {extra.per for extra in (*problem.extras, *problem.idle_extras)}
        self.height = problem.needs.rack_units is not None or "rack_unit" in paid
        self.plugs = problem.needs.mains is not None or "mains" in paid
        self.accepts = {kind: sources & set(takes) for kind, takes in ACCEPTS.items()}

    def takes_over(self, device: Device) -> bool:
        """Whether any number of it can be had at its price."""
        # One that is owned may cost more than its price: what it would be sold for.
        dearer = device.id in self.problem.sellable or device.id in self.focus
        return self.problem.unlimited(device.id) and not dearer

    def droppable(self, column: ColumnT, front: Sequence[ColumnT]) -> bool:
        """Whether enough of `front` replace it, and nothing else speaks for its type."""
        device = column.device
        if (
            self.problem.owned(device.id)
            or device.id in self.problem.needs.require
            or device.id in self.focus
        ):
            return False
        seen = {device.id}
        for better in front:
            if better.device.id not in seen and self.replaces(better, column):
                seen.add(better.device.id)
                if len(seen) > self.ranks:
                    return True
        return False

    def replaces(self, better: ColumnT, column: ColumnT) -> bool:
        """Whether `better`, which is not dearer, could stand in the place of `column`."""
        # Nearly all that are tried are cheaper, so what they can do is asked first.
        return (
            self._room(better.device, column.device)
            and self.serves(better, column)
            and self._cheaper(better.device, column.device)
        )

    def serves(self, better: ColumnT, column: ColumnT) -> bool:
        """Whether `better` does all that `column` does."""
        return (
            # The channels say that too; it is asked first since most that are tried fall short.
            len(better.arriving) >= len(column.arriving)
            and (not self.problem.feeds or better.line_outs >= column.line_outs)
            and beside(better, column)
            and self._analogue(better, column)
            and _clock(better, column)
            and self._as_host(better, column)
            and self._channels(better, column)
            and (self._less(better, column) or better.microphones >= column.microphones)
        )

    def _less(self, better: ColumnT, column: ColumnT) -> bool:
        """Whether it costs less, so that what else arrives has no say."""
        ways, others = (self.problem.ways(c.device.id) for c in (better, column))
        return not self.problem.order_terms and known_dearer(ways, others, by=1)

    def _cheaper(self, better: Device, device: Device) -> bool:
        """At plain prices the order in which they are tried says so; at sellers, a proof."""
        ways, others = self.problem.ways(better.id), self.problem.ways(device.id)
        if all(way.seller is None for way in (*ways, *others)):
            return known_dearer(ways, others)
        return always_cheaper(ways, others, self.problem.order_terms, self.problem.capped)

    def _room(self, better: Device, device: Device) -> bool:
        """Not larger where height is limited or paid for, and the same for mains plugs."""
        return (not self.height or better.rack_units <= device.rack_units) and (
            not self.plugs or better.mains <= device.mains
        )

    def _as_host(self, better: ColumnT, column: ColumnT) -> bool:
        """Headphone outputs, converters, and sockets with what of them arrives."""
        if not (isinstance(better, HostColumn) and isinstance(column, HostColumn)):
            return True
        one, other = better.device, column.device
        return (
            (not self.problem.needs.out_phones or one.phones >= other.phones)
            and set(one.rate_converter) >= set(other.rate_converter)
            and better.hosting.held in ((), column.hosting.held)
            and covers(better.hosting.ports, column.hosting.ports)
        )

    def _analogue(self, better: ColumnT, column: ColumnT) -> bool:
        """Direct outs that are free, and inputs for them; by the same plugs."""
        one, other = better.device, column.device
        if column.inlets and one.line_plug != other.line_plug:
            return False
        if not column.direct:
            return True
        kinds, others = one.channel_kinds, other.channel_kinds
        return (
            one.direct_plug == other.direct_plug
            and set(better.direct) >= set(column.direct)
            and all(
                self.accepts[kinds[n - 1]] >= self.accepts[others[n - 1]] for n in column.direct
            )
        )

    def _channels(self, better: ColumnT, column: ColumnT) -> bool:
        if not set(better.arriving).issuperset(column.arriving):
            return False
        if self.phantom and not self._powers(better, column):
            return False
        kinds, others = better.device.channel_kinds, column.device.channel_kinds
        return all(
            self.accepts[kinds[n - 1]] >= self.accepts[others[n - 1]] for n in column.arriving
        )

    def _powers(self, better: ColumnT, column: ColumnT) -> bool:
        """Whether what gets 48 V can get it too, and is switched at least as finely."""
        if NO_PHANTOM in self.wanted or self.problem.plugs:
            return as_fine(better.device, column.device)
        banked = {n for bank in column.device.bank_channels for n in bank}
        return {n for bank in better.device.bank_channels for n in bank} >= banked


def beside(better: ColumnT, column: ColumnT) -> bool:
    """What a unit without links is there for: instruments, or headphones."""
    one, other = better.device, column.device
    if other.digital:
        return True
    return (
        one.inst >= other.inst
        and (one.di_phantom == other.di_phantom)
        and one.phones >= other.phones
        and one.line_in <= other.line_in
    )


def _clock(better: ColumnT, column: ColumnT) -> bool:
    """What it can lock to, and the output sockets it has for the clock of others."""
    one, other = better.signature, column.signature
    if one is None or other is None:
        return one is other
    return (
        one.internal >= other.internal
        and one.own_clock >= other.own_clock
        and one.apart >= other.apart
        and one.brings in (None, other.brings)
        and set(one.shared) >= set(other.shared)
        and set(one.alone) >= set(other.alone)
        and (WORD not in other.alone or one.word_end in ("switch", other.word_end))
        and covers(one.offers, other.offers)
    )
