"""Each rule of the trade broken on purpose: a case that the right program gets right and
the broken one does not, or not without the audit's noticing.

The table of rules, mutants and cases is in `table.py`.
"""

from __future__ import annotations

import pytest

from tests.mutants.table import MUTANTS, Mutant

NAMES = [f"{mutant.rule}: {mutant.broken}" for mutant in MUTANTS]


@pytest.mark.parametrize("mutant", MUTANTS, ids=NAMES)
def test_the_mutant_is_killed(mutant: Mutant, monkeypatch: pytest.MonkeyPatch) -> None:
    assert mutant.case.answered(), mutant.case.ask()
    mutant.patch(monkeypatch)
    try:
        survived = mutant.case.answered()
    except (LookupError, StopIteration):  # a rig that cannot be put together is none
        survived = False
    assert not survived, mutant.case.ask()
