"""Outlines: each stands for all columns that send the same, and can do what any of them can."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest

from rigopt.needs.types import Needs
from rigopt.optimiser.model.model import columns, listing, objective_of
from rigopt.optimiser.problem.columns import Columns, SatelliteColumn
from rigopt.optimiser.problem.links import NONE
from rigopt.optimiser.problem.outlines import Listing, Outline
from rigopt.optimiser.problem.problem import Problem, state
from rigopt.optimiser.problem.wirings import Wiring
from rigopt.optimiser.search.posed import Posed
from rigopt.optimiser.search.widening import outlook
from rigopt.optimiser.solver.linear import amount
from rigopt.optimiser.solver.run import NO_END, run
from tests.benchmarks.rich import rich_catalogue
from tests.tiers import few


def nothing() -> None:
    """No beat."""


def drawn(seed: int, types: int = 12) -> Problem:
    needs = Needs(
        mic=8 + seed % 3 * 8,
        phantom=4,
        no_phantom=seed % 2 * 2,
        out_line=seed % 4 * 2,
        out_phones=seed % 2,
        max_hosts=1 + seed % 2,
        own_clocks=seed % 5 == 1,
        rate_hz=(48000, 96000)[seed % 3 == 2],
    )
    return state(rich_catalogue(seed, types), needs)


def sent(column: SatelliteColumn) -> Wiring:
    """What it sends to the host, whatever comes back."""
    return replace(column.wiring, returns=NONE, mute=False)


def outline_of(column: SatelliteColumn, found: Listing) -> Outline:
    """The only one that sends the same."""
    (one,) = (
        outline
        for outline in found.outlines.satellites
        if outline.device is column.device and outline.wiring == sent(column)
    )
    assert isinstance(one, Outline)
    return one


@pytest.mark.parametrize("apart", [False, True])
@pytest.mark.parametrize("seed", few([3, 0, 1, 2, *range(4, 24)], slow=range(6, 24)))
def test_an_outline_does_what_each_of_its_columns_does_and_takes_no_more(
    seed: int, apart: bool
) -> None:
    problem = drawn(seed, 30)
    problem = problem.apart() if apart else problem
    found = listing(problem, 1, (), nothing)
    every = found.every(nothing)
    assert any(c.line_outs for c in every.satellites) or not problem.needs.out_line
    for column in every.satellites:
        outline = outline_of(column, found)
        assert outline.line_outs >= column.line_outs
        assert outline.line_outs == 0 or outline.wiring.slot is not None
        assert outline.arriving == column.arriving
        assert (outline.direct, outline.inlets) == (column.direct, column.inlets)
        assert outline.face == column.face
        assert outline.wiring.slot == column.wiring.slot
        assert not Counter(dict(outline.uses)) - Counter(dict(column.uses))


@pytest.mark.parametrize("seed", few(range(6)))
def test_the_columns_of_some_outlines_are_those_of_all_that_send_the_same(seed: int) -> None:
    problem = drawn(seed)
    found = listing(problem, 1, (), nothing)
    some = Columns(found.outlines.hosts[:1], found.outlines.satellites[seed % 3 :: 3])
    listed = found.of(some, nothing)
    every = listing(problem, 1, (), nothing).every(nothing)
    wanted = [(one.device, one.wiring) for one in some.satellites]
    assert listed.hosts == some.hosts
    assert [(c.device, c.wiring, c.signature) for c in listed.satellites] == [
        (c.device, c.wiring, c.signature)
        for c in every.satellites
        if (c.device, sent(c)) in wanted
    ]
    assert len(found.every(nothing)) == len(every)


def test_a_listing_that_is_broken_off_has_nothing_of_what_it_was_at() -> None:
    found = listing(drawn(2), 1, (), nothing)
    beats = iter(range(5))

    def beat() -> None:
        if next(beats, None) is None:
            raise InterruptedError

    with pytest.raises(InterruptedError):
        found.every(beat)
    every = listing(drawn(2), 1, (), nothing).every(nothing)
    assert len(found.every(nothing)) == len(every)


@pytest.mark.parametrize("seed", few([3, 0, 1, 2, *range(4, 40)], slow=range(8, 40)))
def test_no_rig_is_cheaper_than_the_outlines_of_what_it_holds(seed: int) -> None:
    """Nor than the bound, whatever is in it."""
    problem = drawn(seed)
    found = listing(problem, 1, (), nothing)
    loose = Posed(problem, found.outlines, (), clocked=False)
    seen = outlook(found.outlines, loose.rig, loose.relax(NO_END))
    posed = Posed(problem, columns(problem, 0), ())
    result = run(posed.model, NO_END)
    if not result.found:
        return
    assert result.status == "optimal"
    objective = amount(objective_of(posed.rig).terms, result.value)
    assert seen.bound <= objective
    for column, count in posed.rig.satellites.items():
        if result.value(count) and column.device.role != "host":
            assert seen.may_hold(outline_of(column, found), objective)
