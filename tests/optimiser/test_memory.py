"""While a model is made, nothing is looked for; after it all is as it was."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from typing import Any

import pytest

from rigopt.needs.types import Needs
from rigopt.optimiser.problem.problem import state
from rigopt.optimiser.search import posed, wiring
from rigopt.optimiser.search.pooled import Best, Search
from rigopt.optimiser.solver.memory import uncollected
from rigopt.optimiser.solver.run import NO_END
from tests.world import DESK, PRE, catalogue

pytestmark = pytest.mark.made_up


@pytest.fixture(autouse=True)
def _as_before() -> Iterator[None]:
    before = gc.isenabled()
    yield
    (gc.enable if before else gc.disable)()


@pytest.mark.parametrize("before", [True, False])
def test_after_it_all_is_as_it_was(before: bool) -> None:
    (gc.enable if before else gc.disable)()
    with uncollected():
        with uncollected():
            assert not gc.isenabled()
        assert not gc.isenabled()
    assert gc.isenabled() is before
    with pytest.raises(ZeroDivisionError), uncollected():
        1 / 0  # noqa: B018
    assert gc.isenabled() is before


def test_no_model_is_looked_through_while_it_is_made(monkeypatch: pytest.MonkeyPatch) -> None:
    made: list[tuple[str, bool]] = []
    for module in (posed, wiring):

        def noted(
            *known: Any, way: Any = module.build, name: str = module.__name__, **more: Any
        ) -> Any:
            made.append((name.rsplit(".", maxsplit=1)[-1], gc.isenabled()))
            return way(*known, **more)

        monkeypatch.setattr(module, "build", noted)
    gc.enable()
    search = Search(state(catalogue(DESK, PRE), Needs(mic=16, max_hosts=2)))
    assert isinstance(search.best(NO_END), Best)
    assert gc.isenabled()
    assert {name for name, _ in made} == {"posed", "wiring"}
    assert not any(looked for _, looked in made)
