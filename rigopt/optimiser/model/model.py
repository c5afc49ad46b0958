"""The whole model of one rig: columns counted, every rule added, all objectives in one sum."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from typing import NamedTuple

from ortools.sat.python import cp_model

from rigopt.optimiser.model import (
    cables,
    capacity,
    channels,
    clock,
    di,
    extras,
    hosts,
    leads,
    limits,
    money,
    orders,
    outputs,
    pairs,
    regret,
    sockets,
    taps,
)
from rigopt.optimiser.model.variables import Kept, RigVars, upper_of
from rigopt.optimiser.problem.columns import (
    Columns,
    host_columns,
    satellite_columns,
)
from rigopt.optimiser.problem.dominance import undominated
from rigopt.optimiser.problem.outlines import Listing, told
from rigopt.optimiser.problem.problem import Problem
from rigopt.optimiser.problem.reach import reaching
from rigopt.optimiser.solver.linear import LARGEST, Terms, TooLargeError, reach

RULES = (
    hosts,
    clock,
    sockets,
    di,
    channels,
    capacity,
    leads,
    taps,
    pairs,
    outputs,
    cables,
    extras,
    money,
    orders,
    limits,
    regret,
)
"""In this order: the clock creates the routes that sockets and cables count, DI boxes what
else channels have to serve, and these what leads have to join, which cables count; what is
bought and ordered is created before them all."""


class Objective(NamedTuple):
    """Everything in one sum; `money` is the weight of a minor unit."""

    terms: Terms
    money: int


def columns(
    problem: Problem,
    ranks: int = 1,
    focus: Iterable[str] = (),
    beat: Callable[[], None] = lambda: None,
) -> Columns:
    """The columns of a problem. `beat` is called now and then, and may raise what ends it.

    Hosts that fall short are left out, and what cannot be in one of the `ranks` cheapest
    mixes, unless its type is in `focus`; with 0 ranks, nothing is left out.
    """
    if not ranks:
        hosting = list(host_columns(problem))
        return Columns(hosting, list(told(satellite_columns(problem, hosting), beat)))
    found = listing(problem, ranks, focus, beat).every(beat)
    return compared(problem, found, ranks, focus, beat)


def listing(
    problem: Problem, ranks: int, focus: Iterable[str], beat: Callable[[], None]
) -> Listing:
    """The same in outline, where other units have not been compared with each other yet."""
    hosting = reaching(problem, list(host_columns(problem)))
    hosting = undominated(problem, hosting, ranks, frozenset(focus), beat)
    # What cannot stand beside any of these hosts need not be looked at.
    return Listing(problem, hosting, beat)


def compared(
    problem: Problem,
    found: Columns,
    ranks: int,
    focus: Iterable[str],
    beat: Callable[[], None],
) -> Columns:
    """Those of some columns that cannot be replaced by others of them."""
    kept = undominated(problem, found.satellites, ranks, frozenset(focus), beat)
    return Columns(found.hosts, kept)


def build(
    model: cp_model.CpModel,
    problem: Problem,
    counted: Columns,
    stock: Mapping[str, Terms] | None = None,
    *,
    clocked: bool = True,
    kept: Mapping[str, Kept] | None = None,
    beat: Callable[[], None] = lambda: None,
) -> RigVars:
    """Add a rig of these columns and all its rules to `model`.

    It buys for itself, unless there is `stock`: pieces by item, bought elsewhere; `kept` is
    then what stays of the owned. If it is not `clocked`, no unit needs a clock, which allows
    more than there is. `beat` is called now and then, and may raise what ends it.
    """
    rig = RigVars(problem, stock=stock, one=model.new_constant(1), beat=beat)
    for host in counted.hosts:
        name = f"{host.device.id} hosts in {host.slot}"
        rig.hosts[host] = model.new_int_var(0, problem.per_slot, name)
    for satellite in counted.satellites:
        upper = upper_of(problem, satellite)
        rig.satellites[satellite] = model.new_int_var(0, upper, satellite.device.id)
    rig.kept.update(kept or {})
    if stock is None:
        money.create(model, rig)
    for rule in RULES:
        beat()
        if clocked or rule is not clock:
            rule.add(model, rig)
    return rig


class Weights(NamedTuple):
    """What one of each counts for in the objective: money in minor units comes first."""

    money: int
    unit: int
    link: int
    hop: int
    missing: int
    """A channel for a microphone that does not arrive, of all that could."""
    pack: int


def weights(problem: Problem) -> Weights:
    """The weights of a problem.

    Each is more than all that comes after it can add up to, so that the objective is a number
    with these as its places. Of a problem with places to drop, the last ones count nothing.
    """
    pack = 0 if problem.dropped >= 1 else len(problem.order_terms) + 1
    missing = 0 if problem.dropped >= 2 else max(1, pack * (problem.max_packs + 1))
    hop = max(1, missing * (problem.max_arriving + 1))
    link = hop * (problem.needs.max_hops + 1)
    unit = link * (problem.max_links + problem.max_leads + 1)
    return Weights(unit * (problem.max_units + 1), unit, link, hop, missing, pack)


def reweighed(objective: int, problem: Problem, other: Problem) -> int:
    """A bound on objectives in the weights of `problem`, in those of `other`.

    No part of it is more than it can be there, so that none is taken for the part before.
    """
    mine, theirs = weights(problem), weights(other)
    most = (None, other.max_units, other.max_links + other.max_leads, other.needs.max_hops)
    # What is missing is counted from all that could arrive.
    shifts = (0, 0, 0, 0, other.max_arriving - problem.max_arriving, 0)
    found = 0
    for place, (weight, there) in enumerate(zip(mine, theirs, strict=True)):
        if weight:  # else it is dropped, and counts nothing
            part = objective // weight + shifts[place]
            limit = (*most, other.max_arriving, other.max_packs)[place]
            found += (part if limit is None else min(part, limit)) * there
            objective %= weight
    # What is left are orders.
    return found + min(objective, max(0, theirs.pack - 1))


def fits(problem: Problem, counted: Columns) -> bool:
    """Whether the sum stays exact as far as units go; to be known before a model is built."""
    money = weights(problem).money
    if money * problem.max_money > LARGEST:
        return False
    most: Counter[str] = Counter()
    for host in counted.hosts:
        most[host.device.id] += problem.per_slot
    for satellite in counted.satellites:
        most[satellite.device.id] += upper_of(problem, satellite)
    prices = sum(problem.price(item) * number for item, number in most.items())
    return money * prices <= LARGEST


def objective_of(rig: RigVars, weighed: Problem | None = None) -> Objective:
    """All objectives in their order, as one sum.

    Money, units, links and hops; then the most channels for microphones that arrive; packs,
    which only matter where they are free: nobody wants a useless one; and orders: of equal
    baskets the one from fewer sellers. In the weights of the problem `weighed`, which is the
    rig's own if none is given.

    Raises:
        TooLargeError: When the sum could exceed what is exact.
    """
    if rig.regret is not None:
        return Objective([(rig.regret, 1)], 1)
    problem = weighed or rig.problem
    weigh = weights(problem)
    terms = [(var, price * weigh.money) for var, price in rig.paid()]
    terms += [(var, weigh.unit) for var, _ in rig.units()]
    for links in rig.runs().values():
        terms += [(var, number * weigh.link) for var, number in links]
    terms += [(var, weigh.link) for var in rig.leads.values()]
    terms += [(var, weigh.hop) for var in rig.deepest.values()]
    assert rig.one is not None
    terms.append((rig.one, weigh.missing * problem.max_arriving))
    terms += [(var, -number * weigh.missing) for var, number in rig.microphones()]
    for bought in rig.packs.values():
        terms += [(var, n * weigh.pack) for packs in bought for var, n in packs]
    terms += rig.ordered() if weigh.pack else []
    if reach(terms) > LARGEST:
        raise TooLargeError
    return Objective(terms, weigh.money)
