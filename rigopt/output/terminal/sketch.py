"""The wiring drawn in plain text, a line for each cable."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from wcwidth import width

from rigopt.output.facts.cables import Bundle, is_line, strands
from rigopt.output.facts.clocks import goes_back, goes_there
from rigopt.output.terminal.layout import COLUMNS, ended
from rigopt.output.words.clean import clean
from rigopt.output.words.wiring import end_sockets, start_sockets
from rigopt.rig.types import Rig

_LEAST: Final = 8
"""Columns that a name keeps whatever else is on the line."""


def sketch(rig: Rig) -> str:
    """Cables by the numbers of the cable table, from socket to socket.

    '1  expander-1* out 1 --- optical: 8 ch audio and clock --> host-1 in 1'
    """
    if not rig.links:
        return "There is no cable to draw."
    shown = strands(rig.links)
    room = _room(shown, rig)
    marks = {unit.name: _short(unit.name, room) for unit in rig.units}
    for unit in rig.masters:
        marks[unit.name] += "*"
    lefts = [f"{marks[one.first.after or one.first.from_unit]} {_start(one)}" for one in shown]
    rights = [f"{marks[one.first.to_unit]} {_end(one)}" for one in shown]
    loads = [_middle(one, rig) for one in shown]
    left, middle = max(map(width, lefts)), max(map(len, loads)) + len("-->")
    digits = len(str(max(one.numbers[0] for one in shown)))
    lines = [
        f"{one.numbers[0]:>{digits}}  {start}{' ' * (left - width(start))} "
        f"{load.ljust(middle - 1, '-')}{'>' if goes_there(one.first, rig.units) else '-'} {end}"
        for one, start, load, end in zip(shown, lefts, loads, rights, strict=True)
    ]
    return "\n".join([*lines, "* clock master"])


def _middle(strand: Bundle, rig: Rig) -> str:
    """'--- optical: 8 ch audio ', with an arrow to the left if anything goes back."""
    arrow = "<--" if goes_back(strand.first, rig.units) else "---"
    return f"{arrow} {strand.first.kind}: {_load(strand)} "


def _start(strand: Bundle) -> str:
    """'out 1', 'out 1–8'; the kind of socket stands in the middle."""
    return start_sockets(strand).removeprefix(f"{strand.first.kind} ").removeprefix("direct ")


def _end(strand: Bundle) -> str:
    return end_sockets(strand).removeprefix(f"{strand.first.kind} ").removeprefix("line ")


def _load(strand: Bundle) -> str:
    """'8 ch audio and clock', '16/8 ch and clock' both ways, 'clock alone'."""
    link = strand.first
    if is_line(link):
        return f"{len(strand.links)} ch"
    if "audio" not in link.carries:
        return "clock alone"
    clock = " and clock" if "clock" in link.carries else ""
    if link.back:
        return f"{link.channels}/{link.back} ch{clock}"
    return f"{link.channels} ch audio{clock}"


def _room(shown: Sequence[Bundle], rig: Rig) -> int:
    """Columns for a name, so that the longest line fits: two names, and the rest."""
    parts = [(len(_start(x)), len(f"{_middle(x, rig)}-->"), len(_end(x))) for x in shown]
    rest: int = sum(map(max, zip(*parts, strict=True)))
    spaces_and_star = len(f"{len(shown)}  *    ")
    return max(_LEAST, (COLUMNS - rest - spaces_and_star) // 2)


def _short(name: str, room: int) -> str:
    """A name in at most `room` columns, an ellipsis where it goes on."""
    shown = clean(name)
    return shown if width(shown) <= room else ended(shown, room)
