"""Pairs side by side: the mix is chosen so that they find room."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

from rigopt.answers.outcome import Answered
from rigopt.catalogue.types import Device, Source
from rigopt.needs.types import SourceLine
from rigopt.optimiser.model.pairs import _room
from rigopt.optimiser.questions.plan import solve
from rigopt.rig.audit import audit
from tests.world import asked, catalogue

ODD = Device("odd-3", "3 preamps", "host", 10000, mic_line=3, phantom_bank=3)
EVEN = replace(ODD, id="even-4", price=15000, mic_line=4, phantom_bank=4)
OWN = replace(ODD, id="own-4", price=30000, mic_line=4, phantom_bank=1)


def lines(*pairs: tuple[str, str, str]) -> tuple[SourceLine, ...]:
    """Two microphones of each pair, each with its wish for 48 V."""
    return tuple(
        SourceLine(f"{name} {side}", "mic", power, name)  # type: ignore[arg-type]
        for name, *powers in pairs
        for side, power in zip("LR", powers, strict=True)
    )


def test_a_unit_with_room_for_one_pair_is_passed_over() -> None:
    # Three channels hold three microphones, but one pair only.
    sources = (*lines(("A", "any", "any")), SourceLine("Solo"))
    shop, needs = catalogue(ODD, EVEN), asked(sources)
    found = solve(shop, needs)
    assert isinstance(found, Answered)
    assert found.rig.total == 10000
    two = asked(lines(("A", "any", "any"), ("B", "any", "any")))
    found = solve(shop, two)
    assert isinstance(found, Answered)
    assert found.rig.total == 15000
    assert audit(found.rig, shop, two) == ()


def test_a_pair_that_differs_in_48_volts_needs_two_banks_side_by_side() -> None:
    # Two banks of two can hold on, off, on, off; not as neighbours twice.
    banks = replace(EVEN, id="banks", price=12000, phantom_bank=2)
    shop = catalogue(banks, OWN)
    needs = asked(lines(("A", "on", "off"), ("B", "on", "off")))
    found = solve(shop, needs)
    assert isinstance(found, Answered)
    assert (found.rig.total, found.rig.split_pairs) == (30000, ())
    alone = solve(catalogue(banks), needs)
    assert isinstance(alone, Answered)
    assert len(alone.rig.split_pairs) == 1


def test_microphones_without_a_pair_are_none() -> None:
    # One preamp each: neither has two neighbours, and nobody asks for any.
    one = Device("one", "", "host", 10000, mic_line=1, optical_in=1, clock_in=("optical",))
    other = Device("other", "", "expander", 5000, mic_line=1, optical_out=1)
    needs = asked((SourceLine("Kick"), SourceLine("Snare")))
    found = solve(catalogue(one, other), needs)
    assert isinstance(found, Answered)
    assert found.rig.total == 15000 + 600


def test_neighbours_that_take_one_of_the_kinds_have_room_for_pairs() -> None:
    kinds = SimpleNamespace(channel_kinds=("mic", "line", "mic", "mic", "line"))

    def room(*sources: Source, arriving: tuple[int, ...] = (1, 2, 3, 4, 5)) -> int:
        column: Any = SimpleNamespace(device=kinds, arriving=arriving)
        return _room(column, sources)

    assert room("mic") == 1
    assert room("line") == 0
    assert room("mic", "line") == 2
    assert room("mic", "line", arriving=(1, 2, 4, 5)) == 2
    assert room("mic", arriving=(1, 2, 4, 5)) == 0
