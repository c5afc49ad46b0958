"""Why no repair keeps the units: what cannot be, or which need stands in the way.

Each need is left out in turn; if a repair is possible without it, it is a cause.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from rigopt.answers.repair import Cause, Unmet, UnmetName
from rigopt.facts import ANALOGUE
from rigopt.optimiser.questions.repair.case import Case
from rigopt.optimiser.questions.repair.model import can
from rigopt.optimiser.solver.run import Deadline

MEANS: Final = ("budget", "cables")
"""What is at hand; if one of these alone stands in the way, it is the cause."""

NEEDS: Final[tuple[UnmetName, ...]] = ("inputs", "outputs", "hops", "master")
"""What is asked of the units."""


def causes(case: Case, deadline: Deadline) -> tuple[Cause, ...]:
    """What stands in the way.

    Raises:
        TimeIsUpError: When the deadline comes before that is known.
    """
    found = tuple(_clocks(case))
    if found:
        return found
    if can(case, deadline, "budget"):
        return (Cause("budget"),)
    if can(case, deadline, "cables"):
        kinds = (*case.kinds, *([ANALOGUE] if case.analogue.outs else []))
        return (Cause("cables", tuple(kind for kind in kinds if not case.shelf(kind))),)
    unmet = tuple(_unmet(case, need) for need in NEEDS if can(case, deadline, need))
    if unmet:
        return (Cause("needs", unmet=unmet),)
    return (Cause("many needs" if can(case, deadline, *MEANS, *NEEDS) else "clock"),)


def _unmet(case: Case, name: UnmetName) -> Unmet:
    needs = case.needs
    values: dict[UnmetName, int | str] = {
        "inputs": needs.inputs,
        "outputs": needs.out_line,
        "hops": needs.max_hops,
        "master": needs.master,
    }
    return Unmet(name, values[name])


def _clocks(case: Case) -> Iterator[Cause]:
    """What no cable can cure. A unit that is no host can do without a clock."""
    alone = [
        unit
        for unit in case.hosts
        if not any(socket.locks for socket in case.sockets[unit.name].values())
    ]
    if len(alone) > 1 and not case.needs.own_clocks:
        yield Cause("cannot lock", tuple(unit.name for unit in alone))
    for unit in alone:
        if not unit.device.internal_clock:
            yield Cause("no clock", (unit.name,))
    digital = [unit for unit in case.units if unit.role in ("host", "expander", "clock")]
    if not any(unit.device.internal_clock for unit in digital):
        yield Cause("no master")
