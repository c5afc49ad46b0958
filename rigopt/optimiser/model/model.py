"""The whole model of one rig: columns counted, every rule added, all objectives in one sum."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from ortools.sat.python import cp_model

from rigopt.facts import KINDS
from rigopt.optimiser.model import (
    cables,
    channels,
    clock,
    extras,
    hosts,
    limits,
    money,
    orders,
    outputs,
    pairs,
    sockets,
)
from rigopt.optimiser.model.variables import RigVars, max_units_of
from rigopt.optimiser.problem.columns import (
    Columns,
    host_columns,
    satellite_columns,
)
from rigopt.optimiser.problem.dominance import undominated
from rigopt.optimiser.problem.problem import Problem
from rigopt.optimiser.solver.linear import LARGEST, Terms, TooLargeError, reach

RULES = (hosts, clock, sockets, channels, pairs, outputs, cables, extras, money, orders, limits)
"""In this order: the clock creates the routes that sockets and cables count; what is bought
and ordered is created before them all."""


class Objective(NamedTuple):
    """Money, units, links and hops in one sum; `money` is the weight of a minor unit."""

    terms: Terms
    money: int


def columns(problem: Problem, ranks: int = 1, focus: Iterable[str] = ()) -> Columns:
    """The columns of a problem.

    Those that cannot be in one of the `ranks` cheapest mixes are left out, unless their
    type is in `focus`; with 0 ranks, none is left out.
    """
    hosting, standing = list(host_columns(problem)), list(satellite_columns(problem))
    if ranks:
        hosting, standing = undominated(problem, hosting, standing, ranks, frozenset(focus))
    return Columns(hosting, standing)


def build(
    model: cp_model.CpModel,
    problem: Problem,
    counted: Columns,
    stock: Mapping[str, Terms] | None = None,
    clocked: bool = True,
) -> RigVars:
    """Add a rig of these columns and all its rules to `model`.

    It buys for itself, unless there is `stock`: pieces by item, bought elsewhere. If it is
    not `clocked`, no unit needs a clock, which allows more than there is.
    """
    rig = RigVars(problem, stock=stock)
    for host in counted.hosts:
        name = f"{host.device.id} hosts in {host.slot}"
        rig.hosts[host] = model.new_int_var(0, problem.per_slot, name)
    for satellite in counted.satellites:
        item = satellite.device.id
        upper = max_units_of(problem, item)
        rig.satellites[satellite] = model.new_int_var(0, upper, item)
    if stock is None:
        money.create(model, rig)
    for rule in RULES:
        if clocked or rule is not clock:
            rule.add(model, rig)
    return rig


def weights(problem: Problem) -> tuple[int, int, int, int, int]:
    """What a minor unit of money, a unit, a link, a hop and a pack count for in the objective.

    Each is more than all that comes after it can add up to, so that the objective is a number
    with these as its places.
    """
    pack = len(problem.order_terms) + 1
    hop = pack * (problem.max_packs + 1)
    link = hop * (problem.needs.max_hops + 1)
    unit = link * (problem.max_links + 1)
    return unit * (problem.max_units + 1), unit, link, hop, pack


def objective_of(rig: RigVars) -> Objective:
    """The objectives in their order, as one sum: money, units, links, hops, packs, orders.

    Packs only matter where they are free: nobody wants a useless one. Orders come last: of
    equal baskets the one from fewer sellers.

    Raises:
        TooLargeError: When the sum could exceed what is exact.
    """
    problem = rig.problem
    minor, unit, link, hop, pack = weights(problem)
    if minor * (problem.max_money + 1) > LARGEST:
        raise TooLargeError
    terms = [(var, price * minor) for var, price in rig.spent()]
    terms += [(var, unit) for var, _ in rig.units()]
    for kind in KINDS:
        for links in rig.links(kind):
            terms += [(var, number * link) for var, number in links]
    terms += [(var, hop) for var in rig.deepest.values()]
    for bought in rig.packs.values():
        terms += [(var, n * pack) for packs in bought for var, n in packs]
    terms += rig.ordered()
    if reach(terms) > LARGEST:
        raise TooLargeError
    return Objective(terms, minor)
