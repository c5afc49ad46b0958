"""When a mix is wired a second time, with what, and whether that counts."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from rigopt.needs.types import Needs
from rigopt.optimiser.problem.problem import Problem, state
from rigopt.optimiser.search import wiring as module
from rigopt.optimiser.search.ties import Mix
from rigopt.optimiser.solver.run import NO_END, Deadline
from rigopt.optimiser.solver.watch import Watch
from tests.world import COAX, DESK, OPT, WORD, catalogue

PROBLEM = state(catalogue(DESK), Needs(mic=8))
MIX = Mix(Counter({"desk-8": 1}), {})


def wired(objective: int) -> Any:
    return SimpleNamespace(objective=objective, mix=MIX)


def asked(
    monkeypatch: pytest.MonkeyPatch,
    first: int | None,
    second: int | None = None,
    idle: bool = False,
    deadline: Deadline = NO_END,
) -> tuple[int | None, list[tuple[int, int]]]:
    """The objective of what is wired, where 10 is known to be the least, and what was asked
    for: the least and the number of cables."""
    seen: list[tuple[int, int]] = []
    answers = [first, second]

    def cheapest(problem: Problem, mix: Mix, lower: int, _: Deadline) -> Any:
        assert mix is MIX
        seen.append((lower, len(problem.cables)))
        found = answers.pop(0)
        return None if found is None else wired(found)

    monkeypatch.setattr(module, "_cheapest", cheapest)
    monkeypatch.setattr(module, "_idle_leads", lambda *_: [COAX] if idle else [])
    problem = replace(PROBLEM, cables=(COAX, OPT, WORD))
    found = module.wire(problem, MIX, 10, deadline)
    return (found and found.objective), seen


def test_what_cannot_be_wired_is_not_asked_again(monkeypatch: pytest.MonkeyPatch) -> None:
    assert asked(monkeypatch, None) == (None, [(10, 3)])


def test_what_is_as_low_as_it_can_be_is_not_asked_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    assert asked(monkeypatch, 10) == (10, [(10, 3)])
    late = Deadline(0.0)
    assert asked(monkeypatch, 12, deadline=late) == (12, [(10, 3)])


def test_the_bound_and_idle_leads_have_no_say(monkeypatch: pytest.MonkeyPatch) -> None:
    twice = [(10, 3), (12, 3)]
    assert asked(monkeypatch, 12, 12) == (12, twice)
    assert asked(monkeypatch, 12, 13) == (12, twice)
    assert asked(monkeypatch, 12, None) == (12, twice)
    assert asked(monkeypatch, 10, 10, idle=True) == (10, [(10, 3), (10, 2)])


@pytest.mark.parametrize(
    ("ordered", "fixed", "asked_for"),
    [(False, 7, [False]), (True, 7, [True]), (True, None, [True, False])],
)
def test_baskets_stay_where_sellers_are_named_if_they_can(
    ordered: bool, fixed: int | None, asked_for: list[bool], monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[bool] = []

    def wire(*_: object, fixed: bool = False) -> Any:
        seen.append(fixed)
        return None if fixed and fails else wired(7)

    fails = fixed is None
    monkeypatch.setattr(module, "_wire", wire)
    monkeypatch.setattr(module, "chosen", lambda *_: PROBLEM)
    terms: Any = {"shop": None} if ordered else {}
    found = module._cheapest(replace(PROBLEM, order_terms=terms), MIX, 0, NO_END)
    assert found is not None
    assert found.objective == 7
    assert seen == asked_for


def test_past_the_last_moment_nothing_is_asked_of_the_solver(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    watch = Watch()
    watch.stopped, watch.late = True, 0.0
    monkeypatch.setattr(module, "run_late", None)
    assert module.wire(PROBLEM.apart(), MIX, 0, Deadline(None, watch)) is None
