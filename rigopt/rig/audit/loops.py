"""Loops: following the clock back from a unit must end in a master."""

from __future__ import annotations

from collections.abc import Iterator

from rigopt.rig.audit import relock
from rigopt.rig.audit.finding import Finding, finding
from rigopt.rig.audit.forest import is_master
from rigopt.rig.audit.wiring import Wiring


def check_loops(wiring: Wiring) -> Iterator[Finding]:
    """Rule clock-loop: following the clock back from a unit must end in a master.

    A circle is named once, and not again for each unit that follows one of it.
    """
    circles = {circle[-1]: circle for circle in _circles(wiring)}
    for unit in wiring.units:
        clock = unit.clock
        if clock is not None and not is_master(unit) and clock.from_unit not in wiring.by_name:
            yield finding(
                "clock-loop", "nowhere", unit=unit.name, way=relock.missing(wiring, unit)
            )
        elif circle := circles.get(unit.name):
            steps = relock.crown(wiring) or relock.open_circle(wiring, circle)
            yield finding(
                "clock-loop",
                "circle",
                unit=unit.name,
                circle=" -> ".join((*circle, circle[0])),
                way=steps,
            )


def _circles(wiring: Wiring) -> Iterator[tuple[str, ...]]:
    """Each circle in the direction of the clock; the first unit of the rig in it is last."""
    passed: set[str] = set()
    for unit in wiring.units:
        way: dict[str, None] = {}
        name: str | None = unit.name
        while name in wiring.by_name and name not in passed and name not in wiring.places:
            passed.add(name)
            way[name] = None
            clock = wiring.unit(name).clock
            name = clock.from_unit if clock is not None else None
        if name in way:
            inside = list(way)[list(way).index(name) :]
            first = min(inside, key=list(wiring.by_name).index)
            start = inside.index(first)
            yield tuple(reversed(inside[start:] + inside[:start]))
