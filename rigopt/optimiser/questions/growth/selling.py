"""Owned pieces over the stages: what is there before each stage, kept at it, and sold.

A piece that is sold is gone for good; what is bought later in its place is another. What a
stage uses is not sold at it, and owned pieces are used before bought ones. Nothing is sold at a
stage that has no price for it.

Variables: kept, owned pieces of an item after a stage; before, those that come to it.
Constraints: before = kept at the stage before, and what is owned from this one on; kept <=
before; kept = before where there is no price; what is used, as for one rig.
Cost: minus the price of a stage for what is sold at it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ortools.sat.python import cp_model

from rigopt.optimiser.model.variables import Kept
from rigopt.optimiser.questions.growth.journey import Journey
from rigopt.optimiser.solver.linear import Terms, Var, total

Left = Sequence[Mapping[str, int]]
"""Owned pieces of each item that can be sold, after each stage from the first one on."""


def hold(model: cp_model.CpModel, trip: Journey) -> list[dict[str, Kept]]:
    """Create what is kept at each stage, of each item that may be sold."""
    held: list[dict[str, Kept]] = []
    for stage, problem in enumerate(trip.problems):
        held.append({})
        for item, pieces in problem.sellable.items():
            kept = model.new_int_var(0, pieces, f"kept {item}")
            before: Terms = []
            if stage:
                gained = trip.gained(stage, item)
                before = [(_before(model, held[-2][item].pieces, gained, pieces), 1)]
                model.add(kept <= total(before))
            if item not in problem.needs.resale:
                model.add(kept >= (total(before) if before else pieces))
            held[-1][item] = Kept(kept, pieces, before)
    return held


def _before(model: cp_model.CpModel, left: Var, gained: int, owned: int) -> Var:
    before = model.new_int_var(0, owned, "before")
    model.add(before <= left + gained)
    model.add_min_equality(before, [left + gained, owned])
    return before


def sold(trip: Journey, stage: int, held: Mapping[str, Kept], one: Var) -> Terms:
    """What the sales of a stage take off what is paid, in minor units."""
    terms: Terms = []
    for item, price in trip.stages[stage].needs.resale.items():
        kept = held[item]
        terms.append((kept.pieces, price))
        terms += [(var, -price) for var, _ in kept.before] or [(one, -price * kept.number)]
    return terms


def before(trip: Journey, stage: int, left: Left) -> dict[str, int]:
    """Owned pieces of each item that may be sold, as they come to a stage."""
    there = trip.problems[stage].sellable
    if not stage:
        return dict(there)
    return {
        item: min(left[stage - 1][item] + trip.gained(stage, item), pieces)
        for item, pieces in there.items()
    }


def settled(trip: Journey, used: Sequence[Mapping[str, int]], left: Left) -> Left:
    """The same, each piece sold at the first stage from which on no stage uses it."""
    needed: list[dict[str, int]] = []
    for stage in reversed(range(len(trip.stages))):
        later = needed[0] if needed else {}
        needed.insert(
            0,
            {
                item: max(
                    min(used[stage].get(item, 0), pieces),
                    later[item] - trip.gained(stage + 1, item) if later else 0,
                )
                for item, pieces in left[stage].items()
            },
        )
    found: list[Mapping[str, int]] = []
    for stage, needs in enumerate(stage.needs for stage in trip.stages):
        there = before(trip, stage, found)
        found.append(
            {i: needed[stage][i] if i in needs.resale else n for i, n in there.items()}
        )
    return found
