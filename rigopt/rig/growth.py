"""Growth: stages of a rig, what is bought at each, and what they come to."""

from __future__ import annotations

from dataclasses import dataclass

from rigopt.needs.types import Needs
from rigopt.rig.types import Order, Purchase, Rig


@dataclass(frozen=True, slots=True)
class Step:
    """One stage: what is bought then, and the rig that stands afterwards.

    `needs` are those of the stage; owned there is everything from before it. `outlay` is
    what is paid then, in the minor unit of the catalogue's currency.
    """

    title: str
    needs: Needs
    purchases: tuple[Purchase, ...]
    orders: tuple[Order, ...]
    outlay: int
    rig: Rig


@dataclass(frozen=True, slots=True)
class Growth:
    """All stages; `bound` is the least that any way through them can cost."""

    steps: tuple[Step, ...]
    bound: int
    proven: bool

    @property
    def total(self) -> int:
        """What all stages come to."""
        return sum(step.outlay for step in self.steps)


@dataclass(frozen=True, slots=True)
class Grown:
    """The cheapest growth, beside the same stages bought one after the other.

    None beside it: without looking ahead, some stage cannot be reached.
    """

    together: Growth
    one_by_one: Growth | None
