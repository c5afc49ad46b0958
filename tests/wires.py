"""Links for tests: of a format, by its row, its id, or the kind of its sockets."""

from __future__ import annotations

from typing import Any

from rigopt.facts import FORMATS, Format
from rigopt.rig.links import Wire
from rigopt.rig.types import Link


def row(name: str | Format) -> Format:
    """The format of that name; 'optical' is light-pipe."""
    if not isinstance(name, str):
        return name
    return FORMATS.get(name) or next(r for r in FORMATS.values() if r.socket == name)


def wire(
    name: str | Format, sender: str, out: int, to: str, into: int, *more: Any, **rest: Any
) -> Wire:
    """A cable from an output to an input; `more` as in `Wire`."""
    return Wire(row(name), sender, out, to, into, *more, **rest)


def link(
    name: str | Format, sender: str, out: int, to: str, into: int, *more: Any, **rest: Any
) -> Link:
    """The same as a finished link; `more` as in `Link`."""
    return Link(row(name), sender, out, to, into, *more, **rest)
