"""What tests of growth share."""

from __future__ import annotations

import pytest
from ortools.sat.python import cp_model

from rigopt.optimiser.solver import run


@pytest.fixture
def no_time(monkeypatch: pytest.MonkeyPatch) -> None:
    """The solver never comes to an end in time, however small the question is."""
    monkeypatch.setattr(run, "solve_attended", lambda *_: cp_model.UNKNOWN)
