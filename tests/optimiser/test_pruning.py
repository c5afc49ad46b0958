"""What is left out before or while a question is solved is in no better rig.

The full model keeps every type in every place: no host falls short, no type is dropped for
another, and no column for what the relaxation says of it.
"""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from rigopt.optimiser.model import model
from rigopt.optimiser.search import fixing
from rigopt.optimiser.solver import relaxation
from rigopt.optimiser.solver.relaxation import Relaxation
from tests.optimiser.one_thing import one_thing
from tests.oracle.keys import Key, key_of
from tests.oracle.test_solver_agrees import name, rig_of
from tests.tiers import few

SEEDS = [range(first, first + 6) for first in range(0, 36, 6)]
MORE = [range(first, first + 30) for first in range(60, 1260, 30)]


def full(patch: pytest.MonkeyPatch) -> None:
    """Nothing is left out."""
    patch.setattr(model, "reaching", lambda _, hosts: hosts)
    patch.setattr(model, "undominated", lambda _, columns, *__: columns)
    patch.setattr(relaxation, "relax", lambda *_: Relaxation(0, {}))


def relaxed(patch: pytest.MonkeyPatch) -> None:
    """The relaxation is asked even where there are few columns."""
    patch.setattr(fixing, "FEW", -1)


def answers(seeds: Sequence[int]) -> dict[int, Key | None]:
    return {seed: key_of(rig_of(one_thing(seed))) for seed in seeds}


def compared(seeds: range) -> None:
    with pytest.MonkeyPatch.context() as patch:
        full(patch)
        whole = answers(seeds)
    assert answers(seeds) == whole
    with pytest.MonkeyPatch.context() as patch:
        relaxed(patch)
        assert answers(seeds) == whole


@pytest.mark.parametrize("seeds", few(SEEDS, now=0), ids=name)
def test_the_full_model_has_no_better_rig(seeds: range) -> None:
    compared(seeds)


@pytest.mark.long
@pytest.mark.parametrize("seeds", MORE, ids=name)
def test_the_full_model_has_no_better_rig_on_1200_more(seeds: range) -> None:
    compared(seeds)
