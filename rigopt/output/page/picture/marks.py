"""What a page has to say of single units and cables, beyond what they are."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final, Literal, NamedTuple


class Mark(NamedTuple):
    """A word that a unit or a cable is marked with, and what more is said there."""

    kind: Literal["fault", "new", "changed", "removed"]
    text: str = ""

    @property
    def told(self) -> str:
        """'Fault: no clock comes in', 'New'."""
        word = self.kind.capitalize()
        return f"{word}: {self.text}" if self.text else word


class Marks(NamedTuple):
    """Marks of units by name, and of cables by number."""

    units: Mapping[str, Sequence[Mark]] = {}
    cables: Mapping[int, Sequence[Mark]] = {}


NO_MARKS: Final = Marks()
