"""What is told of each point of a curve, as numbers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from rigopt.answers.outcome import Answered
from rigopt.answers.series import Curve, Point
from rigopt.output.facts.records import mix, said
from rigopt.output.words.phrases import listed
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


def remarks(shown: Sequence[Mark]) -> list[str]:
    """Where the price stands still, and where the host changes."""
    found = []
    for group in _level(shown):
        if len(group) > 1:
            dear = listed([str(mark.mic) for mark in group[1:]])
            verb = "costs" if len(group) == 2 else "cost"
            found.append(f"{dear} {verb} the same as {group[0].mic}.")
    for before, mark in pairwise(shown):
        if mark.moved:
            found.append(
                f"The host changes at {mark.mic}: {said(mark.hosts)} instead of "
                f"{said(before.hosts)}."
            )
    return found


def _level(shown: Sequence[Mark]) -> list[list[Mark]]:
    """Neighbours of the same price."""
    groups: list[list[Mark]] = []
    for mark in shown:
        if groups and groups[-1][-1].total == mark.total:
            groups[-1].append(mark)
        else:
            groups.append([mark])
    return groups


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
