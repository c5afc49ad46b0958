"""Second opinions on what the tests prove: each proven end of `solve` is confirmed or fails.

A solver of another kind is asked for the same money, or that there is no rig. That takes as
long again as the answer and sometimes longer, so a test of every run has its first few ends
confirmed, one of the full tier more, and one on demand all, within a time for all of a tier.
Where a second opinion comes to no end in its time, nothing is said.
"""

from __future__ import annotations

import math
import sys
import time
from collections.abc import Callable
from typing import Any, Final

import pytest

from rigopt.answers.outcome import Impossible, Outcome
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.optimiser.questions import plan
from rigopt.optimiser.questions.second import second_opinion
from rigopt.optimiser.solver.run import Deadline

FOLDERS: Final = ("optimiser", "oracle", "analogue", "money")
"""Of tests that prove something; they ask `solve`, each by its own name for it."""

MOST: Final = {"": 2, "full": 20, "long": 1_000_000}
"""Ends of one test that are confirmed, by tier."""

LIMIT_S: Final = 2.0
TOGETHER_S: Final = {"": 10.0, "full": 60.0, "long": math.inf}
"""Processor time for all of a tier in one process; after that no more are asked."""

SPENT_S: Final = dict.fromkeys(TOGETHER_S, 0.0)

Solve = Callable[..., Outcome]


def seconded(solve: Solve, tier: str) -> Solve:
    """`solve`, whose first ends are confirmed."""
    left = MOST[tier]

    def confirmed(catalogue: Catalogue, needs: Needs, *more: Any, **named: Any) -> Outcome:
        nonlocal left
        outcome = solve(catalogue, needs, *more, **named)
        if left and SPENT_S[tier] < TOGETHER_S[tier]:
            left -= 1
            begun = time.process_time()
            told = second_opinion(outcome, catalogue, needs, Deadline(LIMIT_S))
            SPENT_S[tier] += time.process_time() - begun
            if getattr(told, "second", None) == "disagrees":
                end = "no rig" if isinstance(outcome, Impossible) else "the money"
                pytest.fail(f"the second opinion disagrees about {end}: {needs}")
        return outcome

    return confirmed


@pytest.fixture(autouse=True)
def second_opinions(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Confirm what a test proves, if it is of one of the `FOLDERS`."""
    folder = request.path.parent.name
    own = getattr(request.module, "second_opinion", None) is not None
    if folder in FOLDERS and not own:
        tier = next((t for t in ("long", "full") if request.node.get_closest_marker(t)), "")
        solve = plan.solve
        confirmed = seconded(solve, tier)
        for name, module in list(sys.modules.items()):
            if name.startswith("tests.") and getattr(module, "solve", None) is solve:
                monkeypatch.setattr(module, "solve", confirmed)
        monkeypatch.setattr(plan, "solve", confirmed)
