"""What the wiring picture consists of, as numbers: boxes, lettering, cables.

Everything is in whole pixels, x to the right and y downwards, so that a picture can be
checked without being drawn.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from rigopt.output.facts.cables import Bundle, is_line
from rigopt.output.page.lettering import Style, width
from rigopt.rig.types import Link, Unit

Anchor = Literal["start", "middle", "end"]
Point = tuple[int, int]

NAME: Final = Style("name", 13, bold=True)
SMALL: Final = Style("small", 11)
BADGE: Final = Style("badge", 11, bold=True)
SOCKET: Final = Style("socket", 11)
FREE: Final = Style("free", 10)
LOAD: Final = Style("load", 10)


@dataclass(frozen=True, slots=True)
class Rect:
    """A rectangle by its upper left corner."""

    x: int
    y: int
    width: int
    height: int

    @property
    def right(self) -> int:
        """The x of its right edge."""
        return self.x + self.width

    @property
    def bottom(self) -> int:
        """The y of its lower edge."""
        return self.y + self.height


@dataclass(frozen=True, slots=True)
class Lettering:
    """One line of text; `x` is where its start, middle or end stands, `y` its base line."""

    x: int
    y: int
    text: str
    style: Style
    anchor: Anchor = "start"

    @property
    def rect(self) -> Rect:
        """The most room it takes, from the tallest letter (without accent) to the lowest."""
        wide = width(self.text, self.style)
        left = {"start": self.x, "middle": self.x - wide // 2, "end": self.x - wide}
        above, below = self.style.size * 4 // 5, self.style.size // 4
        return Rect(left[self.anchor], self.y - above, wide, above + below)


@dataclass(frozen=True, slots=True)
class Box:
    """One unit. `badge` is the plate behind 'clock master', None on every other unit."""

    unit: Unit
    rect: Rect
    letters: tuple[Lettering, ...]
    badge: Rect | None
    told: str


@dataclass(frozen=True, slots=True)
class Cable:
    """A line from an output socket (first point) to an input socket (last point).

    It is one digital link, or all analogue ones between two units; `number` is that of its
    cable, or of the first. `tags` are the middles of the two plates with its number;
    `letters` say its load, beside the output socket. `there` and `back`: whether anything goes
    to its last point, and to its first, where it has an arrow.
    """

    number: int
    bundle: Bundle
    points: tuple[Point, ...]
    tags: tuple[Point, Point]
    letters: tuple[Lettering, ...]
    told: str
    there: bool = True
    back: bool = False

    @property
    def link(self) -> Link:
        """Its link, or the first."""
        return self.bundle.first

    @property
    def load(self) -> Literal["audio", "clock", "both", "analogue"]:
        """What it carries, which is also its style of line."""
        if is_line(self.link):
            return "analogue"
        if "audio" not in self.link.carries:
            return "clock"
        return "both" if "clock" in self.link.carries else "audio"


@dataclass(frozen=True, slots=True)
class Drawing:
    """A whole picture."""

    width: int
    height: int
    boxes: tuple[Box, ...]
    cables: tuple[Cable, ...]
