"""One stage of growth: the rig that stands then."""

from __future__ import annotations

from dataclasses import dataclass

from rigopt.needs.types import Needs
from rigopt.rig.types import Rig


@dataclass(frozen=True, slots=True)
class Step:
    """A stage, and in its rig what is bought for it and for later.

    `needs` are those of the stage; owned there is everything from before it.
    """

    title: str
    needs: Needs
    rig: Rig

    @property
    def outlay(self) -> int:
        """What is paid then, in the minor unit of the catalogue's currency."""
        return self.rig.total
