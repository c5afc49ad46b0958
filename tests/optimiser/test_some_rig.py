"""Several hosts: some rig is there long before it is known which is the cheapest."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from rigopt.answers.outcome import Answered
from rigopt.needs.types import Needs
from rigopt.optimiser.problem.problem import Problem, state
from rigopt.optimiser.questions.plan import solve
from rigopt.optimiser.search import pooled
from rigopt.optimiser.search.pooled import Search
from rigopt.optimiser.solver.linear import amount, total
from rigopt.optimiser.solver.run import NO_END, Deadline, Result, run
from rigopt.optimiser.solver.watch import Watch
from rigopt.rig.audit import audit
from tests.benchmarks.instances import catalogue
from tests.world import DESK, PRE
from tests.world import catalogue as shop

# The cheapest mix with hosts pooled cannot be wired with the hosts apart.
QUESTION = catalogue(2, 200), Needs(mic=128, max_hosts=4)


class StopsAtOnce(Watch):
    """Somebody who takes the first rig there is."""

    def found(self, money: int) -> None:
        """Stop."""
        super().found(money)
        self.stopped = True


def test_who_stops_gets_a_rig_that_works() -> None:
    first = solve(*QUESTION, watch=StopsAtOnce())
    best = solve(*QUESTION)
    assert isinstance(first, Answered)
    assert isinstance(best, Answered)
    assert (first.proven, best.proven) == (False, True)
    assert audit(first.rig, *QUESTION) == ()
    assert first.bound <= best.rig.total < first.rig.total < 2 * best.rig.total


SMALL = state(shop(DESK, PRE), Needs(mic=16, max_hosts=2))
NONE = Result("unknown", 0, lambda _: 0)


@pytest.mark.parametrize("few", [True, False])
def test_all_units_are_tried_where_few_will_not_do(
    few: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Pooled without clocks, pooled, apart of few units, and apart of all."""
    asked: list[tuple[bool, bool, bool]] = []
    some_rig = Search._any

    def told(self: Search, problem: Problem, deadline: Deadline, clocked: bool = True) -> Any:
        asked.append((problem.pooled, clocked, problem.most is None))
        model, rig, result = some_rig(self, problem, deadline, clocked)
        return model, rig, result if few or len(asked) != 3 else NONE

    monkeypatch.setattr(Search, "_any", told)
    monkeypatch.setattr(pooled, "stands", lambda *_: False)
    assert Search(SMALL).possible(NO_END).found
    every = [(True, False, True), (True, True, True), (False, True, False), (False, True, True)]
    assert asked == (every[:3] if few else every)


def test_of_few_units_where_such_a_rig_is_found_soon(monkeypatch: pytest.MonkeyPatch) -> None:
    search = Search(SMALL)
    model, rig, _ = search._any(SMALL, NO_END)
    model.maximize(total(rig.units()))
    most = run(model, NO_END)
    assert amount(rig.units(), most.value) > 2
    small = search._smaller(model, rig, most, NO_END)
    assert amount(rig.units(), small.value) == 2
    monkeypatch.setattr(pooled, "run", lambda *_, **__: NONE)
    assert search._smaller(model, rig, most, NO_END) is most


def test_units_that_are_chosen_are_asked_with_every_column(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """What another type could stand for may be all that is chosen; and no other question may
    take what was left of these."""
    search = Search(state(shop(DESK, PRE), Needs(mic=16)))
    chosen = replace(search.problem, most={DESK.id: 1, PRE.id: 1})
    monkeypatch.setattr(search._narrow, "columns", None)
    assert search._any(chosen, Deadline(None))[2].found
    none = replace(chosen, most={DESK.id: 2, PRE.id: 0})
    assert not search._any(none, Deadline(None))[2].found
