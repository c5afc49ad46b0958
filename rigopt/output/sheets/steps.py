"""The steps of the set-up of one rig, in the order in which a careful person works."""

from __future__ import annotations

from rigopt.output.sheets import after, analogue, before, settings
from rigopt.output.sheets.trouble import trouble
from rigopt.output.sheets.types import Step
from rigopt.rig.types import Rig


def steps(rig: Rig) -> tuple[Step, ...]:
    """Only what this rig needs, by the names of its own units, sockets and cables."""
    return (
        before.down(rig),
        before.place(rig),
        before.computer(rig),
        *before.cables(rig),
        *before.lines(rig),
        before.power(rig),
        *settings.optical(rig),
        *settings.shared(rig),
        *settings.clock(rig),
        settings.rate(rig),
        *settings.lock(rig),
        *analogue.levels(rig),
        *after.patch(rig),
        *after.phantom(rig),
        after.monitor(rig),
        *after.prove(rig),
        trouble(rig),
    )
