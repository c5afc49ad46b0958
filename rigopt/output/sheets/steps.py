"""The steps of the set-up of one rig, in the order in which a careful person works."""

from __future__ import annotations

from rigopt.output.sheets import (
    cabling,
    clocking,
    levels,
    listening,
    phantom,
    placing,
    power,
    proof,
    sockets,
    sources,
)
from rigopt.output.sheets.trouble import trouble
from rigopt.output.sheets.types import Step
from rigopt.rig.types import Rig


def steps(rig: Rig) -> tuple[Step, ...]:
    """Only what this rig needs, by the names of its own units, sockets and cables."""
    return (
        placing.down(rig),
        placing.place(rig),
        cabling.computer(rig),
        *cabling.cables(rig),
        *cabling.lines(rig),
        power.power(rig),
        *sockets.optical(rig),
        *sockets.shared(rig),
        *clocking.clock(rig),
        clocking.rate(rig),
        *clocking.lock(rig),
        *levels.levels(rig),
        *sources.patch(rig),
        *phantom.phantom(rig),
        listening.monitor(rig),
        *proof.prove(rig),
        trouble(rig),
    )
