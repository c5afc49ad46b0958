"""Rigs and baskets are the cheapest there are: the solver agrees with enumeration."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings

from rigopt.answers.outcome import Answered, Impossible
from rigopt.optimiser.questions.plan import solve
from rigopt.output.words.findings import says
from rigopt.rig.audit import audit
from tests.money.brute import brute_best
from tests.money.instances import Question, instance, questions
from tests.oracle.keys import key_of
from tests.tiers import few

SLOW = (0, 25, 50, 75, 100, 125, 175)
"""A seed or two of these keep the enumeration busy for a minute."""


def trouble(question: Question) -> str:
    """How the optimiser differs from enumeration or breaks a rule; empty if it does not."""
    outcome = solve(*question)
    key = brute_best(*question)
    if isinstance(outcome, Impossible):
        return "" if key is None else f"impossible, but there is {key}"
    assert isinstance(outcome, Answered)
    assert outcome.proven
    assert outcome.bound == outcome.rig.total
    rig = outcome.rig
    if key_of(rig) != key:
        return f"found {key_of(rig)}, not {key}"
    return "; ".join(says(found) for found in audit(rig, *question))


@pytest.mark.parametrize("first", few(range(0, 200, 25), now=0, slow=SLOW))
def test_agrees_with_enumeration(first: int) -> None:
    found = {
        seed: what for seed in range(first, first + 25) if (what := trouble(instance(seed)))
    }
    assert not found


# What is drawn depends on which modules are loaded (their numbers are tried), and some of it
# keeps the enumeration busy for minutes.
@pytest.mark.long
@settings(
    max_examples=10, derandomize=True, deadline=None, suppress_health_check=list(HealthCheck)
)
@given(question=questions())
def test_agrees_on_anything(question: Question) -> None:
    assert not trouble(question)
