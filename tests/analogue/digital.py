"""Every way to join a host and expanders by light-pipe, with the clock.

A unit sends on some of its outputs, or on none; its clock is its own, or comes by one cable
from another unit, which may be the cable of its sound. All are in one clock tree.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from typing import NamedTuple

from rigopt.needs.types import Needs
from tests.analogue.boxes import CLASS, Boxes, converted, live

Channel = tuple[int, int]
"""Unit and channel."""

Parents = tuple[int | None, ...]
"""Where each unit has its clock from; itself: its own clock; None: it needs none."""


class Wiring(NamedTuple):
    """What arrives by itself, and the optical cables it takes."""

    arriving: frozenset[Channel]
    far: int
    """Cables between the host and another unit."""
    near: int
    """Cables between others."""
    hops: int


def wirings(boxes: Boxes, needs: Needs) -> set[Wiring]:
    """All that there are; none if the host does not know the rate."""
    rate = needs.rate_hz
    if rate not in boxes[0].rates_hz:
        return set()
    able = [box.role in ("expander", "either") and rate in box.rates_hz for box in boxes[1:]]
    outs = [live(box, box.optical_out, rate) for box in boxes]
    sending = [range(out + 1) if ok else (0,) for ok, out in zip(able, outs[1:], strict=True)]
    found = set()
    for sends in itertools.product(*sending):
        for parents in _parents(boxes, [True, *able]):
            linked = [parent is not None for parent in parents[1:]]
            if all(link or not sent for link, sent in zip(linked, sends, strict=True)):
                found |= set(_joined(boxes, needs, (0, *sends), parents))
    return found


def _parents(boxes: Boxes, able: list[bool]) -> Iterator[Parents]:
    choices: list[list[int | None]] = []
    for unit, box in enumerate(boxes):
        mine: list[int | None] = [None] if unit else []
        if able[unit]:
            mine += [unit] if box.internal_clock else []
            others = (n for n in range(len(boxes)) if n != unit and able[n])
            mine += others if "optical" in box.clock_in else []
        choices.append(mine)
    yield from itertools.product(*choices)


def _depth(parents: Parents) -> int | None:
    """Hops of the unit farthest from the one master; None if that is no tree."""
    if sum(parent == unit for unit, parent in enumerate(parents)) != 1:
        return None
    deepest = 0
    for unit, parent in enumerate(parents):
        at, hops = unit, 0
        while parent is not None and parents[at] != at:
            above = parents[at]
            if above is None or hops > len(parents):
                return None
            at, hops = above, hops + 1
        deepest = max(deepest, hops)
    return deepest


def _joined(
    boxes: Boxes, needs: Needs, sends: tuple[int, ...], parents: Parents
) -> Iterator[Wiring]:
    hops = _depth(parents)
    if hops is None or hops > needs.max_hops:
        return
    rate = needs.rate_hz
    outs, ins, far, near = list(sends), [sum(sends), *[0] * len(sends[1:])], sum(sends), 0
    for unit, parent in enumerate(parents):
        if parent in (None, unit) or (unit == 0 and parent is not None and sends[parent]):
            continue
        assert parent is not None
        outs[parent] += 1
        ins[unit] += 1
        far, near = (far + 1, near) if 0 in (unit, parent) else (far, near + 1)
    for box, out, into in zip(boxes, outs, ins, strict=True):
        if out > live(box, box.optical_out, rate) or into > live(box, box.optical_in, rate):
            return
    sockets = live(boxes[0], boxes[0].optical_in, rate)
    for chosen in set(itertools.permutations(range(sockets), sum(sends))):
        yield Wiring(_arriving(boxes, needs, sends, list(chosen)), far, near, hops)


def _arriving(
    boxes: Boxes, needs: Needs, sends: tuple[int, ...], sockets: list[int]
) -> frozenset[Channel]:
    """The channels behind the numbers that the computer sees."""
    host, wide = boxes[0], 8 // CLASS[needs.rate_hz]
    limit = host.max_in_1x if CLASS[needs.rate_hz] == 1 else host.max_in_2x
    own = converted(host, needs.rate_hz)
    row: dict[int, Channel] = {n: (0, n) for n in range(own)}
    for unit, sent in enumerate(sends):
        for link in range(sent):
            socket = sockets.pop(0)
            for place in range(wide):
                channel = link * wide + place
                if channel < converted(boxes[unit], needs.rate_hz):
                    row[own + socket * wide + place] = (unit, channel)
    return frozenset(ch for n, ch in row.items() if limit is None or n < limit)
