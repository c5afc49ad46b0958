"""The steps of the set-up of one rig, in the order in which a careful person works."""

from __future__ import annotations

from typing import Final

from rigopt.needs.types import Needs
from rigopt.output.sheets import (
    alone,
    cabling,
    clocking,
    joining,
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

_UNSAID: Final = Needs()


def steps(rig: Rig, needs: Needs = _UNSAID) -> tuple[Step, ...]:
    """Only what this rig needs, by the names of its own units, sockets and cables.

    `needs` tells which microphones ask for 48 V, and which must not get it.
    """
    return (
        *phantom.question(rig, needs),
        placing.down(rig),
        *alone.prepare(rig),
        placing.place(rig),
        cabling.computer(rig),
        *cabling.cables(rig),
        *cabling.lines(rig),
        *listening.plug(rig),
        power.on(rig),
        *sockets.optical(rig),
        *sockets.shared(rig),
        clocking.rate(rig),
        *clocking.clock(rig),
        *clocking.lock(rig),
        *joining.join(rig),
        *levels.match(rig),
        *sources.patch(rig, needs),
        *phantom.phantom(rig),
        *levels.gains(rig),
        *proof.prove(rig),
        listening.monitor(rig),
        power.end(rig),
        trouble(rig),
    )
