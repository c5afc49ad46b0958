"""What optical cables are known for, with its sources."""

from __future__ import annotations

from rigopt.facts import OPTICAL_WARNING_MM, RATE_MULTIPLIER
from rigopt.rig.types import Link, Rig


def is_long(link: Link) -> bool:
    """Whether it is optical and above 5 m, where plastic fibre is not sure to work.

    Common practice, no source.
    """
    if link.kind != "optical" or link.cable is None:
        return False
    return link.cable.length_mm > OPTICAL_WARNING_MM


def set_by_hand(rig: Rig) -> bool:
    """Whether optical cables run at 2x or 4x, which a receiver normally cannot detect.

    Linux kernel `hdspm.c`, comment over `hdspm_rate_multiplier()` (text).
    """
    optical = any(link.kind == "optical" for link in rig.links)
    return optical and RATE_MULTIPLIER[rig.rate_hz] > 1
