"""The answer is audited before anybody sees it; solver and audit are stood in for."""

from __future__ import annotations

import sys
from types import ModuleType
from typing import Any

import pytest

from rigopt.answers.choice import Need
from rigopt.answers.outcome import Answered, Impossible, Outcome
from rigopt.api.ask import ask_plan
from rigopt.api.audited import AuditFailedError
from rigopt.catalogue.types import Catalogue, Device
from rigopt.needs.types import Needs
from rigopt.optimiser.solver.watch import Watch
from rigopt.rig.audit.finding import Finding, finding
from rigopt.rig.types import ClockSetting, Rig, Unit

UNIT = Unit("host-1", Device("a", "A", "host"), "host", ClockSetting("internal"))
RIG = Rig(48000, (UNIT,), (), (), (), 0, 0)
CATALOGUE = Catalogue("c", "C", "GBP", {}, {})


def stand_in(
    monkeypatch: pytest.MonkeyPatch, outcome: Outcome, found: tuple[Finding, ...]
) -> list[Any]:
    seen: list[object] = []

    def solve(*args: object) -> Outcome:
        seen.append(args)
        return outcome

    def audit(*args: object) -> tuple[Finding, ...]:
        seen.append(args)
        return found

    for name, function in (
        ("rigopt.optimiser.questions.plan", solve),
        ("rigopt.rig.audit", audit),
    ):
        module = ModuleType(name)
        setattr(module, function.__name__, function)
        monkeypatch.setitem(sys.modules, name, module)
    return seen


def test_a_sound_rig_is_handed_over(monkeypatch: pytest.MonkeyPatch) -> None:
    outcome = Answered(RIG, 0, True)
    seen = stand_in(monkeypatch, outcome, ())
    assert ask_plan(CATALOGUE, Needs(mic=1), 2.0).outcome is outcome
    (*asked, watch), audited = seen
    assert asked == [CATALOGUE, Needs(mic=1), 2.0]
    assert isinstance(watch, Watch)
    assert audited == (RIG, CATALOGUE, Needs(mic=1))


def test_a_rig_that_fails_the_audit_is_not(monkeypatch: pytest.MonkeyPatch) -> None:
    found = (finding("no-host"), finding("cable-unnamed", link="x"))
    stand_in(monkeypatch, Answered(RIG, 0, True), found)
    with pytest.raises(AuditFailedError) as caught:
        ask_plan(CATALOGUE, Needs(mic=1))
    assert caught.value.findings == found
    assert caught.value.exit_status == 70
    said = str(caught.value).splitlines()
    assert "fault of this program" in said[1]
    assert said[2:] == [
        "- no unit is a host, so the computer sees no inputs",
        "- nothing says which cable x is",
    ]


def test_without_a_rig_there_is_an_explanation_and_nothing_to_audit(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    seen = stand_in(monkeypatch, Impossible(minimal=False), (finding("no-host"),))
    module = ModuleType("rigopt.optimiser.questions.conflict.explain")
    conflict = (Need("mic", 1),)
    module.explained = lambda *_: Impossible(conflict=conflict)  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, module.__name__, module)
    told = ask_plan(CATALOGUE, Needs(mic=1)).outcome
    assert told == Impossible(conflict=conflict)
    assert len(seen) == 1  # the solver was asked, the audit was not
