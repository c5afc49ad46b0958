"""The way of the clock, from a unit back to the master."""

from __future__ import annotations

from collections.abc import Sequence

from rigopt.rig.types import Unit


def chain(units: Sequence[Unit], start: Unit) -> tuple[str, ...] | None:
    """Names from `start` back to a unit on its internal clock; None if there is no end."""
    by_name = {unit.name: unit for unit in units}
    names = [start.name]
    while by_name[names[-1]].clock.source != "internal":
        before = by_name[names[-1]].clock.from_unit
        if before is None or before not in by_name or before in names:
            return None
        names.append(before)
    return tuple(names)
