"""Rule: where prices are ranges, how much more a rig may cost than others (see `Pricing`).

Let x be the packs of a rig, y those of a rival, and let prices lie from l to h. At worst,
what x has more of is at h, and what it has less of is at l: so its regret is

    K(x) - K(y) + sum of l (x - y) + (h - l) max(0, x - y),

with K what is paid exactly: whole numbers, in which nothing is halved.

Variables: beyond[item, y], at least x - y, for each item and each number of packs that some
rival buys of it; regret, at least that of every rival; and for money against a known rig with
packs z: dear, what is bought at h: min(x, z); full, 0/1, whether that is z.
Constraints: beyond >= x - y; regret >= the sum above; dear >= x - most x full and
dear >= z x full.
Cost: as `Pricing` says.
"""

from __future__ import annotations

from collections.abc import Iterator

from ortools.sat.python import cp_model

from rigopt.optimiser.model.variables import RigVars
from rigopt.optimiser.problem.pricing import Pricing, Rival
from rigopt.optimiser.problem.supplies import Supply
from rigopt.optimiser.solver.linear import Terms, Var, reach, total


def add(model: cp_model.CpModel, rig: RigVars) -> None:
    """Add the rule to `model`."""
    pricing = rig.problem.pricing
    if pricing is None:
        return
    if pricing.counts == "against":
        rig.counted = _against(model, rig, pricing)
    elif pricing.counts == "middle":
        rig.counted = [(v, 2 * n) for v, n in _exact(rig)]
        rig.counted += [(v, n * (way.price + way.low)) for way, x in _ranges(rig) for v, n in x]
    if pricing.rivals:
        sums = list(_regrets(model, rig, pricing.rivals))
        if pricing.counts == "regret":
            most = max(reach(terms) for terms in sums)
            rig.regret = model.new_int_var(0, most, "regret")
        for terms in sums:
            if rig.regret is not None:
                model.add(total([*terms, (rig.regret, -1)]) <= 0)
            if pricing.limit is not None:
                model.add(total(terms) <= pricing.limit)


def _ranges(rig: RigVars) -> Iterator[tuple[Supply, Terms]]:
    """Packs that are bought at a price that is a range."""
    for item, bought in rig.packs.items():
        for terms, way in zip(bought, rig.problem.ways(item), strict=True):
            if way.ranges and terms:
                yield way, terms


def _exact(rig: RigVars) -> Terms:
    """What is paid at prices that are no ranges, and not got for what is kept."""
    ranges = [(v, -n * way.price) for way, x in _ranges(rig) for v, n in x]
    return _merged([*rig.spent(), *ranges])


def _merged(terms: Terms) -> Terms:
    """Each variable once, and none that counts nothing: sums stay small."""
    found: dict[int, tuple[Var, int]] = {}
    for var, factor in terms:
        found[var.index] = var, factor + found.get(var.index, (var, 0))[1]
    return [(var, factor) for var, factor in found.values() if factor]


def _regrets(
    model: cp_model.CpModel, rig: RigVars, rivals: tuple[Rival, ...]
) -> Iterator[Terms]:
    """The regret of the rig over each rival."""
    assert rig.one is not None
    beyond: dict[tuple[str, int], Terms] = {}
    exact, ranges = _exact(rig), list(_ranges(rig))
    seen = {way.item for way, _ in ranges}
    for rival in rivals:
        # What this rig cannot buy a rival has more of, if any.
        more = sum(n * rival.lows[item] for item, n in rival.packs.items() if item not in seen)
        terms = [*exact, (rig.one, -rig.problem.sale - rival.exact - more)]
        for way, x in ranges:
            number = rival.packs.get(way.item, 0)
            key = way.item, number
            if key not in beyond:
                beyond[key] = _beyond(model, x, number)
            terms += [(v, n * way.low) for v, n in x]
            terms.append((rig.one, -number * way.low))
            terms += [(v, n * (way.price - way.low)) for v, n in beyond[key]]
        yield _merged(terms)


def _beyond(model: cp_model.CpModel, x: Terms, number: int) -> Terms:
    most = reach(x)
    if not number:
        return x
    if most <= number:
        return []
    beyond = model.new_int_var(0, most - number, "beyond")
    model.add(total([*x, (beyond, -1)]) <= number)
    return [(beyond, 1)]


def _against(model: cp_model.CpModel, rig: RigVars, pricing: Pricing) -> Terms:
    """What is paid at the prices that are worst for the rig that is known."""
    terms = _exact(rig)
    for way, x in _ranges(rig):
        number, most = pricing.bought.get(way.item, 0), reach(x)
        terms += [(v, n * way.low) for v, n in x]
        if not number:
            continue
        dear = x
        if most > number:
            dear = [(model.new_int_var(0, number, "dear"), 1)]
            full = model.new_bool_var("full")
            spare = [(var, -factor) for var, factor in dear]
            model.add(total([*x, *spare, (full, number - most)]) <= 0)
            model.add(total([*spare, (full, number)]) <= 0)
        terms += [(v, n * (way.price - way.low)) for v, n in dear]
    return _merged(terms)
