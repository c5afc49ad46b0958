"""From baskets to steps: how each stage's rig stands, and what had to be bought for it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from rigopt.answers.growth import Growth
from rigopt.optimiser.decode.baskets import bill, smaller, used_by
from rigopt.optimiser.decode.decode import decode
from rigopt.optimiser.questions.growth.journey import Journey
from rigopt.optimiser.search.pooled import Best, Search
from rigopt.optimiser.solver.run import GRACE_S, Deadline
from rigopt.rig.orders import orders, paid
from rigopt.rig.step import Step
from rigopt.rig.types import Purchase, Rig

Lines = Sequence[Sequence[Purchase]]
"""What is bought at each stage, from the first one on."""


def there(trip: Journey, stage: int, bought: Lines) -> Counter[str]:
    """Pieces of each item that are owned at a stage, or have been bought."""
    pieces = Counter(trip.problems[stage].needs.owned)
    for lines in bought:
        for line in lines:
            pieces[line.item] += line.quantity * line.pack
    return pieces


def growth(trip: Journey, bought: Lines, deadline: Deadline) -> Growth | None:
    """The steps of what is bought; None if the rig of a stage cannot be found."""
    rigs: list[Rig] = []
    for stage in range(len(trip.stages)):
        rig = _stand(trip, stage, there(trip, stage, bought[: stage + 1]), deadline, rigs)
        if rig is None:
            return None
        rigs.append(rig)
    kept = _without_idle(trip, rigs, [list(lines) for lines in bought])
    steps = tuple(_step(trip, stage, rig, kept) for stage, rig in enumerate(rigs))
    return Growth(steps, 0, proven=False)


def _stand(
    trip: Journey, stage: int, pieces: Counter[str], deadline: Deadline, before: Sequence[Rig]
) -> Rig | None:
    """The smallest rig from what is there, its units as they stood before."""
    problem = trip.problems[stage]
    needs = replace(problem.needs, owned=dict(pieces), budget=None)
    stands = replace(problem, needs=needs, supplies={}, order_terms={}).only(pieces, pieces)
    best = Search(stands).best(deadline)
    if not isinstance(best, Best) and best.status != "infeasible":
        # Time is up, but what was bought before that has to be wired.
        best = Search(stands).best(Deadline(GRACE_S))
    return decode(stands, best.counted, before) if isinstance(best, Best) else None


def _without_idle(
    trip: Journey, rigs: Sequence[Rig], bought: list[list[Purchase]]
) -> list[list[Purchase]]:
    """The purchases without packs that no stage uses and that save no fee.

    A search that ran out of time may have bought such. The early ones go first.
    """
    used = [
        used_by(problem, rig.units, rig.links)
        for problem, rig in zip(trip.problems, rigs, strict=True)
    ]
    idle = True
    while idle:
        idle = False
        for stage, lines in enumerate(bought):
            for place in reversed(range(len(lines))):
                while _idle(trip, used, bought, stage, place):
                    lines[place] = smaller(lines[place])
                    idle = True
    return [[line for line in lines if line.quantity] for lines in bought]


def _idle(
    trip: Journey, used: Sequence[Counter[str]], bought: Lines, stage: int, place: int
) -> bool:
    """Whether a pack of a line is not called for then or later, and nothing is saved by it."""
    line, problem = bought[stage][place], trip.problems[stage]
    if not line.quantity:
        return False
    for later in range(stage, len(used)):
        pieces = there(trip, later, bought[: later + 1])
        if pieces[line.item] - line.pack < used[later][line.item]:
            return False
    less = list(bought[stage])
    less[place] = smaller(line)
    return bill(problem, less) <= bill(problem, bought[stage])


def _step(trip: Journey, stage: int, rig: Rig, bought: Lines) -> Step:
    """A stage with what is bought then; what was there before is owned."""
    needs, before = trip.stages[stage].needs, there(trip, stage, bought[:stage])
    lines = tuple(bought[stage])
    placed = orders(lines, trip.problems[stage].catalogue, needs.exchange)
    left, units = Counter(before), []
    for unit in rig.units:
        units.append(replace(unit, owned=left[unit.device.id] > 0))
        left[unit.device.id] -= 1
    rig = replace(
        rig, units=tuple(units), purchases=lines, orders=placed, total=paid(lines, placed)
    )
    owned = {item: pieces for item, pieces in before.items() if pieces}
    return Step(trip.stages[stage].title, replace(needs, owned=owned), rig)
