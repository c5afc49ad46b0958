"""The lines of the lanes, row by row."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rigopt.output.page.picture.types import Lane, Load, Row, Section, Stack, Tap

NOTHING = Lane()


def with_lanes(sections: Iterable[Section], lanes: Sequence[int]) -> tuple[Section, ...]:
    """`sections` with the lines of every stem in its lane, the outermost lane first."""
    found = list(sections)
    rows = [row for section in found for stack in section.stacks for row in stack.rows]
    spans: dict[int, list[int]] = {}
    loads: dict[int, Load] = {}
    for at, row in enumerate(rows):
        if isinstance(row.left, Tap):
            spans.setdefault(row.left.stem, []).append(at)
            loads[row.left.stem] = row.left.load
    count = max(lanes, default=-1) + 1
    drawn = iter(_row(row, at, spans, loads, lanes, count) for at, row in enumerate(rows))
    done: list[Section] = []
    above = (NOTHING,) * count
    for section in found:
        stacks = tuple(
            _stack(stack, [row._replace(lanes=next(drawn)) for row in stack.rows])
            for stack in section.stacks
        )
        past = stacks[0].above if stacks else above
        if stacks:
            last = stacks[-1].rows[-1].lanes
            above = tuple(Lane(one.load, one.down, one.down) for one in last)
        done.append(section._replace(stacks=stacks, above=past, below=above))
    return tuple(done)


def _stack(stack: Stack, rows: Sequence[Row]) -> Stack:
    """The stack with its rows; a lane that comes from above runs through the gap there."""
    above = tuple(Lane(one.load, one.up, one.up) for one in rows[0].lanes)
    return stack._replace(rows=tuple(rows), above=above)


def _row(
    row: Row,
    at: int,
    spans: dict[int, list[int]],
    loads: dict[int, Load],
    lanes: Sequence[int],
    count: int,
) -> tuple[Lane, ...]:
    """The lanes within the row of that number."""
    found = [NOTHING] * count
    for stem, ends in spans.items():
        first, last = min(ends), max(ends)
        if first <= at <= last:
            head = isinstance(row.left, Tap) and row.left.head
            here = at in ends
            line = Lane(loads[stem], at > first, at < last, here, here and head)
            found[count - 1 - lanes[stem]] = line
    return tuple(found)
