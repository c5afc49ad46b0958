"""Why a wired rig has no repair that keeps its units, in sentences."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from rigopt.answers.repair import Cause, CauseName, NoRepair, Unmet, UnmetName
from rigopt.output.words.findings import says
from rigopt.output.words.phrases import listed, seconds

_UNMET: Final[dict[UnmetName, str]] = {
    "inputs": "an input for every source that is asked for",
    "outputs": "a feed for {} line output{s}",
    "hops": "a clock chain of {} cable{s} at most",
    "master": "a clock master that is {}",
}


def reasons(found: NoRepair) -> tuple[str, ...]:
    """One sentence for each fault and cause."""
    return (
        *(says(fault) for fault in found.of_units),
        *(f"{says(fault)}: no cable cures that" for fault in found.of_list),
        *(_SAID[cause.name](cause) for cause in found.causes),
    )


def _cables(cause: Cause) -> str:
    few = f" (none at all of the kind {' or '.join(cause.items)})" if cause.items else ""
    return f"the catalogue sells no cable that would be long enough{few}"


def _needs(cause: Cause) -> str:
    said = listed([_noun(unmet) for unmet in cause.unmet])
    if len(cause.unmet) == 1:
        return f"{said} is more than these units can do"
    return f"{said} cannot be had together from these units"


def _noun(unmet: Unmet) -> str:
    return _UNMET[unmet.name].format(unmet.value, s="" if unmet.value == 1 else "s")


_SAID: Final[dict[CauseName, Callable[[Cause], str]]] = {
    "size": lambda _: "this rig is too large to be repaired by calculation",
    "prices": lambda _: "the prices of cables are too large to add up exactly",
    "time": lambda cause: f"none was found within {seconds(cause.seconds)}; there may be one",
    "cannot lock": lambda cause: (
        f"{' and '.join(cause.items)} can lock to nothing at this rate, so each would have to"
        " be the one clock master"
    ),
    "no clock": lambda cause: (
        f"{cause.items[0]} can lock to nothing at this rate, and has no clock of its own"
    ),
    "no master": lambda _: "no unit has a clock of its own to be the master",
    "clock": lambda _: "these units cannot all be joined to one clock, whatever the cables",
    "budget": lambda _: "the cables would cost more than the budget",
    "cables": _cables,
    "needs": _needs,
    "many needs": lambda _: "several of the needs together are more than these units can do",
}
