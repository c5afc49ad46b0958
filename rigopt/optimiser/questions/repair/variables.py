"""The variables of a repair, in the words of the trade. Sockets and ranks count from 1."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property
from typing import NamedTuple

from ortools.sat.python import cp_model

from rigopt.optimiser.model.variables import RigVars
from rigopt.optimiser.questions.repair.analogue import Bundle, Line
from rigopt.optimiser.questions.repair.case import Case
from rigopt.optimiser.questions.repair.routes import Place, Route
from rigopt.optimiser.solver.linear import Terms, Var


class Rank(NamedTuple):
    """The `number`-th audio link of that format that leaves an expander."""

    unit: str
    format: str
    number: int


class Deal(NamedTuple):
    """A cable to a host brings these channels, as the link of that rank: 0/1."""

    rank: Rank
    route: Route
    channels: range
    var: Var

    @property
    def way(self) -> tuple[str, str, str]:
        """The expander, the host and the format that it sends by."""
        return self.rank.unit, self.route.end.unit, self.rank.format


@dataclass
class RepairVars:
    """Variables of one repair; all are 0/1 but those said to count.

    plug[route]: a cable is there. kept[i]: cable i stays between its sockets. deals: what
    comes to the hosts; dealt: the same by expander. sends[expander, host, format].
    home[expander, host]. feeds[route]: a cable from its home that can feed an expander.
    tops[place, format]: such a cable in that socket feeds something. fed[expander]: count of
    line outputs. others[host, n][k]: k of the first n sockets that may hold another format do.
    internal[unit], idle[unit] (it needs no clock), locked[place]: where each unit has its
    clock. tree[unit, host]: it is in the clock tree that this host names; leads[unit, host]:
    as its master. hop[unit], deepest: counts.
    open_end[place]: a chain of word inputs ends there, without an end of its own.
    on[unit, bank]. both: products, by the indices of their factors. own[i], moved[i]: the
    piece of cable i stays there, goes elsewhere. owned[cable]: count of owned pieces that
    come into use. basket: what is bought, as a planned rig has it.
    line[line]: a direct out goes there; leaves[unit, channel], enters[unit, channel]: one
    does from, or to, this channel. sits[i, bundle]: analogue piece i is used there.
    put[cable, bundle]: count of others. boxed[powered]: count of instruments in DI boxes.
    amplifies[unit]: a headphone amplifier that is fed.
    """

    case: Case
    model: cp_model.CpModel
    basket: RigVars
    plug: dict[Route, Var] = field(default_factory=dict)
    kept: dict[int, Var] = field(default_factory=dict)
    deals: list[Deal] = field(default_factory=list)
    dealt: dict[str, list[Deal]] = field(default_factory=lambda: defaultdict(list))
    sends: dict[tuple[str, str, str], Var] = field(default_factory=dict)
    home: dict[tuple[str, str], Var] = field(default_factory=dict)
    feeds: dict[Route, Var] = field(default_factory=dict)
    tops: dict[tuple[Place, str], Var] = field(default_factory=dict)
    fed: dict[str, Var] = field(default_factory=dict)
    others: dict[tuple[str, int], list[Var]] = field(default_factory=dict)
    internal: dict[str, Var] = field(default_factory=dict)
    idle: dict[str, Var] = field(default_factory=dict)
    locked: dict[Place, Var] = field(default_factory=dict)
    tree: dict[tuple[str, str], Var] = field(default_factory=dict)
    leads: dict[tuple[str, str], Var] = field(default_factory=dict)
    hop: dict[str, Var] = field(default_factory=dict)
    deepest: Var = field(init=False)
    open_end: dict[Place, Var] = field(default_factory=dict)
    on: dict[tuple[str, int], Var] = field(default_factory=dict)
    both: dict[tuple[int, int], Var] = field(default_factory=dict)
    own: dict[int, Var] = field(default_factory=dict)
    moved: dict[int, Var] = field(default_factory=dict)
    owned: dict[str, Var] = field(default_factory=dict)
    line: dict[Line, Var] = field(default_factory=dict)
    leaves: dict[tuple[str, int], Var] = field(default_factory=dict)
    enters: dict[tuple[str, int], Var] = field(default_factory=dict)
    sits: dict[tuple[int, Bundle], Var] = field(default_factory=dict)
    put: dict[tuple[str, Bundle], Var] = field(default_factory=dict)
    boxed: dict[bool, Var] = field(default_factory=dict)
    amplifies: dict[str, Var] = field(default_factory=dict)
    beat: Callable[[], None] = lambda: None
    """To be called now and then while rules are added; it may raise what ends that."""

    def flag(self, *name: object) -> Var:
        """A new 0/1 variable."""
        self.beat()
        return self.model.new_bool_var(" ".join(map(str, name)))

    def count(self, upper: int, *name: object) -> Var:
        """A new variable from 0 to `upper`."""
        return self.model.new_int_var(0, upper, " ".join(map(str, name)))

    def cables(self, place: Place) -> Terms:
        """The cables in a socket."""
        return [(self.plug[route], 1) for route in self.case.taken(place)]

    def same_clock(self, unit: str, host: str) -> Var:
        """1 exactly if a unit runs on the clock of a host."""
        return self.tree[unit, self.case.tree(host)]

    @cached_property
    def states(self) -> dict[str, list[Var]]:
        """Every way in which each unit can have its clock; it has exactly one."""
        found: dict[str, list[Var]] = {unit.name: [] for unit in self.case.units}
        for states in (self.idle, self.internal):
            for unit, var in states.items():
                found[unit].append(var)
        for place, var in self.locked.items():
            found[place.unit].append(var)
        return found
