"""Why there is no rig, in words."""

from __future__ import annotations

from rigopt.optimiser.problem import Problem


def reasons(problem: Problem) -> tuple[str, ...]:
    """What stands in the way, as far as it can be told without searching."""
    rate = f"{problem.rate_hz / 1000:g} kHz"
    if not problem.hosts:
        ports = ", ".join(problem.needs.ports)
        return (f"no host that can be bought or is owned works at {rate} on {ports}",)
    missing = [item for item in problem.needs.require if item not in _usable(problem)]
    if missing:
        return tuple(f"{item} is required, but cannot be had at {rate}" for item in missing)
    return (f"no rig of this catalogue meets all of these needs together at {rate}",)


def _usable(problem: Problem) -> set[str]:
    return {device.id for device in problem.devices}
