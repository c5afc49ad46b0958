"""From baskets to steps: how each stage's rig stands, and what had to be bought for it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from rigopt.answers.growth import Growth
from rigopt.optimiser.decode.baskets import bill, smaller, used_by
from rigopt.optimiser.decode.decode import decode
from rigopt.optimiser.questions.growth.journey import Journey
from rigopt.optimiser.questions.growth.selling import Left, before, settled
from rigopt.optimiser.search.pooled import Best, Search
from rigopt.optimiser.solver.run import Deadline
from rigopt.rig.orders import orders, paid
from rigopt.rig.sales import proceeds, sales
from rigopt.rig.step import Step
from rigopt.rig.types import Purchase, Rig

Lines = Sequence[Sequence[Purchase]]
"""What is bought at each stage, from the first one on."""


def there(trip: Journey, stage: int, bought: Lines, left: Left) -> Counter[str]:
    """Pieces of each item that are owned when a stage begins, or have been bought."""
    pieces = Counter({**trip.problems[stage].needs.owned, **before(trip, stage, left)})
    for lines in bought:
        for line in lines:
            pieces[line.item] += line.quantity * line.pack
    return pieces


def growth(trip: Journey, bought: Lines, left: Left, deadline: Deadline) -> Growth | None:
    """The steps of what is bought; None if the rig of a stage cannot be found."""
    rigs: list[Rig] = []
    for stage in range(len(trip.stages)):
        pieces = there(trip, stage, bought[: stage + 1], left)
        # Where some is sold, what is kept is used before what is bought.
        come = before(trip, stage, left)
        pieces.update({i: n - pieces[i] for i, n in left[stage].items() if n < come[i]})
        rig = _stand(trip, stage, pieces, deadline, rigs)
        if rig is None:
            return None
        rigs.append(rig)
    used = [
        used_by(problem, rig.units, rig.links, rig.inputs)
        for problem, rig in zip(trip.problems, rigs, strict=True)
    ]
    left = settled(trip, used, left)
    lines = _without_idle(trip, used, [list(basket) for basket in bought], left)
    steps = tuple(_step(trip, stage, rig, lines, left) for stage, rig in enumerate(rigs))
    return Growth(steps, -trip.most_sold, proven=False)


def _stand(
    trip: Journey, stage: int, pieces: Counter[str], deadline: Deadline, before: Sequence[Rig]
) -> Rig | None:
    """The smallest rig from what is there, its units as they stood before."""
    problem = trip.problems[stage]
    needs = replace(problem.needs, owned=dict(pieces), budget=None)
    stands = replace(problem, needs=needs, supplies={}, order_terms={}, sellable={})
    stands = stands.only(pieces, pieces)
    best = Search(stands).best(deadline)
    if not isinstance(best, Best) and best.status != "infeasible":
        # Time is up, but what was bought before that has to be wired.
        best = Search(stands).best(deadline.late())
    return decode(stands, best.counted, before, deadline) if isinstance(best, Best) else None


def _without_idle(
    trip: Journey, used: Sequence[Counter[str]], bought: list[list[Purchase]], left: Left
) -> list[list[Purchase]]:
    """The purchases without packs that no stage uses and that save no fee.

    A search that ran out of time may have bought such. The early ones go first.
    """
    idle = True
    while idle:
        idle = False
        for stage, lines in enumerate(bought):
            for place in reversed(range(len(lines))):
                while _idle(trip, used, bought, left, stage, place):
                    lines[place] = smaller(lines[place])
                    idle = True
    return [[line for line in lines if line.quantity] for lines in bought]


def _idle(  # noqa: PLR0917
    trip: Journey,
    used: Sequence[Counter[str]],
    bought: Lines,
    left: Left,
    stage: int,
    place: int,
) -> bool:
    """Whether a pack of a line is not called for then or later, and nothing is saved by it."""
    line, problem = bought[stage][place], trip.problems[stage]
    if not line.quantity:
        return False
    for later in range(stage, len(used)):
        pieces = there(trip, later, bought[: later + 1], left)
        if pieces[line.item] - line.pack < used[later][line.item]:
            return False
    less = list(bought[stage])
    less[place] = smaller(line)
    return bill(problem, less) <= bill(problem, bought[stage])


def _step(trip: Journey, stage: int, rig: Rig, bought: Lines, left: Left) -> Step:
    """A stage with what is bought and sold then; what was there before is owned."""
    needs, owned = trip.stages[stage].needs, there(trip, stage, bought[:stage], left)
    idle = {item: n - left[stage][item] for item, n in before(trip, stage, left).items()}
    to_sell = sales(idle, needs.resale, trip.problems[stage].catalogue)
    lines = tuple(bought[stage])
    placed = orders(lines, trip.problems[stage].catalogue, needs.exchange)
    free, units = Counter(owned), []
    for unit in rig.units:
        units.append(replace(unit, owned=free[unit.device.id] > 0))
        free[unit.device.id] -= 1
    rig = replace(
        rig,
        units=tuple(units),
        purchases=lines,
        orders=placed,
        total=paid(lines, placed) - proceeds(to_sell),
        to_sell=to_sell,
    )
    here = {item: pieces for item, pieces in owned.items() if pieces}
    return Step(trip.stages[stage].title, replace(needs, owned=here), rig)
