"""The wiring drawn in plain text, a line for each cable."""

from __future__ import annotations

from typing import Final

from wcwidth import width

from rigopt.output.facts.clocks import goes_back, goes_there
from rigopt.output.terminal.layout import COLUMNS, ended
from rigopt.output.words.clean import clean
from rigopt.output.words.wiring import end_socket, start_socket
from rigopt.rig.types import Link, Rig

_LEAST: Final = 8
"""Columns that a name keeps whatever else is on the line."""


def sketch(rig: Rig) -> str:
    """Cables by the numbers of the cable table, from socket to socket.

    '1  expander-1* out 1 --- optical: 8 ch audio and clock --> host-1 in 1'
    """
    if not rig.links:
        return "There is no cable to draw."
    room = _room(rig)
    marks = {unit.name: _short(unit.name, room) for unit in rig.units}
    for unit in rig.masters:
        marks[unit.name] += "*"
    lefts = [f"{marks[link.after or link.from_unit]} {_start(link)}" for link in rig.links]
    rights = [f"{marks[link.to_unit]} {_end(link)}" for link in rig.links]
    loads = [_middle(link, rig) for link in rig.links]
    left, middle = max(map(width, lefts)), max(map(len, loads)) + len("-->")
    digits = len(str(len(rig.links)))
    lines = [
        f"{number:>{digits}}  {start}{' ' * (left - width(start))} "
        f"{load.ljust(middle - 1, '-')}{'>' if goes_there(link, rig.units) else '-'} {end}"
        for number, (start, load, end, link) in enumerate(
            zip(lefts, loads, rights, rig.links, strict=True), 1
        )
    ]
    return "\n".join([*lines, "* clock master"])


def _middle(link: Link, rig: Rig) -> str:
    """'--- optical: 8 ch audio ', with an arrow to the left if anything goes back."""
    arrow = "<--" if goes_back(link, rig.units) else "---"
    return f"{arrow} {link.kind}: {_load(link)} "


def _start(link: Link) -> str:
    return start_socket(link).removeprefix(f"{link.kind} ")


def _end(link: Link) -> str:
    return end_socket(link).removeprefix(f"{link.kind} ")


def _load(link: Link) -> str:
    """'8 ch audio and clock', '16/8 ch and clock' both ways, 'clock alone'."""
    if "audio" not in link.carries:
        return "clock alone"
    clock = " and clock" if "clock" in link.carries else ""
    if link.back:
        return f"{link.channels}/{link.back} ch{clock}"
    return f"{link.channels} ch audio{clock}"


def _room(rig: Rig) -> int:
    """Columns for a name, so that the longest line fits: two names, and the rest."""
    rest = max(len(f"{_start(link)}{_middle(link, rig)}-->{_end(link)}") for link in rig.links)
    spaces_and_star = len(f"{len(rig.links)}  *    ")
    return max(_LEAST, (COLUMNS - rest - spaces_and_star) // 2)


def _short(name: str, room: int) -> str:
    """A name in at most `room` columns, an ellipsis where it goes on."""
    shown = clean(name)
    return shown if width(shown) <= room else ended(shown, room)
