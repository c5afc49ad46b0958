"""What the picture consists of: sections of rows, and what stands in the cells of a row.

From left to right a row has lanes, what comes in from the left, a unit, a cable, the host,
and what goes out of it. Every text is whole; its box grows with it.
"""

from __future__ import annotations

from typing import Literal, NamedTuple

from rigopt.output.page.picture.marks import Mark

Load = Literal["audio", "clock", "both", "analogue"]
"""What a digital cable carries, or that it is analogue: its style of line."""


class Box(NamedTuple):
    """The head of a unit. `clock` says what it runs on; `master`: on its own clock."""

    name: str
    part: str
    label: str
    clock: str
    master: bool
    marks: tuple[Mark, ...] = ()


class Wire(NamedTuple):
    """A cable with everything that is said of it.

    `numbers` are those of its cables: '3', or '3–6' of analogue ones between two units.
    `socket` is where its left end sits; `left` and `right`: whether an arrow is at that end.
    `fitted` is what sits on its end, such as a T-piece.
    """

    numbers: str
    load: Load
    left: bool
    right: bool
    socket: str
    name: str
    length: str
    fitted: str
    carries: str
    told: str
    marks: tuple[Mark, ...] = ()


class Group(NamedTuple):
    """Channels of a unit with the same kind of source on each.

    `kind` is that of the sources, 'spare' for free channels, 'lost' for those that do not
    reach the computer. `through` is the DI box on the way, if any.
    """

    kind: Literal["mic", "line", "instrument", "spare", "lost"]
    title: str
    remark: str
    channels: str
    inputs: str
    through: Box | None = None


class Out(NamedTuple):
    """Outputs of a unit and what is plugged in there; `box` if that is a unit of the rig."""

    kind: Literal["monitors", "headphones"]
    title: str
    socket: str
    box: Box | None = None


class Tap(NamedTuple):
    """Where a lane reaches a unit; without `wire` it is the end that sends.

    `stem` is the number of the lane's line, `head` whether an arrow points to the unit here.
    `inputs`: the computer's, of what comes in by analogue line.
    """

    stem: int
    load: Load
    head: bool
    socket: str
    inputs: str = ""
    wire: Wire | None = None


class Port(NamedTuple):
    """A socket of the host where a cable sits, and the computer inputs that it becomes."""

    socket: str
    inputs: str


class Lane(NamedTuple):
    """A lane within one row: a line from above, to below, and to the right, to a unit.

    `head` is whether an arrow ends at the unit; without any line, `load` does not matter.
    """

    load: Load = "clock"
    up: bool = False
    down: bool = False
    across: bool = False
    head: bool = False


class Row(NamedTuple):
    """One row. What is on the `left` belongs to its stack's unit, or else to the host."""

    left: Group | Tap | Out | None = None
    wire: Wire | None = None
    port: Port | None = None
    out: Out | None = None
    lanes: tuple[Lane, ...] = ()


class Stack(NamedTuple):
    """Rows that stay together: those of one unit, or, without a `box`, the host's own.

    `above` are the lanes in the gap before the first of them.
    """

    box: Box | None
    rows: tuple[Row, ...]
    above: tuple[Lane, ...] = ()


class Section(NamedTuple):
    """A host with the units beside it; without a host, units that none has.

    `port` and `inputs` are how the computer is joined to it, and which inputs it shows.
    `above` and `below` are the lanes that run past its head and its foot.
    """

    host: Box | None
    port: str
    inputs: str
    stacks: tuple[Stack, ...]
    outs: tuple[Out, ...] = ()
    above: tuple[Lane, ...] = ()
    below: tuple[Lane, ...] = ()


class Picture(NamedTuple):
    """A whole picture: `idle` units have no cable; `legend` and `remarks` say what is there.

    The legend names each style of line by its class in the style sheet.
    """

    sections: tuple[Section, ...]
    idle: tuple[Box, ...]
    legend: tuple[tuple[str, str], ...]
    remarks: tuple[str, ...]
