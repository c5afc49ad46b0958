"""Inputs of the computer in runs, and channels that do not reach it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from typing import NamedTuple

from rigopt.catalogue.types import SocketRef
from rigopt.rig.folding import Run, fold
from rigopt.rig.numbering import host_spans
from rigopt.rig.types import Input, Rig, Unit


def alike(inputs: Iterable[Input]) -> list[tuple[Run, Input]]:
    """Runs of inputs of which all the same is to be said, each with its first input.

    An input with a named source is a run by itself.
    """
    found = []
    for _, group in groupby(inputs, key=_sort_of):
        items = list(group)
        found += [(run, items[0]) for run in fold(items)]
    return found


def unheard(units: Sequence[Unit], inputs: Sequence[Input]) -> Iterator[tuple[Unit, int]]:
    """Expanders of which not all channels arrive, with the number that do."""
    for unit in units:
        if unit.role == "expander":
            arriving = sum(item.unit == unit.name for item in inputs)
            if arriving < unit.device.analogue:
                yield unit, arriving


class Empty(NamedTuple):
    """Numbers at the computer on which nothing of the rig arrives: what stands behind them.

    `socket` is None for blanks of the host: loopback, mixes, gaps.
    """

    host: str
    socket: SocketRef | None
    numbers: tuple[int, ...]


def empty(rig: Rig) -> list[Empty]:
    """They, by host and socket."""
    taken = {item.computer_input for item in rig.inputs}
    found = []
    for host, span in host_spans(rig.units, rig.links, rig.rate_hz).items():
        rest = set(range(span.before + 1, span.before + span.visible.total + 1)) - taken
        for socket in span.visible.sockets:
            numbers = rest.intersection(span.socket(socket))
            rest -= numbers
            found.append(Empty(host, socket, tuple(sorted(numbers))))
        found.append(Empty(host, None, tuple(sorted(rest))))
    return [one for one in found if one.numbers]


def _sort_of(item: Input) -> tuple[object, ...]:
    """Equal for neighbours of which the same is to be said."""
    named = item.computer_input if item.source else None
    return (item.use, item.phantom, named, item.accepts if item.use is None else None)
