"""What is asked of the choice behind an outcome, and of which rig; nothing is solved here."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from rigopt.answers.outcome import Choice, Impossible, Outcome, OutOfTime, Regret
from rigopt.needs.types import Needs
from rigopt.optimiser.questions import behind as module
from rigopt.optimiser.questions.behind import Wanted, behind
from rigopt.optimiser.solver.run import NO_END
from tests.output.rigs import CATALOGUE, answered

END = answered()
CHEAPEST = replace(END, rig=replace(END.rig, total=1))
ASKED = ("alternatives", "why", "checks", "more")


def told(
    patch: pytest.MonkeyPatch, end: Outcome, wanted: Wanted, there: Outcome = CHEAPEST
) -> Any:
    """The choice, where each question says of which rig, and how many, it is asked."""
    for name in ASKED:
        patch.setattr(module, name, lambda _, __, rig, *rest: (rig.total, *rest[:-1]))
    patch.setattr(module, "solve", lambda *_: there)
    return behind(CATALOGUE, Needs(mic=16), end, wanted, NO_END)


@pytest.mark.parametrize("end", [replace(END, proven=False), Impossible(), OutOfTime(1.0)])
def test_of_what_is_no_proven_rig_nothing_is_asked(
    end: Outcome, monkeypatch: pytest.MonkeyPatch
) -> None:
    every = Wanted(2, True, True, Decimal(5))
    assert told(monkeypatch, end, every) == Choice(end)


@pytest.mark.parametrize(
    ("wanted", "said"),
    [
        (Wanted(), (None, None, None, None)),
        (Wanted(alternatives=2), ((20600, 2), None, None, None)),
        (Wanted(why=True), (None, (20600,), None, None)),
        (Wanted(checks=True), (None, None, (20600,), None)),
        (Wanted(more=Decimal(0)), (None, None, None, (20600, Decimal(0)))),
    ],
)
def test_each_question_is_asked_if_it_is_wanted(
    wanted: Wanted, said: tuple[object, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    found = told(monkeypatch, END, wanted)
    assert tuple(getattr(found, name) for name in ASKED) == said


@pytest.mark.parametrize(("there", "total"), [(CHEAPEST, 1), (OutOfTime(1.0), 20600)])
def test_why_is_asked_of_the_cheapest_where_the_answer_has_the_least_regret(
    there: Outcome, total: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    end = replace(END, regret=Regret(10, 10))
    found = told(monkeypatch, end, Wanted(1, True, True), there)
    assert (found.why, found.alternatives, found.checks) == ((total,), (20600, 1), (20600,))


def test_the_cheapest_is_not_searched_for_where_nobody_asks_why(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    end = replace(END, regret=Regret(10, 10))
    searched: list[object] = []
    monkeypatch.setattr(module, "solve", searched.append)
    assert behind(CATALOGUE, Needs(mic=16), end, Wanted(), NO_END) == Choice(end)
    assert searched == []
