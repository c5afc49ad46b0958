"""Needs moved by one step: which, and what the rig then costs."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from rigopt.answers.choice import Change, Setting
from rigopt.answers.outcome import Answered, Impossible
from rigopt.catalogue.types import Catalogue
from rigopt.needs.table import ROWS
from rigopt.needs.types import Needs, SourceLine, Value
from rigopt.optimiser.questions.conflict.edited_needs import with_settings
from rigopt.optimiser.questions.plan import solve
from rigopt.optimiser.questions.why import binding
from rigopt.optimiser.questions.why.why import why
from rigopt.optimiser.solver.run import Deadline
from tests.world import BOTH, DESK, HUB, PRE, catalogue

SHOP = catalogue(DESK, PRE, HUB)


def steps(shop: Catalogue = SHOP, **needs: Any) -> dict[tuple[str, Value], int | None]:
    """The total after each step; each is what a plan of its own says."""
    asked = Needs(**needs)
    found = solve(shop, asked)
    assert isinstance(found, Answered)
    told = why(shop, asked, found.rig, Deadline(None))
    assert told.complete
    totals = {}
    for change in told.changes:
        setting = change.settings[0]
        if not asked.sources and setting.name != "pairs":
            # What is told is all that has to be said.
            settings: dict[str, Any] = {one.name: one.now for one in change.settings}
            said = replace(asked, **settings)
            assert said == with_settings(asked, change.settings)
            assert said.phantom + said.no_phantom <= said.mic
        after = solve(shop, with_settings(asked, change.settings))
        if change.total is None:
            assert isinstance(after, Impossible)
        else:
            assert isinstance(after, Answered)
            assert after.rig.total == change.total
        totals[setting.name, setting.now] = change.total
    return totals


def test_a_step_names_all_that_goes_with_it() -> None:
    """With 48 V asked for, or refused, on every microphone, one fewer is one wish fewer."""
    asked = Needs(mic=16, phantom=12, no_phantom=4)
    found = solve(SHOP, asked)
    assert isinstance(found, Answered)
    told = why(SHOP, asked, found.rig, Deadline(None))
    settings = [change.settings for change in told.changes]
    assert (Setting("mic", 15), Setting("phantom", 11)) in settings
    names = [(one[0].name, one[0].now) for one in settings]
    assert ("phantom", 11) in names
    assert ("phantom", 13) not in names
    assert ("no_phantom", 5) not in names
    steps(mic=16, phantom=12, no_phantom=4)


def test_sources_rates_masters_and_numbers() -> None:
    # 300.00 and 200.00 for the units, 6.00 for one cable with the expander as master.
    found = steps(mic=16)
    assert found == {
        ("mic", 15): 50600,
        ("mic", 17): 25000 + 3 * 20000 + 5 * 600,
        ("rate_hz", 44100): 50600,
        ("rate_hz", 88200): 25000 + 4 * 20000 + 7 * 600,
        ("rate_hz", 96000): 25000 + 4 * 20000 + 7 * 600,
        ("master", "host"): 51200,
        ("master", "clock"): None,
        ("max_hops", 4): 50600,
        ("own_clocks", True): 50600,
        ("word_inputs", 5): 50600,
        ("max_hosts", 2): 50600,
    }


def test_a_rate_that_no_host_runs_at_is_no_step() -> None:
    shop = catalogue(DESK, replace(PRE, rates_hz=(*BOTH, 192000)), HUB)
    found = steps(shop, mic=8)
    assert ("rate_hz", 96000) in found
    assert ("rate_hz", 192000) not in found


@pytest.mark.full
def test_every_count_is_taken_down_and_those_of_sources_up() -> None:
    found = steps(
        mic=4, phantom=2, no_phantom=1, line=1, out_line=2, out_phones=1, max_hosts=16
    )
    others = ("rate_hz", "master", "max_hops", "own_clocks", "word_inputs")
    assert {key for key in found if key[0] not in others} == {
        ("mic", 3),
        ("mic", 5),
        ("phantom", 1),
        ("no_phantom", 0),
        ("line", 0),
        ("line", 2),
        ("out_line", 1),
        ("out_phones", 0),
    }


@pytest.mark.full
def test_a_chain_at_its_limit_is_shortened_too() -> None:
    found = steps(mic=16, max_hops=1)
    assert found["max_hops", 0] is None
    assert found["max_hops", 2] == 50600
    assert ("max_hops", 33) not in steps(mic=8, max_hops=32)


def test_without_any_chain_there_is_no_shorter_one() -> None:
    found = steps(mic=8, max_hops=0)
    assert [key for key in found if key[0] == "max_hops"] == [("max_hops", 1)]


def test_limits_are_taken_away() -> None:
    # Within 4 plugs, only dearer boxes of 16 will do.
    wide = replace(PRE, id="pre-16", mic_line=16, optical_out=2, price=60000)
    shop = catalogue(HUB, PRE, wide)
    found = steps(shop, mic=32, rack_units=4, mains=4, units=9, sellers=3)
    limits = {key: total for key, total in found.items() if key[1] is None}
    assert set(limits) == {(n, None) for n in ("rack_units", "mains", "units", "sellers")}
    assert len(set(limits.values())) == 1


def test_wishes_are_dropped_one_by_one() -> None:
    cheap = replace(DESK, id="cheap", price=20000)
    card = replace(DESK, id="card", computer="pcie", price=10000)
    found = steps(
        catalogue(DESK, PRE, cheap, card),
        mic=8,
        ports=("usb",),
        avoid=("cheap",),
        require=("pre-8",),
        new_only=True,
    )
    # What is required and does nothing needs no cable.
    assert found["ports", ("usb", "thunderbolt", "pcie", "network")] == 10000 + 20000
    assert found["avoid", ()] == 20000 + 20000
    assert found["require", ()] == 30000
    assert found["new_only", False] == 30000 + 20000
    owned = steps(mic=8, owned={"desk-8": 1}, owned_only=True, master="host")
    assert owned["owned_only", False] == 0
    assert owned["master", "any"] == 0


def test_pairs_may_stand_apart() -> None:
    sources = tuple(SourceLine(name, pair=name[0]) for name in ("a1", "a2"))
    asked = Needs(mic=2, sources=sources)
    shop = catalogue(replace(DESK, mic_line=1, line=1), replace(DESK, id="two", mic_line=2))
    found = solve(shop, asked)
    assert isinstance(found, Answered)
    told = why(shop, asked, found.rig, Deadline(None))
    assert Change((Setting("pairs", 0),), 30000) in told.changes


def test_what_is_known_when_the_time_is_up() -> None:
    asked = Needs(mic=16)
    found = solve(SHOP, asked)
    assert isinstance(found, Answered)
    deadline = Deadline(None)
    seen = []
    watch = deadline.watch
    question = watch.question

    def ask(about: str, currency: str) -> None:
        seen.append(about)
        watch.stopped = len(seen) > 5
        question(about, currency)

    watch.question = ask  # type: ignore[method-assign]
    told = why(SHOP, asked, found.rig, deadline)
    assert not told.complete
    assert len(told.changes) < 5


@pytest.mark.parametrize(
    ("was", "hops", "then"), [(1, 1, [0, 2]), (2, 2, [1, 3]), (2, 1, [3]), (0, 0, [1])]
)
def test_a_limit_of_hops_that_is_reached_is_moved_both_ways(
    was: int, hops: int, then: list[int]
) -> None:
    rig: Any = SimpleNamespace(clock_hops=hops)
    asked = binding.Asked(SHOP, Needs(), rig)
    assert [*binding._reaches(ROWS["max_hops"], was, asked)] == then
