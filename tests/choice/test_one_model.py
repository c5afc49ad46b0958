"""All prices of an explanation are asked of one model: told by how many are built."""

from __future__ import annotations

from typing import Any

import pytest

from rigopt.answers.outcome import Answered
from rigopt.needs.types import Needs
from rigopt.optimiser.questions.plan import solve
from rigopt.optimiser.questions.why import why
from rigopt.optimiser.search import posed
from rigopt.optimiser.solver.run import Deadline
from tests.benchmarks.instances import catalogue


def test_more_types_need_no_more_models(monkeypatch: pytest.MonkeyPatch) -> None:
    built: list[int] = []
    build = posed.build

    def counted(*given: Any, **more: Any) -> Any:
        built.append(1)
        return build(*given, **more)

    for types in (20, 40):
        shop, needs = catalogue(1, types), Needs(mic=24)
        found = solve(shop, needs)
        assert isinstance(found, Answered)
        with monkeypatch.context() as patched:
            patched.setattr(posed, "build", counted)
            prices = why._Prices(shop, needs, found.rig, Deadline(None)).all()
        assert len(prices) == types
        # One for the rig again, and one for all prices.
        assert len(built) == 2
        built.clear()
