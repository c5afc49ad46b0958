"""Why a rig has no repair: a sentence for each cause."""

from __future__ import annotations

import pytest

from rigopt.answers.repair import Cause, NoRepair, Unmet
from rigopt.output.words.repair import reasons
from rigopt.rig.audit.finding import finding

CAUSES = {
    Cause("size"): "this rig is too large to be repaired by calculation",
    Cause("prices"): "the prices of cables are too large to add up exactly",
    Cause("time", seconds=0.5): "none was found within 0.5 s; there may be one",
    Cause("cannot lock", ("a", "b")): (
        "a and b can lock to nothing at this rate, so each would have to be the one clock "
        "master"
    ),
    Cause("no clock", ("a",)): (
        "a can lock to nothing at this rate, and has no clock of its own"
    ),
    Cause("no master"): "no unit has a clock of its own to be the master",
    Cause("clock"): "these units cannot all be joined to one clock, whatever the cables",
    Cause("budget"): "the cables would cost more than the budget",
    Cause("cables"): "the catalogue sells no cable that would be long enough",
    Cause("cables", ("coax", "word")): (
        "the catalogue sells no cable that would be long enough "
        "(none at all of the kind coax or word)"
    ),
    Cause("needs", unmet=(Unmet("outputs", 1),)): (
        "a feed for 1 line output is more than these units can do"
    ),
    Cause("needs", unmet=(Unmet("hops", 1), Unmet("master", "host"))): (
        "a clock chain of 1 cable at most and a clock master that is host cannot be had "
        "together from these units"
    ),
    Cause("needs", unmet=(Unmet("inputs", 9), Unmet("outputs", 2), Unmet("hops", 0))): (
        "an input for every source that is asked for, a feed for 2 line outputs and a clock "
        "chain of 0 cables at most cannot be had together from these units"
    ),
    Cause("many needs"): ("several of the needs together are more than these units can do"),
}


@pytest.mark.parametrize(
    ("cause", "said"), CAUSES.items(), ids=lambda one: getattr(one, "name", "")
)
def test_a_cause_in_words(cause: Cause, said: str) -> None:
    assert reasons(NoRepair(causes=(cause,))) == (said,)


def test_faults_that_no_cable_cures_come_first() -> None:
    found = NoRepair(
        of_units=(finding("no-host"),),
        of_list=(finding("pair", pair="Drums", seats="far apart"),),
        causes=(Cause("size"),),
    )
    first, second, last = reasons(found)
    assert not first.endswith("cures that")
    assert second.endswith(": no cable cures that")
    assert last == CAUSES[Cause("size")]
