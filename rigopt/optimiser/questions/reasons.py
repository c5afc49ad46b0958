"""Why there is no rig, in words."""

from __future__ import annotations

from collections.abc import Iterator

from rigopt.optimiser.problem.problem import Problem
from rigopt.rig.counts import asked


def reasons(problem: Problem) -> tuple[str, ...]:
    """What stands in the way, as far as it can be told without searching."""
    rate = f"{problem.rate_hz / 1000:g} kHz"
    if not problem.hosts:
        ports = ", ".join(problem.needs.ports)
        return (f"no host that can be bought or is owned works at {rate} on {ports}",)
    missing = [item for item in problem.needs.require if item not in _usable(problem)]
    if missing:
        return tuple(f"{item} is required, but cannot be had at {rate}" for item in missing)
    if short := tuple(_short(problem)):
        return short
    return (f"no rig of this catalogue meets all of these needs together at {rate}",)


def _usable(problem: Problem) -> set[str]:
    return {device.id for device in problem.devices}


def _short(problem: Problem) -> Iterator[str]:
    """Extras of which there are too few, whatever the rig."""
    for extra in problem.extras:
        needed = extra.each * asked(extra.per, problem.needs)
        there = problem.obtainable(extra.id)
        if not problem.unlimited(extra.id) and there < needed:
            yield f"{needed} pieces of {extra.id} are needed, and only {there} can be had"
