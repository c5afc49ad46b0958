"""Second opinions on what the tests prove: each proven end is confirmed or fails.

A solver of another kind is asked for the same money, or that there is no rig (`opinions.py`).
That takes as long again as the answer and sometimes longer, so a test of every run has its
first few ends confirmed, one of the full tier more, and one on demand all, within a time for
each folder. Where a second opinion comes to no end in its time, nothing is said.
"""

from __future__ import annotations

import math
import sys
import time
from collections import Counter, defaultdict
from collections.abc import Callable
from dataclasses import replace
from typing import Any, Final

import pytest

from rigopt.answers.outcome import Opinion
from rigopt.catalogue.ends import at_upper_ends
from rigopt.optimiser.questions import alternatives, curve, plan
from rigopt.optimiser.questions.growth import grow
from rigopt.optimiser.questions.repair import model as repair
from rigopt.optimiser.questions.why import why
from rigopt.optimiser.search import pooled
from rigopt.optimiser.solver.run import Deadline
from tests import opinions

FOLDERS: Final = (
    "audit",
    "optimiser",
    "oracle",
    "analogue",
    "money",
    "choice",
    "choice_commands",
    "growth",
    "regret",
)
"""Of tests that prove something."""

MOST: Final = {"": 1, "full": 20, "long": 1_000_000}
"""Ends of each question of one test that are confirmed, by tier."""

LIMIT_S: Final = 2.0
TOGETHER_S: Final = {"": 1.0, "full": 5.0, "long": math.inf}
"""Processor time for all of a tier in one folder and process; after that no more are asked."""

SPENT_S: Final[defaultdict[tuple[str, str], float]] = defaultdict(float)
SAID: Final[Counter[tuple[str, str, str]]] = Counter()
"""How often what was said of which question, by folder."""

Ask = Callable[..., Any]


class Confirming:
    """Confirms the first ends of one test; of a question within a question it asks nothing."""

    def __init__(self, folder: str, tier: str) -> None:
        self.folder, self.tier = folder, tier
        self.asked_of, self.inside = Counter[str](), False

    def asked(self, ask: Ask, name: str, judge: Callable[..., Opinion]) -> Ask:
        """`ask`, whose ends are judged by what was asked and what came of it."""

        def confirmed(*args: Any, **named: Any) -> Any:
            enough = self.asked_of[name] == MOST[self.tier]
            if self.inside or enough or self._spent >= TOGETHER_S[self.tier]:
                return ask(*args, **named)
            self.inside = True
            try:
                found = ask(*args, **named)
                self._judge(name, lambda: judge(found, *args, **named))
            finally:
                self.inside = False
            return found

        return confirmed

    @property
    def _spent(self) -> float:
        return SPENT_S[self.folder, self.tier]

    def _judge(self, name: str, judge: Callable[[], Opinion]) -> None:
        self.asked_of[name] += 1
        begun = time.process_time()
        said = judge()
        SPENT_S[self.folder, self.tier] += time.process_time() - begun
        SAID[self.folder, name, said] += 1
        if said == "disagrees":
            pytest.fail(f"the second opinion disagrees about {name}")


def _limit() -> Deadline:
    return Deadline(LIMIT_S)


def _solve(found: Any, catalogue: Any, needs: Any, *_: Any, **__: Any) -> Opinion:
    return opinions.of_outcome(found, catalogue, needs, _limit())


def _best(found: Any, search: Any, _: Any, scope: Any = pooled.ANY_COST, *__: Any) -> Opinion:
    return opinions.of_search(search, found, _limit(), scope.upper)


def _possible(found: Any, search: Any, _: Any) -> Opinion:
    return opinions.of_search(search, found, _limit())


def _at(found: Any, series: Any, mic: int, *_: Any) -> Opinion:
    needs = replace(series.needs, mic=mic)
    return opinions.of_outcome(found, series.catalogue, needs, _limit())


def _alternatives(found: Any, catalogue: Any, needs: Any, rig: Any, *_: Any) -> Opinion:
    return opinions.of_alternatives(catalogue, needs, rig, found, _limit())


def _why(found: Any, catalogue: Any, needs: Any, *_: Any) -> Opinion:
    return opinions.of_why(at_upper_ends(catalogue), needs, found, _limit())


def _together(found: Any, trip: Any, *_: Any, **__: Any) -> Opinion:
    return opinions.of_trip(trip, found, _limit())


def _repair(found: Any, case: Any, *_: Any) -> Opinion:
    return opinions.of_repair(found, case, _limit())


QUESTIONS: Final[tuple[tuple[Any, str, Callable[..., Opinion]], ...]] = (
    (pooled.Search, "best", _best),
    (pooled.Search, "possible", _possible),
    (curve.Series, "at", _at),
    (plan, "solve", _solve),
    (alternatives, "alternatives", _alternatives),
    (why, "why", _why),
    (grow, "together", _together),
    (repair, "solve", _repair),
)
"""Who answers, and how that is judged; functions are found by each name that modules have for
them."""


@pytest.fixture(autouse=True)
def second_opinions(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Confirm what a test proves, if it is of one of the `FOLDERS`.

    Not where its module asks for second opinions itself, or its ends are made up.
    """
    folder = request.path.parent.name
    own = vars(request.module).keys() & {"opinions", "second_opinion"}
    if folder not in FOLDERS or own or request.node.get_closest_marker("made_up"):
        return
    tier = next((t for t in ("long", "full") if request.node.get_closest_marker(t)), "")
    confirming = Confirming(folder, tier)
    for owner, name, judge in QUESTIONS:
        ask = getattr(owner, name)
        confirmed = confirming.asked(ask, name, judge)
        for place in [owner] if isinstance(owner, type) else _places(name, ask):
            monkeypatch.setattr(place, name, confirmed)


def _places(name: str, ask: Ask) -> list[Any]:
    """The modules that know it by its name."""
    modules = list(sys.modules.items())
    ours = [module for place, module in modules if place.split(".")[0] in ("rigopt", "tests")]
    return [module for module in ours if vars(module).get(name) is ask]
