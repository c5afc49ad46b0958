"""Why no repair keeps the units: what cannot be, or which wish stands in the way.

Each wish is left out in turn; if a repair is possible without it, it is a reason.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from rigopt.facts import KINDS
from rigopt.optimiser.questions.repair.case import Case
from rigopt.optimiser.questions.repair.model import can
from rigopt.optimiser.solver.run import Deadline
from rigopt.rig.types import Unit

MEANS = ("budget", "cables")
"""What is at hand; if this alone stands in the way, it is the reason."""

WISHES = ("inputs", "outputs", "hops", "master")
"""What is asked of the units."""


def reasons(case: Case, deadline: Deadline) -> tuple[str, ...]:
    """What stands in the way, as far as it can be told."""
    found = tuple(_clocks(case))
    if found:
        return found
    for means in MEANS:
        if can(replace(case, relaxed=frozenset([means])), deadline):
            return (_words(case, means),)
    guilty = [w for w in WISHES if can(replace(case, relaxed=frozenset([w])), deadline)]
    if guilty:
        return _each(case, guilty)
    if can(replace(case, relaxed=frozenset([*MEANS, *WISHES])), deadline):
        return ("several of the needs together are more than these units can do",)
    return ("these units cannot all be joined to one clock, whatever the cables",)


def _each(case: Case, guilty: Sequence[str]) -> tuple[str, ...]:
    """One wish that cannot be met; or several that cannot be met together."""
    if len(guilty) == 1:
        return (f"{_words(case, guilty[0])} is more than these units can do",)
    *most, last = (_words(case, wish) for wish in guilty)
    return (f"{', '.join(most)} and {last} cannot be had together from these units",)


def stuck(case: Case, unit: Unit) -> bool:
    """Whether a unit can lock to nothing at the rate."""
    return not any(case.live(unit, kind, "in") for kind in unit.device.clock_in)


def _clocks(case: Case) -> Iterator[str]:
    """What no cable can cure."""
    alone = [unit for unit in case.units if stuck(case, unit)]
    if len(alone) > 1:
        names = " and ".join(unit.name for unit in alone)
        yield (
            f"{names} can lock to nothing at this rate, so each would have to be the one"
            " clock master"
        )
    for unit in alone:
        if not unit.device.internal_clock:
            yield f"{unit.name} can lock to nothing at this rate, and has no clock of its own"
    if not any(unit.device.internal_clock for unit in case.units):
        yield "no unit has a clock of its own to be the master"


def _words(case: Case, wish: str) -> str:
    needs = case.needs
    if wish == "cables":
        kinds = [kind for kind in KINDS if not case.shelf(kind)]
        few = f" (none at all of the kind {' or '.join(kinds)})" if kinds else ""
        return f"the catalogue sells no cable that would be long enough{few}"
    return {
        "budget": "the cables would cost more than the budget",
        "inputs": "an input for every source that is asked for",
        "outputs": f"a feed for {needs.out_line} line outputs",
        "hops": f"a clock chain of {needs.max_hops} cables at most",
        "master": f"a clock master that is {needs.master}",
    }[wish]
