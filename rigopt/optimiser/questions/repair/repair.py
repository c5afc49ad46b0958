"""A wired rig repaired: the least money for cables, then the least that has to change.

The units stay. With needs the repaired rig meets them; without, everything that was to
reach the computer, and every output that was fed, stays so as far as that can be.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from rigopt.answers.repair import Cause, NoRepair, Repaired
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.optimiser.problem.problem import state
from rigopt.optimiser.questions.repair.case import Case
from rigopt.optimiser.questions.repair.causes import causes
from rigopt.optimiser.questions.repair.model import solve
from rigopt.optimiser.questions.repair.read import read
from rigopt.optimiser.solver.linear import TooLargeError
from rigopt.optimiser.solver.run import Deadline, TimeIsUpError
from rigopt.optimiser.solver.watch import Watch
from rigopt.rig.banks import banks
from rigopt.rig.numbering import derive_inputs
from rigopt.rig.types import Unit
from rigopt.rig.wired import WiredRig

LARGEST = 60_000
"""Variables, about; a rig with more is repaired by hand."""

SECONDS = 20.0
"""The longest search where no other limit is said. Most rigs of a dozen units take about a
second; with a host in every second place a proof takes longer than anyone would wait."""


def repair(
    rig: WiredRig,
    catalogue: Catalogue,
    needs: Needs | None,
    time_limit: float | None = None,
    watch: Watch | None = None,
) -> Repaired | NoRepair:
    """The cheapest repair of `rig` that keeps its units, or why there is none.

    Every unit offers the rate, plays a role that its device can play, and there is a
    host. `time_limit` in seconds.

    Raises:
        KeyboardInterrupt: When the watch was asked to stop before there was a repair.
        NoRateError: When a cable could be bought in a currency for which the needs say no
            exchange rate.
    """
    limit = SECONDS if time_limit is None else time_limit
    deadline = Deadline(limit, watch)
    wanted = needs or Needs(rate_hz=rig.rate_hz)
    analogue = [link.kind == "analogue" for link in rig.links]
    case = Case(
        units=tuple(_sound(unit) for unit in rig.units),
        links=tuple(x for x, line in zip(rig.links, analogue, strict=True) if not line),
        problem=state(_cables_only(catalogue, needs), wanted),
        judged=needs is not None,
        lines=tuple(x for x, line in zip(rig.links, analogue, strict=True) if line),
        occupied=frozenset() if needs else frozenset(_taken(rig)),
    )
    if case.size > LARGEST:
        return NoRepair((Cause("size"),))
    try:
        solved = solve(case, deadline)
        if solved.result.found:
            return read(*solved)
        if solved.result.status == "infeasible" and not deadline.watch.stopped:
            return NoRepair(causes(case, deadline))
    except TooLargeError:
        return NoRepair((Cause("prices"),))
    except TimeIsUpError:
        pass
    if deadline.watch.stopped:
        raise KeyboardInterrupt
    return NoRepair((Cause("time", seconds=limit),))


def _taken(rig: WiredRig) -> Iterator[tuple[str, int]]:
    """Channels where the file says that something is plugged in."""
    inputs = derive_inputs(rig.units, rig.links, rig.rate_hz)
    behind = {item.computer_input: (item.unit, item.channel) for item in inputs}
    for said in rig.stated:
        if said.unit is not None and said.channel is not None:
            yield said.unit, said.channel
        elif said.number in behind:
            yield behind[said.number]


def _sound(unit: Unit) -> Unit:
    """The unit without 48 V banks that it does not have."""
    on = tuple(bank for bank in unit.phantom_banks_on if bank in banks(unit.device))
    return replace(unit, phantom_banks_on=on)


def _cables_only(catalogue: Catalogue, needs: Needs | None) -> Catalogue:
    """The catalogue as far as cables go: nothing else is bought.

    Where there are no needs, nothing can say what another currency is worth, and offers
    in one are left out.
    """
    offers = tuple(
        offer
        for offer in catalogue.offers
        if offer.item in catalogue.cables
        and (needs or catalogue.sellers[offer.seller].currency == catalogue.currency)
    )
    return replace(catalogue, devices={}, extras={}, offers=offers)
