"""The whole model of one rig: columns counted, every rule added, goals in one sum."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from ortools.sat.python import cp_model

from rigopt.errors import RigoptError
from rigopt.facts import KINDS
from rigopt.optimiser import (
    cables,
    channels,
    clock,
    hosts,
    limits,
    money,
    outputs,
    sockets,
)  # fmt: skip
from rigopt.optimiser.columns import (
    HostColumn,
    SatelliteColumn,
    host_columns,
    satellite_columns,
)
from rigopt.optimiser.dominance import undominated
from rigopt.optimiser.problem import Problem
from rigopt.optimiser.variables import RigVars, Terms, most_of

RULES = (hosts, clock, sockets, channels, outputs, cables, money, limits)
"""In this order: the clock creates the routes that sockets and cables count."""

LARGEST = 2**62
"""Sums stay below this: the solver adds in 64 bits. No value passes through a float."""


class TooLargeError(RigoptError):
    """The sums of this question would not be exact."""

    def __str__(self) -> str:
        return "prices and counts are too large to add up exactly; use smaller ones"


@dataclass(frozen=True, slots=True)
class Goal:
    """Money, units, links and hops in one sum; `money` is the weight of a minor unit."""

    terms: Terms
    money: int


@dataclass(frozen=True, slots=True)
class Columns:
    """The columns that a model counts."""

    hosts: Sequence[HostColumn]
    satellites: Sequence[SatelliteColumn]

    def __len__(self) -> int:
        return len(self.hosts) + len(self.satellites)

    def only(self, wanted: Callable[[HostColumn | SatelliteColumn], bool]) -> Columns:
        """Those that are wanted."""
        return Columns(
            [column for column in self.hosts if wanted(column)],
            [column for column in self.satellites if wanted(column)],
        )


def columns(problem: Problem, ranks: int = 1, focus: Iterable[str] = ()) -> Columns:
    """The columns of a problem.

    Those that cannot be in one of the `ranks` cheapest mixes are left out, unless their
    type is in `focus`; with 0 ranks, none is left out.
    """
    hosting, standing = list(host_columns(problem)), list(satellite_columns(problem))
    if ranks:
        hosting, standing = undominated(problem, hosting, standing, ranks, frozenset(focus))
    return Columns(hosting, standing)


def build(model: cp_model.CpModel, problem: Problem, counted: Columns) -> RigVars:
    """Add a rig of these columns and all its rules to `model`."""
    rig = RigVars(problem)
    for host in counted.hosts:
        name = f"{host.device.id} hosts in {host.slot}"
        rig.hosts[host] = model.new_int_var(0, problem.per_slot, name)
    for satellite in counted.satellites:
        most = most_of(problem, satellite.device)
        rig.satellites[satellite] = model.new_int_var(0, most, satellite.device.id)
    money.create(model, rig)
    for rule in RULES:
        rule.add(model, rig)
    return rig


def weights(problem: Problem) -> tuple[int, int, int, int]:
    """What a minor unit of money, a unit, a link and a hop count for in the goal.

    Each is more than all that comes after it can add up to, so that the goal is a number
    with these as its places.
    """
    hop = problem.max_units + problem.max_links + 1
    link = hop * (problem.needs.max_hops + 1)
    unit = link * (problem.max_links + 1)
    return unit * (problem.max_units + 1), unit, link, hop


def goal(rig: RigVars) -> Goal:
    """The goals in their order, as one sum: money, units, links, hops, packs.

    Packs come last and only matter where they are free: nobody wants a useless one.

    Raises:
        TooLargeError: When the sum could exceed what is exact.
    """
    problem = rig.problem
    things = problem.max_units + problem.max_links
    minor, unit, link, hop = weights(problem)
    dearest = max((s.price for ways in problem.supplies.values() for s in ways), default=0)
    if minor * (dearest * things + 1) > LARGEST:
        raise TooLargeError
    terms = [(var, price * minor) for var, price in rig.spent()]
    terms += [(var, unit) for var, _ in rig.units()]
    for kind in KINDS:
        for links in rig.links(kind):
            terms += [(var, number * link) for var, number in links]
    terms += [(var, hop) for var in rig.deepest.values()]
    terms += [term for bought in rig.packs.values() for packs in bought for term in packs]
    return Goal(terms, minor)
