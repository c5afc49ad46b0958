"""Several hosts as one device of the computer."""

from __future__ import annotations

from collections.abc import Iterator

from rigopt.output.facts.clocks import own_clocks
from rigopt.output.words.phrases import listed
from rigopt.rig.types import Rig


def joined(rig: Rig) -> Iterator[str]:
    """One device of several hosts; drift correction for those on clocks of their own.

    An OS maker's guide (text): one rate, the most reliable clock as that of the device, and
    drift correction on the others unless a cable locks them.
    """
    hosts = [unit.name for unit in rig.units if unit.role == "host"]
    if len(hosts) < 2:
        return
    yield f"On the computer, join {listed(hosts)} into one aggregate device, in this order."
    apart = own_clocks(rig)
    if apart:
        yield (
            f"In it, take {hosts[0]} as the clock and switch drift correction (resampling) on "
            f"for {listed(apart)}: nothing else keeps {'it' if len(apart) == 1 else 'them'} in "
            f"time with {hosts[0]}."
        )
    if locked := [name for name in hosts[1:] if name not in apart]:
        yield f"Leave drift correction off for {listed(locked)}, which a cable locks."
