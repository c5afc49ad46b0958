"""What must hold for any picture; each check names what it found."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import pairwise

from rigopt.output.facts.cables import bundles
from rigopt.output.page.picture.types import Box, Group, Lane, Out, Picture, Row, Tap, Wire
from rigopt.rig.types import Rig


def rows(picture: Picture) -> list[Row]:
    return [
        row for section in picture.sections for stack in section.stacks for row in stack.rows
    ]


def wires(picture: Picture) -> list[Wire]:
    """Every cable, as often as it is drawn."""
    found = [row.left.wire for row in rows(picture) if isinstance(row.left, Tap)]
    return [wire for wire in [*found, *(row.wire for row in rows(picture))] if wire]


def boxes(picture: Picture) -> list[Box]:
    """The units that have a place of their own."""
    stacks = [stack.box for section in picture.sections for stack in section.stacks]
    hosts = [section.host for section in picture.sections]
    return [box for box in [*hosts, *stacks, *picture.idle] if box]


def named(picture: Picture) -> Iterator[str]:
    """The units that are drawn with what they serve: DI boxes, amplifiers."""
    for section in picture.sections:
        for out in section.outs:
            yield from ([out.box.name] if out.box else ())
    for row in rows(picture):
        if isinstance(row.left, Group) and row.left.through:
            yield row.left.through.name
        if isinstance(row.left, Out) and row.left.box:
            yield row.left.box.name


def crossings(picture: Picture) -> int:
    """How often a line of a lane is crossed by another one's branch, which runs to the right.

    Nothing else can cross: all other lines are level, each in a row of its own.
    """
    return sum(
        inner.up and inner.down
        for row in rows(picture)
        for outer, lane in enumerate(row.lanes)
        if lane.across
        for inner in row.lanes[outer + 1 :]
    )


def faults(picture: Picture, rig: Rig) -> list[str]:
    """Everything wrong with the picture of `rig`; empty for a good one."""
    return [*_units(picture, rig), *_cables(picture, rig), *_lanes(picture), *_stems(picture)]


def _units(picture: Picture, rig: Rig) -> Iterator[str]:
    placed = Counter(box.name for box in boxes(picture))
    beside = set(named(picture))
    for unit in rig.units:
        if placed[unit.name] + (unit.name in beside) != 1:
            yield f"{unit.name} stands in {placed[unit.name]} places"
    if unknown := (set(placed) | beside) - {unit.name for unit in rig.units}:
        yield f"there is no {unknown}"


def _cables(picture: Picture, rig: Rig) -> Iterator[str]:
    drawn, wanted = len(wires(picture)), len(bundles(rig.links))
    if drawn != wanted:
        yield f"{drawn} cables instead of {wanted}"
    for row in rows(picture):
        if (row.wire is not None) > (row.port is not None):
            yield f"cable {row.wire and row.wire.numbers} ends nowhere"


def _lanes(picture: Picture) -> Iterator[str]:
    """Lines that break off between two rows, or begin or end at none."""
    strips: list[tuple[Lane, ...]] = []
    for section in picture.sections:
        strips.append(section.above)
        for stack in section.stacks:
            strips += [stack.above, *(row.lanes for row in stack.rows)]
        strips.append(section.below)
    for upper, lower in pairwise(strips):
        for above, below in zip(upper, lower, strict=True):
            if above.down != below.up or (above.down and above.load != below.load):
                yield f"{above} breaks off before {below}"
    if strips and any(lane.up for lane in strips[0]) | any(lane.down for lane in strips[-1]):
        yield "a line leaves the picture"
    for row in rows(picture):
        across = [lane for lane in row.lanes if lane.across]
        taps = [row.left] if isinstance(row.left, Tap) else []
        if [(lane.load, lane.head) for lane in across] != [(t.load, t.head) for t in taps]:
            yield f"{taps} is not where a lane ends"


def _stems(picture: Picture) -> Iterator[str]:
    """Lines that do not join one sending end with its receiving ones."""
    joined: dict[int, list[Tap]] = {}
    for row in rows(picture):
        for number, lane in enumerate(row.lanes):
            if not lane.up:
                joined[number] = []
            if lane.across and isinstance(row.left, Tap):
                joined.setdefault(number, []).append(row.left)
            if lane.up and not lane.down:
                taps = joined.pop(number, [])
                if len({tap.stem for tap in taps}) != 1:
                    yield f"{taps} are of several lines"
                if sum(tap.wire is None for tap in taps) != 1:
                    yield f"{taps} have not one end that sends"
