"""The wiring picture as SVG text, to be styled by the page's classes."""

from __future__ import annotations

from collections.abc import Sequence

from rigopt.output.page.geometry import Cable, Drawing, Point
from rigopt.output.page.templates import template


def picture_svg(drawing: Drawing, key: str) -> str:
    """An `svg` element that stands alone or inside a page; `key` begins its ids."""
    found = template("picture.svg.j2")
    return found.render(drawing=drawing, key=key, path=path, arrows=arrows)


def path(points: Sequence[Point]) -> str:
    """The line through `points` in the language of SVG paths."""
    return "M" + " L".join(f"{x} {y}" for x, y in points)


def arrows(cable: Cable) -> str:
    """The heads of its arrows: where it ends, where it begins, or both."""
    heads = [_head(*cable.points[-2:])] if cable.there else []
    heads += [_head(*cable.points[1::-1])] if cable.back else []
    return " ".join(heads)


def _head(from_point: Point, to_point: Point) -> str:
    """The head of an arrow at `to_point`."""
    (before, _), (x, y) = from_point, to_point
    back = x + 11 if before > x else x - 11
    return f"M{x} {y} L{back} {y - 6} L{back} {y + 6} Z"
