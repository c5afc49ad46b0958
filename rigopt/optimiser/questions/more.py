"""What a little more money buys: each gain by itself, as the cheapest rig that has it.

A gain is one need set to another value, so that each is a plan of its own. Inputs, units and
orders go on from the rig found last, until the next costs too much: so no rig is left out
that has more of the gain for its money.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from decimal import ROUND_FLOOR, Decimal
from typing import Final

from rigopt.answers.choice import Setting
from rigopt.answers.more import Better, Gain, More
from rigopt.answers.outcome import Answered, Impossible
from rigopt.catalogue.types import Catalogue
from rigopt.facts import RATE_MULTIPLIER
from rigopt.needs.types import Needs
from rigopt.optimiser.problem.supplies import is_new
from rigopt.optimiser.questions.conflict.edited_needs import edited
from rigopt.optimiser.questions.conflict.probes import TimeUpError
from rigopt.optimiser.questions.plan import solve
from rigopt.optimiser.solver.run import Deadline
from rigopt.rig.figures import figures
from rigopt.rig.types import Rig

Next = Callable[[Rig, Needs], Setting | None]
"""The next step of a gain after a rig; None where there is none."""


def more(
    catalogue: Catalogue, needs: Needs, rig: Rig, percent: Decimal, deadline: Deadline
) -> More:
    """What up to `percent` more than `rig` costs would buy; `rig` is the cheapest."""
    extra = (abs(rig.total) * percent / 100).to_integral_value(ROUND_FLOOR)
    limit = rig.total + int(extra)
    asking = _Asking(catalogue, replace(needs, budget=limit), deadline)
    found: list[Better] = []
    try:
        for gain, step in STEPS.items():
            asked = asking.each(gain, step, rig) if step else asking.rates()
            found.extend(asked)
    except TimeUpError:
        return More(percent, limit, tuple(found), complete=False)
    return More(percent, limit, tuple(found))


def _inputs(rig: Rig, needs: Needs) -> Setting:
    del needs
    return Setting("spare", figures(rig).kinds[0].spare + 1)


def _units(rig: Rig, needs: Needs) -> Setting | None:
    del needs
    return Setting("units", len(rig.units) - 1) if len(rig.units) > 1 else None


def _orders(rig: Rig, needs: Needs) -> Setting | None:
    del needs
    return Setting("sellers", len(rig.orders) - 1) if rig.orders else None


def _master(rig: Rig, needs: Needs) -> Setting | None:
    wanted = needs.master == "any" and rig.master.role != "host"
    return Setting("master", "host") if wanted else None


def _new(rig: Rig, needs: Needs) -> Setting | None:
    del needs
    old = any(not is_new(line.note) for line in rig.purchases)
    return Setting("new_only", True) if old else None


STEPS: Final[dict[Gain, Next | None]] = {
    "inputs": _inputs,
    "rate": None,
    "units": _units,
    "orders": _orders,
    "master": _master,
    "new": _new,
}
"""The gains in the order in which they are told; of rates each is asked by itself."""


class _Asking:
    """Plans up to a limit of money."""

    def __init__(self, catalogue: Catalogue, needs: Needs, deadline: Deadline) -> None:
        self.catalogue, self.needs, self.deadline = catalogue, needs, deadline

    def each(self, gain: Gain, step: Next, rig: Rig) -> Iterator[Better]:
        """One step after the other, each from the rig of the last."""
        needs = self.needs
        while (setting := step(rig, needs)) is not None:
            better = self._asked(gain, setting)
            if better is None:
                return
            yield better
            rig, needs = better.answer.rig, better.needs

    def rates(self) -> list[Better]:
        """Higher rates, but for those that a still higher one has for no more."""
        hosts = [device for device in self.catalogue.devices.values() if device.may_host]
        offered = {rate for host in hosts for rate in host.rates_hz}
        higher = [r for r in RATE_MULTIPLIER if r in offered and r > self.needs.rate_hz]
        found: list[Better] = []
        for rate in sorted(higher, reverse=True):
            better = self._asked("rate", Setting("rate_hz", rate))
            if better and all(_total(better) < _total(other) for other in found):
                found.append(better)
        return found[::-1]

    def _asked(self, gain: Gain, setting: Setting) -> Better | None:
        """The cheapest rig with the gain, if it is within the limit.

        Raises:
            TimeUpError: When that is not known in time.
        """
        about = f"more for the money: {gain}"
        self.deadline.watch.question(about, self.catalogue.currency)
        needs = edited(self.needs, setting.name, setting.now)
        if self.deadline.over:
            raise TimeUpError
        outcome = solve(self.catalogue, needs, self.deadline.left, self.deadline.watch)
        if isinstance(outcome, Impossible):
            return None
        if not (isinstance(outcome, Answered) and outcome.proven):
            raise TimeUpError
        return Better(gain, setting, needs, outcome)


def _total(better: Better) -> int:
    return better.answer.rig.total
