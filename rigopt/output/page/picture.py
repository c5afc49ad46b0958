"""The wiring picture as SVG text, to be styled by the page's classes."""

from __future__ import annotations

from collections.abc import Sequence

from rigopt.output.page.geometry import Cable, Drawing, Point
from rigopt.output.page.templates import template


def picture_svg(drawing: Drawing, key: str) -> str:
    """An `svg` element that stands alone or inside a page; `key` begins its ids."""
    found = template("picture.svg.j2")
    return found.render(drawing=drawing, key=key, path=path, arrow=arrow)


def path(points: Sequence[Point]) -> str:
    """The line through `points` in the language of SVG paths."""
    return "M" + " L".join(f"{x} {y}" for x, y in points)


def arrow(cable: Cable) -> str:
    """The head of the arrow at the input socket."""
    (before, _), (x, y) = cable.points[-2:]
    back = x + 11 if before > x else x - 11
    return f"M{x} {y} L{back} {y - 6} L{back} {y + 6} Z"
