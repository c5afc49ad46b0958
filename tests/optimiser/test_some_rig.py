"""Several hosts: some rig is there long before it is known which is the cheapest."""

from __future__ import annotations

from rigopt.answers.outcome import Answered
from rigopt.needs.types import Needs
from rigopt.optimiser.questions.plan import solve
from rigopt.optimiser.solver.watch import Watch
from rigopt.rig.audit import audit
from tests.benchmarks.instances import catalogue

# The cheapest mix with hosts pooled cannot be wired with the hosts apart.
QUESTION = catalogue(2, 200), Needs(mic=128, max_hosts=4)


class StopsAtOnce(Watch):
    """Somebody who takes the first rig there is."""

    def found(self, money: int) -> None:
        """Stop."""
        super().found(money)
        self.stopped = True


def test_who_stops_gets_a_rig_that_works() -> None:
    first = solve(*QUESTION, watch=StopsAtOnce())
    best = solve(*QUESTION)
    assert isinstance(first, Answered)
    assert isinstance(best, Answered)
    assert (first.proven, best.proven) == (False, True)
    assert audit(first.rig, *QUESTION) == ()
    assert first.bound <= best.rig.total < first.rig.total < 2 * best.rig.total
