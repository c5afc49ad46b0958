"""One model of all stages: a rig and a basket for each.

Variables: those of each stage's rig, and for each stage a basket: packs and orders.
Constraints: the rules of every rig, where pieces of an item are those owned then and those
in the baskets of its stage and the stages before, less what is sold (see `selling`); for
each offer, packs in all baskets <= its stock; what a basket comes to, less sales, <= the budget
of its stage.
Cost: all baskets less sales, and `most_sold`, so that it is never negative.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from ortools.sat.python import cp_model

from rigopt.optimiser.model import money, orders
from rigopt.optimiser.model.model import build
from rigopt.optimiser.model.variables import Kept, RigVars
from rigopt.optimiser.problem.columns import Columns
from rigopt.optimiser.problem.problem import Problem
from rigopt.optimiser.problem.supplies import Supply
from rigopt.optimiser.questions.growth.journey import Journey
from rigopt.optimiser.questions.growth.selling import hold, sold
from rigopt.optimiser.solver.linear import LARGEST, Terms, TooLargeError, reach, total
from rigopt.optimiser.solver.run import Deadline


@dataclass(frozen=True, slots=True)
class Posed:
    """The model of a journey, and what it costs in all, in minor units.

    `outlays`: what is paid at each stage; `spent`: all of it and `Journey.most_sold`; `held`:
    what is kept at each stage of what could be sold.
    """

    model: cp_model.CpModel
    rigs: tuple[RigVars, ...]
    baskets: tuple[RigVars, ...]
    held: tuple[Mapping[str, Kept], ...]
    outlays: tuple[Terms, ...]
    spent: Terms

    def ties(self) -> list[Terms]:
        """What decides between equal costs, in this order.

        What is paid at the first stage; what is paid at each, times the stages that come
        after it (nothing is bought before it must be); units, links, clock hops and
        channels for microphones of all rigs, and packs.
        """
        stages = len(self.baskets)
        early = [
            (var, price * (stages - number))
            for number, outlay in enumerate(self.outlays, start=1)
            for var, price in outlay
            if number < stages
        ]
        return [self.outlays[0], early, self._size()]

    def _size(self) -> Terms:
        """Units, links, hops, microphones that do not arrive, and packs in one sum.

        Each outweighs all that come after.
        """
        problems = [rig.problem for rig in self.rigs]
        packs = [t for b in self.baskets for ways in b.packs.values() for w in ways for t in w]
        missing = sum(max(var.proto.domain) for var, _ in packs) + 1
        hop = missing * (sum(problem.max_arriving for problem in problems) + 1)
        link = hop * (sum(problem.needs.max_hops for problem in problems) + 1)
        unit = link * (sum(problem.max_links for problem in problems) + 1)
        terms = list(packs)
        for rig in self.rigs:
            terms += [(var, unit) for var, _ in rig.units()]
            for links in rig.runs().values():
                terms += [(var, number * link) for var, number in links]
            terms += [(var, hop) for var in rig.deepest.values()]
            terms += [(var, -number * missing) for var, number in rig.microphones()]
        return terms


def pose(
    trip: Journey, counted: Sequence[Columns], deadline: Deadline, *, clocked: bool = True
) -> Posed:
    """The model with these columns for each stage.

    If it is not `clocked`, no unit needs a clock, which allows more than there is.

    The variables of the baskets come first, so that they have the same numbers whatever
    the columns are.

    Raises:
        TooLargeError: When what is paid could exceed what is exact.
        TimeIsUpError: When the deadline comes before it is made.
    """
    model = cp_model.CpModel()
    baskets = [_basket(model, trip, problem, deadline) for problem in trip.problems]
    held = hold(model, trip)
    one = model.new_constant(1)
    rigs = []
    for stage, problem in enumerate(trip.problems):
        needs = replace(problem.needs, budget=None)
        stands = replace(problem, needs=needs, supplies=trip.until(stage))
        stock, kept = _stock(baskets[: stage + 1]), held[stage]
        rig = build(
            model,
            stands,
            counted[stage],
            stock,
            clocked=clocked,
            kept=kept,
            beat=deadline.check,
        )
        rigs.append(rig)
    outlays = []
    for stage, basket in enumerate(baskets):
        orders.add(model, basket)
        outlays.append([*basket.spent(), *sold(trip, stage, held[stage], one)])
        if basket.problem.needs.budget is not None:
            model.add(total(outlays[-1]) <= basket.problem.needs.budget)
    _share_stock(model, trip, baskets)
    spent = [term for outlay in outlays for term in outlay]
    spent += [(one, trip.most_sold)] if trip.most_sold else []
    if reach(spent) * len(baskets) > LARGEST:
        raise TooLargeError(trip.problems[-1].needs)
    return Posed(model, tuple(rigs), tuple(baskets), tuple(held), tuple(outlays), spent)


def _basket(
    model: cp_model.CpModel, trip: Journey, problem: Problem, deadline: Deadline
) -> RigVars:
    """What is bought at one stage, for any stage."""
    basket = RigVars(problem, beat=deadline.check)
    for item in problem.supplies:
        money.item(model, basket, item, max(_most(item, p) for p in trip.problems))
    orders.create(model, basket)
    return basket


def _most(item: str, problem: Problem) -> int:
    """Most pieces of an item that the rig of a stage can hold."""
    if item in problem.catalogue.devices:
        return problem.max_units
    if item in problem.catalogue.cables:
        return problem.max_links
    return problem.max_extra.get(item, 0)


def _stock(baskets: Sequence[RigVars]) -> Mapping[str, Terms]:
    """Pieces in all of `baskets`, by item."""
    stock: dict[str, Terms] = {}
    for basket in baskets:
        for item in basket.packs:
            stock.setdefault(item, []).extend(money.bought(basket, item))
    return stock


def _share_stock(model: cp_model.CpModel, trip: Journey, baskets: Sequence[RigVars]) -> None:
    """What a seller has in stock is there once for all stages."""
    shared: dict[Supply, Terms] = {}
    for basket, offered in zip(baskets, trip.offered, strict=True):
        for item, packs in basket.packs.items():
            for terms, offer in zip(packs, offered[item], strict=True):
                shared.setdefault(offer, []).extend(terms)
    for offer, terms in shared.items():
        if offer.stock is not None:
            model.add(total(terms) <= offer.stock)
