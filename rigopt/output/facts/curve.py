"""What is told of each point of a curve, as numbers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from rigopt.answers.outcome import Answered
from rigopt.answers.series import Curve, Point
from rigopt.output.facts.units import mix
from rigopt.rig.figures import Figures, figures


@dataclass(frozen=True, slots=True)
class Mark:
    """A point that has a rig, and how it differs from the one before.

    `step`: what it costs more, in minor units; None for the first. `hosts`: how many of
    each, by device id. `moved`: they are others than before.
    """

    mic: int
    answer: Answered
    known: Figures
    step: int | None
    hosts: Mapping[str, int]
    moved: bool

    @property
    def total(self) -> int:
        """Minor units."""
        return self.answer.rig.total

    @property
    def room(self) -> int:
        """Microphones for which there are inputs, used or spare."""
        return self.known.kinds[0].used + self.known.kinds[0].spare


def marks(curve: Curve) -> list[Mark]:
    """The points with a rig, in their order."""
    found: list[Mark] = []
    for point in curve.points:
        if point.answer is not None:
            found.append(_mark(point, point.answer, found[-1] if found else None))
    return found


def levels(shown: Sequence[Mark]) -> list[list[Mark]]:
    """Neighbours of the same price, two at least."""
    groups = [list(group) for _, group in groupby(shown, key=lambda mark: mark.total)]
    return [group for group in groups if len(group) > 1]


def proven(shown: Sequence[Mark]) -> bool:
    """Whether every rig is proven the cheapest."""
    return all(mark.answer.proven for mark in shown)


def _mark(point: Point, answer: Answered, before: Mark | None) -> Mark:
    rig = answer.rig
    hosts = mix(unit for unit in rig.units if unit.role == "host")
    return Mark(
        mic=point.mic,
        answer=answer,
        known=figures(rig),
        step=None if before is None else rig.total - before.total,
        hosts=hosts,
        moved=before is not None and hosts != before.hosts,
    )
