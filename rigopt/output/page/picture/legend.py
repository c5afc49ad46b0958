"""What the lines of a picture mean: only those that are in it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from rigopt.output.page.picture.order import Stem
from rigopt.output.page.picture.types import Group, Out, Section, Tap, Wire
from rigopt.rig.types import Rig

LEGEND: Final = (
    ("analogue", "thin: analogue (microphones, lines, loudspeakers)"),
    ("audio", "thick: digital audio"),
    ("both", "thick with ticks: audio and clock"),
    ("clock", "thin with ticks: clock alone"),
    ("computer", "double: to the computer"),
)
"""Styles of line by their class in the style sheet."""


def legend(sections: Iterable[Section]) -> tuple[tuple[str, str], ...]:
    """The entries for what is there."""
    found = {kind for section in sections for kind in _kinds(section)}
    return tuple(entry for entry in LEGEND if entry[0] in found)


def wires(section: Section) -> list[Wire]:
    """Every cable of a section, of which each is told once."""
    rows = [row for stack in section.stacks for row in stack.rows]
    found = [row.left.wire for row in rows if isinstance(row.left, Tap)]
    found += [row.wire for row in rows]
    return [wire for wire in found if wire is not None]


def remarks(rig: Rig, stems: Sequence[Stem]) -> tuple[str, ...]:
    """What has to be said beside the legend of this picture."""
    said = []
    if rig.links:
        said.append(
            "The number on a line is its cable's; arrows point to the socket that receives."
        )
    if any(len(stem.bundles) > 1 for stem in stems):
        said.append("A line that branches is one cable to each branch.")
    if any(item.use == "mic" and not item.phantom for item in rig.inputs):
        said.append("A ribbon microphone goes only where 48 V is off.")
    return tuple(said)


def _kinds(section: Section) -> Iterable[str]:
    yield from (wire.load for wire in wires(section))
    if section.host is not None:
        yield "computer"
    lefts = [row.left for stack in section.stacks for row in stack.rows]
    if section.outs or any(_analogue(left) for left in lefts):
        yield "analogue"


def _analogue(left: object) -> bool:
    """Whether a line of analogue sound is drawn there."""
    return isinstance(left, Out) or (
        isinstance(left, Group) and left.kind not in ("lost", "spare")
    )
