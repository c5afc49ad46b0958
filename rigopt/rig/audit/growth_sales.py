"""Growth: what is owned is sold at the first stage from which on no stage uses it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Stage
from rigopt.rig.audit.finding import Finding, finding
from rigopt.rig.audit.pieces import called_for
from rigopt.rig.step import Step

Held = Counter[str]


def owned_then(steps: Sequence[Step], stages: Sequence[Stage]) -> list[Held]:
    """What is left at the beginning of each stage of what was never bought."""
    found: list[Held] = []
    left, before = Held(), Held()
    for step, stage in zip(steps, stages, strict=True):
        owned = Held(stage.needs.owned)
        there = (left + (owned - before)) & owned
        found.append(there)
        left = there - _sold(step)
        before = owned
    return found


def check_sales_in_turn(
    steps: Sequence[Step], stages: Sequence[Stage], catalogue: Catalogue
) -> Iterator[Finding]:
    """Rule sold: nothing that a stage uses is sold at it, and nothing is sold too late."""
    # After the last stage nothing is owned any more.
    come = [*owned_then(steps, stages), Held()]
    later = Held()
    for place, step in reversed(list(enumerate(steps))):
        sold, used = _sold(step), Held()
        for (_, item), count in called_for(step.rig, catalogue, step.needs).items():
            used[item] += count
        kept, free = come[place] - sold, come[place] - used
        # What is sold later, or is no longer owned then, could be sold here.
        idle = (kept - used) & (later + (kept - come[place + 1]))
        for item in dict.fromkeys([*sold, *stages[place].needs.resale]):
            right = min(sold[item], free[item]) + idle[item]
            if sold[item] != right:
                yield finding(
                    "sold", "stages", stage=step.title, item=item, said=sold[item], right=right
                )
        later = idle + sold


def _sold(step: Step) -> Held:
    return Held({line.item: line.quantity for line in step.rig.to_sell})
