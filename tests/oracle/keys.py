"""The key of a finished rig, as the opinions write it."""

from __future__ import annotations

from rigopt.rig.types import Rig

Key = tuple[int, ...]


def key_of(rig: Rig | None) -> Key | None:
    """Money, units, links (analogue ones by the piece), hops, and minus the
    microphone-capable channels that arrive.
    """
    if rig is None:
        return None
    digital = sum(link.piece is None for link in rig.links)
    pieces = len({link.piece for link in rig.links} - {None})
    arriving = sum("mic" in one.accepts for one in rig.inputs)
    return rig.total, len(rig.units), digital + pieces, rig.clock_hops, -arriving
