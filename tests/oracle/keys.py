"""The key of a finished rig, as the two opinions write it."""

from __future__ import annotations

from rigopt.rig.types import Rig

Key = tuple[int, ...]


def key_of(rig: Rig | None) -> Key | None:
    """Money, units, links, hops, and minus the microphone-capable channels that arrive."""
    if rig is None:
        return None
    arriving = sum("mic" in one.accepts for one in rig.inputs)
    return rig.total, len(rig.units), len(rig.links), rig.clock_hops, -arriving
