"""Where the boxes stand, and where on their edges each cable ends.

Sockets lie on a grid of `PITCH`, half a step lower in every second column, so that the
level parts of cables from two sides never lie on one another.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from functools import partial
from typing import Final

from rigopt.output.page.arrange import CableEnd, Columns, Place, Side
from rigopt.output.page.geometry import (
    BADGE,
    FREE,
    NAME,
    SMALL,
    SOCKET,
    Box,
    Lettering,
    Point,
    Rect,
)
from rigopt.output.page.lettering import fit, lines, width
from rigopt.output.page.words import clock_line, free_told, unit_told
from rigopt.output.words.phrases import entry
from rigopt.rig.types import Rig, Unit

COLUMN: Final = 180
"""Width of a box."""

PITCH: Final = 26
"""From one socket to the next: a line of lettering above and one below the cable."""

INSET: Final = 8
GAP: Final = 14
"""The least room between two boxes."""

LINE: Final = 14
ROOMY: Final = 8
"""Rigs of up to so many units have a second line for the device's label."""

Rows = Mapping[tuple[str, Side], Sequence[CableEnd]]


def rows(ends: Sequence[tuple[CableEnd, CableEnd]], where: Mapping[str, Place]) -> Rows:
    """The ends at each edge of each unit, in the order of the units they lead to.

    Those that lead beyond the next column go over the top of the picture, so they are
    the first.
    """
    found: dict[tuple[str, Side], list[CableEnd]] = defaultdict(list)
    for end in (end for pair in ends for end in pair):
        found[end.unit, end.side].append(end)
    for (unit, _), at_edge in found.items():
        at_edge.sort(key=partial(_turn, where[unit].column))
    return found


def boxes(
    rig: Rig, placed: Columns, lefts: Sequence[int], first_y: int, at_edge: Rows
) -> tuple[Box, ...]:
    """The boxes of all columns, whose left edges are `lefts`; none is above `first_y`."""
    tall = [_heights(rig, units, at_edge) for units in placed]
    most = max(sum(column) for column in tall)
    found = []
    for column, units in enumerate(placed):
        spare = (most - sum(tall[column])) // 2
        y = first_y + spare // PITCH * PITCH + column % 2 * (PITCH // 2)
        for unit, taken in zip(units, tall[column], strict=True):
            found.append(_box(rig, unit, lefts[column], y, at_edge))
            y += taken
    return tuple(found)


def plugs(rig: Rig, drawn: Sequence[Box], at_edge: Rows) -> dict[tuple[int, bool], Point]:
    """Where each end is, by the cable's number and whether it is the outgoing end."""
    found = {}
    for box in drawn:
        for side in ("left", "right"):
            x = box.rect.x if side == "left" else box.rect.right
            for row, end in enumerate(at_edge.get((box.unit.name, side), ())):
                y = box.rect.y + _first_row(rig) + row * PITCH
                found[end.number, end.outgoing] = (x, y)
    return found


def _turn(column: int, end: CableEnd) -> tuple[bool, int, int]:
    """The place of `end` among those at an edge in `column`."""
    return abs(end.partner.column - column) < 2, end.partner.rank, end.number


def _label_lines(rig: Rig) -> int:
    return 2 if len(rig.units) <= ROOMY else 1


def _first_row(rig: Rig) -> int:
    """From a box's top to its first socket; the same for all, which keeps the grid."""
    return INSET + NAME.size + (_label_lines(rig) + 1) * LINE + 24


def _heights(rig: Rig, units: Sequence[Unit], at_edge: Rows) -> list[int]:
    """The height of each box with the gap below it, in whole steps of the grid."""
    return [-(-(_height(rig, unit, at_edge) + GAP) // PITCH) * PITCH for unit in units]


def _height(rig: Rig, unit: Unit, at_edge: Rows) -> int:
    most = max(len(at_edge.get((unit.name, side), ())) for side in ("left", "right"))
    foot = len(_free(rig, unit)) * LINE
    return _first_row(rig) + most * PITCH - PITCH // 2 + foot + (4 if foot else 0)


def _free(rig: Rig, unit: Unit) -> tuple[str, ...]:
    free = free_told(unit, rig)
    if not free:
        return ()
    return lines(f"free: {free}", FREE, COLUMN - 2 * INSET, 2)


def _box(rig: Rig, unit: Unit, x: int, y: int, at_edge: Rows) -> Box:
    rect = Rect(x, y, COLUMN, _height(rig, unit, at_edge))
    head, badge = _head(rig, unit, rect)
    foot = _free(rig, unit)
    base = rect.bottom - INSET - (len(foot) - 1) * LINE
    letters = [
        *head,
        *_sockets(rig, unit, rect, at_edge),
        *(Lettering(x + INSET, base + i * LINE, t, FREE) for i, t in enumerate(foot)),
    ]
    return Box(unit, rect, tuple(letters), badge, unit_told(unit, rig))


def _head(rig: Rig, unit: Unit, rect: Rect) -> tuple[list[Lettering], Rect | None]:
    """Name, device and clock, and the plate behind the last if the unit is the master."""
    x, y, room = rect.x + INSET, rect.y + INSET + NAME.size - 1, COLUMN - 2 * INSET
    part = f"{unit.device.computer} host" if unit.role == "host" else ""
    side = width(part, FREE)
    letters = [Lettering(x, y, fit(unit.name, NAME, room - side - INSET), NAME)]
    if part:
        letters.append(Lettering(rect.right - INSET, y, part, FREE, "end"))
    label = entry(unit.device.id, unit.device.label)
    for i, text in enumerate(lines(label, SMALL, room, _label_lines(rig)), start=1):
        letters.append(Lettering(x, y + i * LINE + 1, text, SMALL))
    y += (_label_lines(rig) + 1) * LINE + 4
    if unit.clock is None or unit.clock.source != "internal":
        return [*letters, Lettering(x, y, clock_line(unit), SMALL)], None
    text = clock_line(unit)
    letters.append(Lettering(x + 6, y, text, BADGE))
    return letters, Rect(x, y - BADGE.size - 1, width(text, BADGE) + 12, BADGE.size + 6)


def _sockets(rig: Rig, unit: Unit, rect: Rect, at_edge: Rows) -> list[Lettering]:
    """The sockets' names, just inside the edges; two in a row share the width."""
    letters = []
    shared = all(at_edge.get((unit.name, side)) for side in ("left", "right"))
    room = COLUMN // 2 - INSET if shared else COLUMN - 2 * INSET
    for side in ("left", "right"):
        for row, end in enumerate(at_edge.get((unit.name, side), ())):
            y = rect.y + _first_row(rig) + row * PITCH + 4
            name = fit(end.socket, SOCKET, room)
            if side == "left":
                letters.append(Lettering(rect.x + INSET, y, name, SOCKET))
            else:
                letters.append(Lettering(rect.right - INSET, y, name, SOCKET, "end"))
    return letters
