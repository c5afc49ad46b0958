"""Line outputs that count, and which of them feed headphone amplifiers."""

from __future__ import annotations

from typing import NamedTuple

from rigopt.output.facts.cables import is_line
from rigopt.rig.types import Rig, Unit


class Feed(NamedTuple):
    """A headphone amplifier with the outputs that feed it, each by unit and number.

    Without any it is idle.
    """

    unit: Unit
    outputs: tuple[tuple[str, int], ...]


def outputs(rig: Rig) -> list[tuple[str, int]]:
    """The line outputs that count: those of hosts, then those that a cable feeds."""
    hosts = {unit.name: unit.device.line_out for unit in rig.units if unit.role == "host"}
    fed = {unit.name: 0 for unit in rig.units if unit.role == "expander"}
    for link in rig.links:
        # An analogue link ends at an input.
        if link.to_unit in fed and not is_line(link):
            fed[link.to_unit] += link.channels
        if link.from_unit in fed:
            fed[link.from_unit] += link.back
    return [
        (name, number) for name, most in (hosts | fed).items() for number in range(1, most + 1)
    ]


def feeds(rig: Rig) -> list[Feed]:
    """Every amplifier. They take the last outputs, so that the first are left for monitors."""
    left = outputs(rig)
    fed = _fed(rig, len(left))
    found = []
    for unit in rig.units:
        if unit.role == "headphones":
            taken = unit.device.line_in if unit in fed else 0
            start = len(left) - taken
            found.append(Feed(unit, tuple(left[start:])))
            del left[start:]
    return found


def _fed(rig: Rig, lines: int) -> tuple[Unit, ...]:
    """The amplifiers that give the most headphone outputs on so many line outputs."""
    best: dict[int, tuple[Unit, ...]] = {0: ()}
    for unit in rig.units:
        if unit.role == "headphones":
            for used, chosen in list(best.items()):
                more, now = used + unit.device.line_in, (*chosen, unit)
                if more <= lines and _phones(now) > _phones(best.get(more, ())):
                    best[more] = now
    return max(best.values(), key=_phones)


def _phones(units: tuple[Unit, ...]) -> int:
    return sum(unit.device.phones for unit in units)
