"""What optical cables are known for, with its sources."""

from __future__ import annotations

from rigopt.facts import RATE_MULTIPLIER
from rigopt.rig.types import Link, Rig


def longer_than(link: Link) -> int | None:
    """The length in mm that is sure to work with its format, if its cable is longer."""
    sure = link.format.warn_mm
    if sure is None or link.cable is None or link.cable.length_mm <= sure:
        return None
    return sure


def by_hand(link: Link, rate_hz: int) -> bool:
    """Whether its receiver normally cannot tell the rate from the signal.

    So it is with an optical format that has fewer channels at the class than at 1x, since
    its line rate stays (Linux kernel `hdspm.c`, comment over `hdspm_rate_multiplier()`, text).
    """
    row = link.format
    return row.socket == "optical" and row.carries(RATE_MULTIPLIER[rate_hz]) < row.carries(1)


def set_by_hand(rig: Rig) -> bool:
    """Whether the rate has to be set by hand at the ends of some cable."""
    return any(by_hand(link, rig.rate_hz) for link in rig.links)
