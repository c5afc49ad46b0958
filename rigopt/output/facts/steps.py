"""A curve of prices as a flight of steps: which counts cost the same."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from rigopt.answers.outcome import Answered, Impossible
from rigopt.answers.series import Curve
from rigopt.output.facts.units import mix


class Flat(NamedTuple):
    """Neighbouring counts with the same units at the same price, in minor units.

    `moved`: its hosts are others than those of the one before.
    """

    first: int
    last: int
    total: int
    devices: Mapping[str, int]
    hosts: Mapping[str, int]
    moved: bool


def flats(curve: Curve) -> list[Flat]:
    """All counts with a rig, asked for or between; a count that is not known is a gap."""
    found: list[Flat] = []
    for point in sorted([*curve.points, *curve.between], key=lambda point: point.mic):
        if isinstance(point.outcome, Answered):
            _add(found, point.mic, point.outcome)
    return found


def none_from(curve: Curve) -> int | None:
    """The fewest microphones of which it is known that no rig can have them."""
    points = [*curve.points, *curve.between]
    return min((p.mic for p in points if isinstance(p.outcome, Impossible)), default=None)


def _add(found: list[Flat], mic: int, answer: Answered) -> None:
    rig = answer.rig
    devices = mix(rig.units)
    before = found[-1] if found else None
    if before and before[1:4] == (mic - 1, rig.total, devices):
        found[-1] = before._replace(last=mic)
        return
    hosts = mix(unit for unit in rig.units if unit.role == "host")
    moved = before is not None and before.hosts != hosts
    found.append(Flat(mic, mic, rig.total, devices, hosts, moved))
