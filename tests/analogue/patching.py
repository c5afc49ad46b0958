"""Every way to plug direct outs into inputs for line, by channels that are alike.

Direct outs leave a unit at its D-sub connectors, or anywhere if their plugs are single.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import combinations
from typing import NamedTuple

from rigopt.catalogue.types import ACCEPTS
from tests.analogue.boxes import Boxes, Sort, accepting, connector, sort_of
from tests.analogue.digital import Channel


class Stub(NamedTuple):
    """Where direct outs leave a unit; `socket`: which D-sub connector, if any."""

    unit: int
    plug: str
    socket: int | None


class Target(NamedTuple):
    """Where they may go: inputs that are alike, of one connector if it is a D-sub one."""

    unit: int
    plug: str
    socket: int | None


class Line(NamedTuple):
    """One channel from a direct out to an input."""

    stub: Stub
    out: Sort
    target: Target
    into: Sort


Lines = tuple[Line, ...]


def outs(boxes: Boxes, arriving: frozenset[Channel]) -> dict[Stub, dict[Channel, int]]:
    """Free direct outs by where they leave, each with its place in its connector."""
    found: dict[Stub, dict[Channel, int]] = {}
    for unit, box in enumerate(boxes):
        if unit == 0 or box.role not in ("expander", "either", "preamp"):
            continue
        for channel in accepting(box, "mic")[: box.direct_out]:
            if (unit, channel) not in arriving:
                socket, place = connector(box, channel, "mic")
                at = Stub(unit, box.direct_plug, socket if box.direct_plug == "dsub" else None)
                found.setdefault(at, {})[unit, channel] = place
    return found


def inlets(boxes: Boxes, arriving: frozenset[Channel]) -> dict[Target, dict[Channel, int]]:
    """Inputs for line that arrive, likewise."""
    found: dict[Target, dict[Channel, int]] = {}
    for unit, channel in sorted(arriving):
        box = boxes[unit]
        if "line" in ACCEPTS[box.channel_kinds[channel]]:
            socket, place = connector(box, channel, "line")
            at = Target(unit, box.line_plug, socket if box.line_plug == "dsub" else None)
            found.setdefault(at, {})[unit, channel] = place
    return found


def patches(
    boxes: Boxes, arriving: frozenset[Channel], joins: set[tuple[str, str]], most: int
) -> Iterator[Lines]:
    """Every set of lines, of at most `most`; `joins`: plugs that some cable joins."""
    room = inlets(boxes, arriving)
    free = Counter(
        (target, sort_of(boxes, *channel))
        for target, there in room.items()
        for channel in there
    )
    yield from _next(boxes, list(outs(boxes, arriving).items()), room, free, joins, most)


def _next(  # noqa: PLR0917
    boxes: Boxes,
    left: list[tuple[Stub, dict[Channel, int]]],
    room: dict[Target, dict[Channel, int]],
    free: Counter[tuple[Target, Sort]],
    joins: set[tuple[str, str]],
    most: int,
) -> Iterator[Lines]:
    if not left:
        yield ()
        return
    (stub, channels), rest = left[0], left[1:]
    for lines in _from(boxes, stub, channels, room, free, joins, most):
        after = free - Counter((line.target, line.into) for line in lines)
        # A connector takes one piece: what is left of it is shut.
        shut = {line.target for line in lines if line.target.socket is not None}
        after = Counter({key: n for key, n in after.items() if key[0] not in shut})
        for more in _next(boxes, rest, room, after, joins, most - len(lines)):
            yield lines + more


def _from(  # noqa: PLR0917
    boxes: Boxes,
    stub: Stub,
    channels: dict[Channel, int],
    room: dict[Target, dict[Channel, int]],
    free: Counter[tuple[Target, Sort]],
    joins: set[tuple[str, str]],
    most: int,
) -> Iterator[Lines]:
    """Lines from one place: from a D-sub connector all to one connector or one sort of plug."""
    open_ = [
        key for key in free if key[0].unit != stub.unit and (stub.plug, key[0].plug) in joins
    ]
    sorts = Counter(sort_of(boxes, *channel) for channel in channels)
    if stub.socket is None:
        yield from _spread(stub, list(sorts.elements()), open_, free, most)
        return
    yield ()
    for plug in sorted({target.plug for target, _ in open_} - {"dsub"}):
        single = [key for key in open_ if key[0].plug == plug]
        spread = _spread(stub, list(sorts.elements()), single, free, most)
        yield from (lines for lines in spread if lines)
    for target in sorted({target for target, _ in open_ if target.plug == "dsub"}):
        facing = {place: channel for channel, place in room[target].items()}
        pairs = [
            Line(stub, sort_of(boxes, *channel), target, sort_of(boxes, *facing[place]))
            for channel, place in channels.items()
            if place in facing
        ]
        seen: set[Lines] = set()
        for size in range(1, min(most, len(pairs)) + 1):
            seen |= {tuple(sorted(some, key=repr)) for some in combinations(pairs, size)}
        yield from sorted(seen, key=repr)


def _spread(  # noqa: PLR0917
    stub: Stub,
    sorts: list[Sort],
    open_: list[tuple[Target, Sort]],
    free: Counter[tuple[Target, Sort]],
    most: int,
    first: int = 0,
) -> Iterator[Lines]:
    """Each direct out goes to one of these, or nowhere; of those alike in order."""
    if not sorts or most == 0:
        yield ()
        return
    rest = sorts[1:]
    for index in range(first, len(open_)):
        key = open_[index]
        if free[key] > 0:
            line = Line(stub, sorts[0], *key)
            alike = index if rest and rest[0] == sorts[0] else 0
            after = free - Counter([key])
            for more in _spread(stub, rest, open_, after, most - 1, alike):
                yield (line, *more)
    others = [sort for sort in rest if sort != sorts[0]]
    yield from _spread(stub, others, open_, free, most)
