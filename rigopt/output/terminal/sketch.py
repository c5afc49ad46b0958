"""The wiring drawn in plain text, a line for each cable."""

from __future__ import annotations

from typing import Final

from wcwidth import width

from rigopt.output.terminal.layout import COLUMNS, ended
from rigopt.output.words.clean import clean
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
    marks[rig.master.name] += "*"
    lefts = [f"{marks[link.from_unit]} out {link.from_socket}" for link in rig.links]
    rights = [f"{marks[link.to_unit]} in {link.to_socket}" for link in rig.links]
    loads = [f"--- {link.kind}: {_load(link)} " for link in rig.links]
    left, middle = max(map(width, lefts)), max(map(len, loads)) + len("-->")
    digits = len(str(len(rig.links)))
    lines = [
        f"{number:>{digits}}  {start}{' ' * (left - width(start))} "
        f"{load.ljust(middle - 1, '-')}> {end}"
        for number, (start, load, end) in enumerate(zip(lefts, loads, rights, strict=True), 1)
    ]
    return "\n".join([*lines, "* clock master"])


def _load(link: Link) -> str:
    """'8 ch audio and clock', '8 ch audio', 'clock alone'."""
    if "audio" not in link.carries:
        return "clock alone"
    return f"{link.channels} ch audio" + (" and clock" if "clock" in link.carries else "")


def _room(rig: Rig) -> int:
    """Columns for a name, so that the longest line fits: two names, and the rest."""
    rest = max(
        len(f"out {link.from_socket}--- {link.kind}: {_load(link)} -->in {link.to_socket}")
        for link in rig.links
    )
    spaces_and_star = len(f"{len(rig.links)}  *    ")
    return max(_LEAST, (COLUMNS - rest - spaces_and_star) // 2)


def _short(name: str, room: int) -> str:
    """A name in at most `room` columns, an ellipsis where it goes on."""
    shown = clean(name)
    return shown if width(shown) <= room else ended(shown, room)
