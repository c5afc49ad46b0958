"""Each rule of the trade broken on purpose: a case that the right program gets right and
the broken one does not, or not without the audit's noticing.

The tables of rules, mutants and cases are in `table.py` and `lines.py`.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from rigopt.optimiser.problem.at_rate import at_rate
from rigopt.optimiser.problem.ports import hostings
from tests.mutants.lines import LINES
from tests.mutants.table import MUTANTS, Mutant

ALL = (*MUTANTS, *LINES)
NAMES = [f"{mutant.rule}: {mutant.broken}" for mutant in ALL]


@pytest.fixture(autouse=True)
def nothing_kept() -> Iterator[None]:
    """What is kept of boxes between questions follows from rules that change here."""
    yield
    _forget()


def _forget() -> None:
    at_rate.cache_clear()
    hostings.cache_clear()


@pytest.mark.parametrize("mutant", ALL, ids=NAMES)
def test_the_mutant_is_killed(mutant: Mutant, monkeypatch: pytest.MonkeyPatch) -> None:
    assert mutant.case.answered(), mutant.case.ask()
    mutant.patch(monkeypatch)
    _forget()
    try:
        survived = mutant.case.answered()
    except (LookupError, StopIteration):  # a rig that cannot be put together is none
        survived = False
    assert not survived, mutant.case.ask()
