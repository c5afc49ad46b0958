"""The cheapest rig as a mixed-integer linear model for HiGHS (scipy.optimize.milp).

Places for units are numbered. Each module's docstring has the variables of its part of the
model, in which u, v, w are places, b what stands in one (a *build*, builds.py), f a format,
s a socket, n the number of an expander's audio cable, c a channel. Ties are settled by
solving again with the earlier parts of the key held.
"""

from __future__ import annotations

from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from tests.oracle.mip.audio import Audio
from tests.oracle.mip.cables import Cables
from tests.oracle.mip.clock import Clock
from tests.oracle.mip.demands import Demands
from tests.oracle.mip.linear import Linear, Terms, times, total
from tests.oracle.mip.lines import Lines
from tests.oracle.mip.money import Money
from tests.oracle.mip.units import MOST_UNITS, Units
from tests.oracle.mip.word import Word

__all__ = ["MOST_UNITS", "Key", "Model", "milp_best", "milp_key"]

Key = tuple[int, int, int, int, int]
"""Money in minor units net of what is sold, units, links (analogue ones by the piece), clock
hops, minus the microphone-capable channels that arrive: the least is best, in this order."""


def milp_best(catalogue: Catalogue, needs: Needs) -> int | None:
    """The least money in minor units of any rig; None when there is none."""
    money = Model(catalogue, needs).least()
    return None if money is None else money[0]


def milp_key(catalogue: Catalogue, needs: Needs) -> Key | None:
    """The least key of any rig; None when there is none."""
    return Model(catalogue, needs).least(parts=5)  # type: ignore[return-value]


class Model:
    """The whole model of one question."""

    def __init__(self, catalogue: Catalogue, needs: Needs) -> None:
        self.lin = lin = Linear()
        self.units = Units(lin, catalogue, needs)
        self.audio = Audio(lin, self.units)
        self.clock = Clock(lin, self.units, self.audio)
        self.word = Word(lin, self.units, self.clock, catalogue)
        self.cables = Cables(lin, self.units, self.audio, self.clock, self.word)
        self.lines = Lines(lin, self.units, self.audio)
        self.demands = Demands(lin, self.units, self.audio, self.lines)
        self.money = Money(lin, self.cables, self.lines, self.demands)

    def goals(self) -> list[Terms]:
        """The parts of the key; money but for what every rig costs."""
        deepest = self.lin.variable(most=self.units.needs.max_hops)
        for depth in self.clock.depth.values():
            self.lin.within({depth: 1}, {deepest: 1})
        forms = self.units.formats
        digital = total(*(self.cables.wired(f, far) for f in forms for far in (True, False)))
        links = total(digital, self.lines.count())
        mics = self.demands.microphones()
        return [self.money.total, self.units.count(), links, {deepest: 1.0}, times(-1, mics)]

    def least(self, parts: int = 1) -> tuple[int, ...] | None:
        """The first parts of the least key, 1 or all; None when there is no rig."""
        money, units, links, hops, mics = self.goals()
        key = self.held(money)
        if key is None:
            return None
        if parts == 1:
            return (key + self.money.fixed,)
        # Fewer than 100 links and hops: the three fit into one number.
        size = self.held(total(times(10_000, units), times(100, links), hops))
        arriving = self.held(mics)
        assert size is not None, "what is held cannot make the model impossible"
        assert arriving is not None, "what is held cannot make the model impossible"
        return (key + self.money.fixed, size // 10_000, size // 100 % 100, size % 100, arriving)

    def held(self, goal: Terms) -> int | None:
        """The least value of a goal, held from now on; None when there is no rig."""
        values = self.lin.solve(goal)
        if values is None:
            return None
        least = self.lin.value(goal, values)
        # Goals are whole: half a unit of room keeps rounding in HiGHS harmless.
        self.lin.row(goal, most=least + 0.5)
        return least
