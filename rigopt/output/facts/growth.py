"""What stages of a growing rig come to, one after the other."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import accumulate
from typing import NamedTuple

from rigopt.answers.growth import Grown, Growth
from rigopt.output.facts.units import mix


class Stage(NamedTuple):
    """One stage: the devices that stand then, what is paid then, and all paid so far."""

    title: str
    mic: int
    devices: Mapping[str, int]
    outlay: int
    so_far: int


def stages(growth: Growth) -> list[Stage]:
    """The stages in their order."""
    sums = accumulate(step.outlay for step in growth.steps)
    return [
        Stage(step.title, step.needs.mic, mix(step.rig.units), step.outlay, so_far)
        for step, so_far in zip(growth.steps, sums, strict=True)
    ]


def saved(found: Grown) -> int:
    """What looking ahead saves against buying one stage after the other; 0 if not known."""
    return found.one_by_one.total - found.together.total if found.one_by_one else 0
