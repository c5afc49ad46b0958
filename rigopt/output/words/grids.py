"""Tables that a terminal and a page both show, in words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple


class Grid(NamedTuple):
    """A table with what belongs to it; without rows there are the `lines` alone.

    `soft` and `right` are headers: of the columns that give way to others, and of those of
    numbers. `known`: what ids in the table stand for. `lines`: sentences under it.
    """

    headers: Sequence[str]
    rows: Sequence[Sequence[str]]
    soft: Sequence[str]
    right: Sequence[str]
    known: Sequence[str] = ()
    lines: Sequence[str] = ()
