"""What must hold for the geometry of any picture; each check names what it found."""

from __future__ import annotations

from itertools import combinations, pairwise

from rigopt.output.page.arrange import origin
from rigopt.output.page.geometry import Box, Cable, Drawing, Point, Rect

Segment = tuple[Point, Point]
TAG = (9, 7)
"""Half the width and height of the plate with a cable's number, as the template draws it."""

AIR = 12
"""The least room between two boxes."""


def overlap(one: Rect, other: Rect) -> bool:
    return (
        one.x < other.right
        and other.x < one.right
        and one.y < other.bottom
        and other.y < one.bottom
    )


def inside(inner: Rect, outer: Rect) -> bool:
    return (
        outer.x <= inner.x
        and inner.right <= outer.right
        and outer.y <= inner.y
        and inner.bottom <= outer.bottom
    )


def segments(cable: Cable) -> list[Segment]:
    return list(pairwise(cable.points))


def crosses(segment: Segment, rect: Rect) -> bool:
    """Whether an upright or level segment has a point strictly inside `rect`."""
    (ax, ay), (bx, by) = segment
    return (
        min(ax, bx) < rect.right
        and max(ax, bx) > rect.x
        and min(ay, by) < rect.bottom
        and max(ay, by) > rect.y
    )


def lie_on_one_another(one: Segment, other: Segment) -> bool:
    """Whether two segments share more than a crossing."""
    for axis in (0, 1):
        across = 1 - axis
        if len({point[across] for point in (*one, *other)}) == 1:
            low = max(min(p[axis] for p in one), min(p[axis] for p in other))
            high = min(max(p[axis] for p in one), max(p[axis] for p in other))
            return low <= high
    return False


def tags(cable: Cable) -> list[Rect]:
    wide, high = TAG
    return [Rect(x - wide, y - high, 2 * wide, 2 * high) for x, y in cable.tags]


def loads(cable: Cable) -> list[Rect]:
    return [line.rect for line in cable.letters]


def on_edge(point: Point, box: Box) -> bool:
    x, y = point
    return x in (box.rect.x, box.rect.right) and box.rect.y < y < box.rect.bottom


def faults(drawing: Drawing) -> list[str]:
    """Everything wrong with the picture; empty for a good one."""
    return [
        *_frame(drawing),
        *_boxes(drawing),
        *_lettering(drawing),
        *_routes(drawing),
        *_loads(drawing),
    ]


def _frame(drawing: Drawing) -> list[str]:
    frame = Rect(0, 0, drawing.width, drawing.height)
    found = [f"{b.unit.name} sticks out" for b in drawing.boxes if not inside(b.rect, frame)]
    for cable in drawing.cables:
        points = [Rect(x, y, 0, 0) for x, y in cable.points]
        if not all(inside(r, frame) for r in [*points, *tags(cable), *loads(cable)]):
            found.append(f"cable {cable.number} sticks out")
    return found


def _boxes(drawing: Drawing) -> list[str]:
    return [
        f"{one.unit.name} lies on {other.unit.name} or is too near"
        for one, other in combinations(drawing.boxes, 2)
        if overlap(_with_air(one.rect), other.rect)
    ]


def _with_air(rect: Rect) -> Rect:
    return Rect(rect.x - AIR, rect.y - AIR, rect.width + 2 * AIR, rect.height + 2 * AIR)


def _lettering(drawing: Drawing) -> list[str]:
    found = []
    for box in drawing.boxes:
        name = box.unit.name
        found += [
            f"{n.text!r} leaves {name}" for n in box.letters if not inside(n.rect, box.rect)
        ]
        if box.badge and not inside(box.badge, box.rect):
            found.append(f"the badge leaves {name}")
        found += [
            f"{one.text!r} lies on {other.text!r} in {name}"
            for one, other in combinations(box.letters, 2)
            if overlap(one.rect, other.rect)
        ]
    return found


def _routes(drawing: Drawing) -> list[str]:
    boxes = {box.unit.name: box for box in drawing.boxes}
    found = []
    for cable in drawing.cables:
        where = f"cable {cable.number}"
        if not on_edge(cable.points[0], boxes[origin(cable.link)]):
            found.append(f"{where} does not begin at {origin(cable.link)}")
        if not on_edge(cable.points[-1], boxes[cable.link.to_unit]):
            found.append(f"{where} does not end at {cable.link.to_unit}")
        for segment in segments(cable):
            (ax, ay), (bx, by) = segment
            if (ax == bx) == (ay == by):
                found.append(f"{where} is slanted or empty at {segment}")
            found += [
                f"{where} crosses {box.unit.name}"
                for box in drawing.boxes
                if crosses(segment, box.rect)
            ]
    for one, other in combinations(drawing.cables, 2):
        for a in segments(one):
            found += [
                f"cables {one.number} and {other.number} share {a}"
                for b in segments(other)
                if lie_on_one_another(a, b)
            ]
    return found


def _loads(drawing: Drawing) -> list[str]:
    found = []
    for cable in drawing.cables:
        where = f"the words of cable {cable.number}"
        for rect in [*loads(cable), *tags(cable)]:
            found += [f"{where} lie on a box" for b in drawing.boxes if overlap(rect, b.rect)]
            found += [
                f"{where} lie on cable {other.number}"
                for other in drawing.cables
                for segment in segments(other)
                if other is not cable and crosses(segment, rect)
            ]
        for segment in segments(cable):
            found += [f"{where} lie on it" for rect in loads(cable) if crosses(segment, rect)]
    for one, other in combinations(drawing.cables, 2):
        pairs = [(a, b) for a in _words(one) for b in _words(other)]
        if any(overlap(a, b) for a, b in pairs):
            found.append(f"the words of cables {one.number} and {other.number} meet")
    return found


def _words(cable: Cable) -> list[Rect]:
    return [*loads(cable), *tags(cable)]
