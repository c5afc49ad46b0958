"""Objectives one after another: what is known when the solver ends early, each by hand."""

from __future__ import annotations

from typing import Any

import pytest
from ortools.sat.python import cp_model

from rigopt.optimiser.solver import lexicographic
from rigopt.optimiser.solver.lexicographic import Optimum, optimise
from rigopt.optimiser.solver.run import NO_END, Result


def found(status: Any, first: int, second: int) -> Result:
    """A solution with so much of either objective."""
    return Result(status, 0, lambda var: (first, second)[var.index])


KNOWN = found("feasible", 5, 5)
LESS, SAME, MORE = (found("feasible", first, 0) for first in (4, 5, 6))
NONE = Result("unknown", 0, lambda _: 0)


def ends(monkeypatch: pytest.MonkeyPatch, known: Result | None, *results: Result) -> Optimum:
    """What comes of two objectives where the solver answers so."""
    model = cp_model.CpModel()
    x, y = (model.new_int_var(0, 9, "") for _ in "xy")
    answers = iter(results)
    monkeypatch.setattr(lexicographic, "run", lambda *_: next(answers))
    optimum = optimise(model, [[(x, 1)], [(y, 1)]], NO_END, known)
    assert next(answers, None) is None
    assert not model.has_objective()
    return optimum


@pytest.mark.parametrize(
    ("known", "first", "kept"),
    [
        (KNOWN, LESS, LESS),
        (KNOWN, SAME, KNOWN),  # it may come first in what follows
        (KNOWN, MORE, KNOWN),
        (KNOWN, NONE, KNOWN),
        (None, MORE, MORE),
        (None, NONE, NONE),
    ],
)
def test_without_the_time_the_better_one_is_kept(
    known: Result | None, first: Result, kept: Result, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert ends(monkeypatch, known, first) == (kept, False)


def test_with_the_time_the_last_one_is_the_first_of_all(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    best, last = found("optimal", 4, 7), found("optimal", 4, 6)
    assert ends(monkeypatch, KNOWN, best, last) == (last, True)
    assert ends(monkeypatch, None, best, last) == (last, True)
    assert ends(monkeypatch, KNOWN, best, NONE) == (best, False)
    # What is as small as it can be is not asked for.
    least = found("optimal", 0, 0)
    assert ends(monkeypatch, least) == (least, True)
    assert ends(monkeypatch, None, least) == (least, True)
