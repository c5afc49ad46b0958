"""Which pieces sit on a chain of word inputs: those that are named, or those called for."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rigopt.catalogue.types import Cable
from rigopt.rig.chains import fitted, fittings
from rigopt.rig.types import ClockSetting, Link, Unit
from tests.wires import link
from tests.world import DESK, PRE, WORD

TEE = Cable("tee", "T-piece", "tee", 0, 300)
END = Cable("end", "Terminator", "terminator", 0, 200)
FOLLOWER = replace(PRE, word_in=1, word_end="none", clock_in=("word",))
UNITS = [
    Unit("host-1", replace(DESK, word_out=1), "host", ClockSetting("internal")),
    *(
        Unit(f"expander-{n}", FOLLOWER, "expander", ClockSetting("word", 1, "host-1"))
        for n in (1, 2)
    ),
]


def chain(*cables: Cable | None) -> list[Link]:
    """From the host by one expander to the next, by these cables."""
    first, second = (
        link("word", "host-1", 1, f"expander-{n}", 1, 0, ("clock",), cable)
        for n, cable in enumerate(cables, start=1)
    )
    return [first, replace(second, after="expander-1")]


@pytest.mark.parametrize("cable", [None, WORD])
def test_what_a_chain_calls_for(cable: Cable | None) -> None:
    """A T-piece at each, and a terminator at the last, which has no end of its own."""
    assert fittings(UNITS, chain(cable, cable)) == [(True, False), (True, True)]


def test_where_nobody_names_a_cable_its_pieces_are_there() -> None:
    assert fitted(UNITS, chain(None, None)) == [(True, False), (True, True)]


def test_where_the_cable_is_named_its_pieces_are_those_that_are_named() -> None:
    first, second = chain(WORD, WORD)
    assert fitted(UNITS, [first, second]) == [(False, False), (False, False)]
    named = [replace(first, terminator=END), replace(second, tee=TEE)]
    assert fitted(UNITS, named) == [(False, True), (True, False)]
