"""Inputs of the computer in runs, and channels that do not reach it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from itertools import groupby
from typing import NamedTuple

from rigopt.catalogue.types import SocketRef
from rigopt.output.facts.cables import is_line
from rigopt.rig.folding import Run, fold
from rigopt.rig.numbering import host_spans
from rigopt.rig.types import Input, Link, Rig, Unit

Place = tuple[str, int]
"""A channel: its unit, and its number there."""

Lines = Mapping[Place, Place]
"""For a channel that leaves by its direct out, the channel that it comes in on."""


def lines(units: Iterable[Unit], links: Iterable[Link]) -> dict[Place, Place]:
    """They, as far as each direct out has a channel behind it."""
    behind = {unit.name: unit.device.direct_channels for unit in units}
    found = {}
    for link in links:
        channels = behind.get(link.from_unit, ()) if is_line(link) else ()
        if link.from_socket <= len(channels):
            there = (link.to_unit, link.to_socket)
            found[link.from_unit, channels[link.from_socket - 1]] = there
    return found


def in_use(rig: Rig) -> list[Input]:
    """The inputs in use, or all of them where no use is stated."""
    return [item for item in rig.inputs if item.use] or list(rig.inputs)


def microphones(rig: Rig) -> list[Input]:
    """Those in use that a microphone is on, or may be where no use is stated."""
    return [
        item
        for item in in_use(rig)
        if item.use == "mic" or (item.use is None and "mic" in item.accepts)
    ]


def box(item: Input) -> str | None:
    """The DI box that its source is plugged into."""
    return item.path[0] if item.path and item.path[0] != item.unit else None


def jack_only(item: Input) -> bool:
    """Whether it has 48 V and no microphone: an XLR plug would carry that to the source."""
    return item.phantom and item.use in ("line", "instrument") and box(item) is None


def alike(
    inputs: Iterable[Input], known: Lines, told: Callable[[Input], object]
) -> list[tuple[Run, Input]]:
    """Runs of inputs of which all the same is to be told, each with its first input.

    An input with a named source is a run by itself.
    """
    found = []
    for _, group in groupby(
        inputs, key=lambda item: (told(item), *_sort_of(item), *_way(item, known))
    ):
        items = list(group)
        runs = iter(items)
        for run in fold(items):
            found.append((run, next(runs)))
            for _ in range(run.last_input - run.first_input):
                next(runs)
    return found


def unheard(
    units: Sequence[Unit], links: Iterable[Link], inputs: Sequence[Input]
) -> Iterator[tuple[Unit, int]]:
    """Expanders and preamps of which not all channels are of use, with the number that are:
    that arrive, or that another's direct out occupies."""
    occupied = [place for place, _ in lines(units, links).values()]
    for unit in units:
        if unit.role in ("expander", "preamp"):
            arriving = sum(item.unit == unit.name for item in inputs)
            if arriving + occupied.count(unit.name) < unit.device.analogue:
                yield unit, arriving


def silent(rig: Rig) -> Iterator[tuple[Unit, list[int]]]:
    """Units with the channels that neither reach the computer nor are occupied."""
    heard = {(item.unit, item.channel) for item in rig.inputs}
    heard.update(lines(rig.units, rig.links).values())
    for unit in rig.units:
        every = range(1, unit.device.analogue + 1) if unit.role != "di" else ()
        if found := [n for n in every if (unit.name, n) not in heard]:
            yield unit, found


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


def _way(item: Input, known: Lines) -> tuple[object, ...]:
    """Equal for neighbours that take the same way, side by side."""
    unit, channel = known.get((item.unit, item.channel), ("", item.channel))
    return unit, channel - item.channel, item.path


def _sort_of(item: Input) -> tuple[object, ...]:
    """Equal for neighbours of which the same is to be said."""
    named = item.computer_input if item.source else None
    return (item.use, item.phantom, named, item.accepts if item.use is None else None)
