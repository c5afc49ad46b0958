"""Named sources on the inputs of a repaired rig: as few as may be have to move."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from rigopt.needs.types import Needs
from rigopt.optimiser.decode.di import boxes
from rigopt.optimiser.decode.places import Place
from rigopt.optimiser.decode.seating import seated
from rigopt.rig.wired import StatedInput, WiredRig, through


def reseat(rig: WiredRig, needs: Needs, before: Mapping[str, Place]) -> WiredRig | None:
    """`rig` with every source of `needs` on an input; None if a pair is not side by side.

    `before` says where named sources were.
    """
    if not needs.sources:
        return replace(rig, stated=())
    seating = seated(needs, rig.units, rig.links, before, boxes(rig.units))
    if seating.split_pairs:
        return None
    seats = {
        item.source: StatedInput(
            None, item.unit, item.channel, item.use, item.source, through=through(item)
        )
        for item in seating.inputs
        if item.source is not None
    }
    listed = tuple(seats[line.name] for line in needs.sources)
    return replace(rig, units=seating.units, stated=listed)
