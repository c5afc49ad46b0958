"""The lines of the lanes, row by row."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from rigopt.output.page.picture.types import Lane, Load, Row, Section, Stack, Tap


@dataclass(slots=True)
class _Line:
    """A stem's line: what it carries, its lane from the left, and the rows that it reaches."""

    load: Load
    lane: int
    rows: list[int] = field(default_factory=list)


def with_lanes(sections: Iterable[Section], lanes: Sequence[int]) -> tuple[Section, ...]:
    """`sections` with the line of every stem; `lanes` are theirs, counted from the units."""
    found = list(sections)
    count = max(lanes, default=-1) + 1
    rows = [row for section in found for stack in section.stacks for row in stack.rows]
    lines: dict[int, _Line] = {}
    for at, row in enumerate(rows):
        if isinstance(row.left, Tap):
            stem = row.left.stem
            line = lines.setdefault(stem, _Line(row.left.load, count - 1 - lanes[stem]))
            line.rows.append(at)
    drawn = iter(_row(row, at, lines.values(), count) for at, row in enumerate(rows))
    done = []
    above = (Lane(),) * count
    for section in found:
        stacks = tuple(
            _stack(stack, [next(drawn) for _ in stack.rows]) for stack in section.stacks
        )
        past = above
        if stacks:
            last = stacks[-1].rows[-1].lanes
            above = tuple(Lane(one.load, one.down, one.down) for one in last)
        done.append(section._replace(stacks=stacks, above=past, below=above))
    return tuple(done)


def _stack(stack: Stack, rows: Sequence[Row]) -> Stack:
    """The stack with its rows; a lane that comes from above runs through the gap there."""
    above = tuple(Lane(one.load, one.up, one.up) for one in rows[0].lanes)
    return stack._replace(rows=tuple(rows), above=above)


def _row(row: Row, at: int, lines: Iterable[_Line], count: int) -> Row:
    """The row of that number with its lanes."""
    found = [Lane()] * count
    head = isinstance(row.left, Tap) and row.left.head
    for line in lines:
        first, last = line.rows[0], line.rows[-1]
        if first <= at <= last:
            here = at in line.rows
            found[line.lane] = Lane(line.load, at > first, at < last, here, here and head)
    return row._replace(lanes=tuple(found))
