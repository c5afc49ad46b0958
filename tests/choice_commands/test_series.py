"""A curve and a stretch agree with single questions, on a known shop and at random."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from rigopt.answers.outcome import Answered, Impossible, NotAsked, Outcome, OutOfTime
from rigopt.answers.series import Curve, Point, Scenario
from rigopt.api.series import ask_curve, ask_each, ask_stretch
from rigopt.catalogue.types import Catalogue, Device, Extra, Offer, Seller
from rigopt.needs.types import Needs
from rigopt.optimiser.problem.problem import state
from rigopt.optimiser.questions import curve as module
from rigopt.optimiser.questions.curve import Series, curve
from rigopt.optimiser.questions.plan import solve
from rigopt.optimiser.questions.stretch import ceiling, fewest, stretch
from rigopt.optimiser.search.pooled import Best, Search
from rigopt.optimiser.solver.run import Deadline, Result
from rigopt.optimiser.solver.watch import Watch
from rigopt.rig.audit import audit
from tests.choice_commands.shop import shop
from tests.oracle.instances import instance
from tests.world import DESK, catalogue

SHOP = shop()
# The hub needs a return cable for each expander but the clock master.
TOTALS = {1: 8000, 2: 8000, 3: 30000, 8: 30000, 9: 50600, 16: 50600}
"""Minor units: desk-2, desk-8, then an expander and one cable, by hand."""


def total(outcome: Outcome | NotAsked) -> int | None:
    return outcome.rig.total if isinstance(outcome, Answered) else None


def most(catalogue: Catalogue, needs: Needs) -> int:
    return ceiling(state(catalogue, needs).hosts, needs)


def mix(outcome: Outcome) -> list[str]:
    assert isinstance(outcome, Answered)
    return sorted(unit.device.id for unit in outcome.rig.units)


def counting(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """The counts that are searched for in full."""
    seen: list[int] = []
    search = Series._search

    def noted(self: Series, mic: int, deadline: Deadline) -> Outcome:
        seen.append(mic)
        return search(self, mic, deadline)

    monkeypatch.setattr(Series, "_search", noted)
    return seen


def test_a_curve_by_hand() -> None:
    found = ask_curve(SHOP, Needs(), tuple(TOTALS))
    assert {point.mic: total(point.outcome) for point in found.points} == TOTALS
    assert found.end is None
    assert found.unasked == ()


def test_a_rig_with_inputs_to_spare_is_not_searched_for_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    seen = counting(monkeypatch)
    ask_curve(SHOP, Needs(), range(1, 17))
    assert seen == [1, 3, 9]


def test_the_curve_ends_where_no_rig_is_possible(monkeypatch: pytest.MonkeyPatch) -> None:
    seen = counting(monkeypatch)
    found = ask_curve(SHOP, Needs(), (32, 33, 40, 48))
    assert [point.mic for point in found.points] == [32, 33]
    assert found.end is not None
    assert isinstance(found.end.outcome, Impossible)
    assert found.unasked == ()
    assert seen == [32, 33]


def test_what_is_impossible_for_fewer_is_not_searched_for(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    seen = counting(monkeypatch)
    series = Series(SHOP, Needs(), Deadline(None))
    assert series.at(40) is series.at(41)
    assert seen == [40]


def test_a_rig_that_does_not_serve_a_count_is_not_used_for_it() -> None:
    """Nor with another unit of a type that it has: 32 inputs are the most of this shop."""
    series = Series(SHOP, Needs(), Deadline(None))
    for count in (8, 24):
        series.at(count)
        assert series.again(count, count + 1, 0) is None


def test_a_count_that_is_asked_again_is_not_searched_for(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    seen = counting(monkeypatch)
    series = Series(SHOP, Needs(), Deadline(None))
    for count in (8, 33):
        assert series.at(count) == series.at(count)
    assert seen == [8, 33]


def test_a_rig_that_is_not_proven_is_not_handed_on(monkeypatch: pytest.MonkeyPatch) -> None:
    seen = counting(monkeypatch)
    series = Series(SHOP, Needs(), Deadline(None))
    found = series.at(3)
    assert isinstance(found, Answered)
    unsure = replace(found, proven=False)
    series._known[3] = replace(series._known[3], answer=unsure)
    assert total(series.at(4)) == 30000
    assert seen == [3, 4]


def test_a_point_without_a_proof_gives_way_to_less_money_alone() -> None:
    found = Series(SHOP, Needs(), Deadline(None)).at(8)
    assert isinstance(found, Answered)
    unsure = Point(4, replace(found, proven=False))
    for more, dearer in ((-1, True), (0, False), (1, False)):
        above = replace(found, rig=replace(found.rig, total=found.rig.total + more))
        assert module._dearer(unsure, above) is dearer
    assert not module._dearer(Point(4, found), replace(found, rig=replace(found.rig, total=1)))


@pytest.mark.parametrize(
    ("counts", "between"), [((30, 32), [31]), ((31, 35), [32, 33]), ((8, 9), [])]
)
def test_counts_between_are_each_asked_up_to_the_first_that_is_impossible(
    counts: tuple[int, int], between: list[int]
) -> None:
    found = curve(SHOP, Needs(), counts, Deadline(None), every=True)
    assert [point.mic for point in found.between] == between
    ends = {point.mic: isinstance(point.outcome, Impossible) for point in found.between}
    assert all(end is (mic == 33) for mic, end in ends.items())


@pytest.mark.parametrize("late", [0, 1, 2])
def test_whoever_interrupts_without_a_stop_is_heard(
    late: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """At the first count, the second, or one between."""
    at, asked = Series.at, list[int]()

    def interrupted(self: Series, mic: int, parts: int = 1) -> Outcome:
        asked.append(mic)
        if len(asked) > late:
            raise KeyboardInterrupt
        return at(self, mic, parts)

    monkeypatch.setattr(Series, "at", interrupted)
    with pytest.raises(KeyboardInterrupt):
        curve(SHOP, Needs(), (3, 8), Deadline(None), every=True)
    assert asked == [3, 8, 4][: late + 1]


def test_a_room_that_turns_out_too_large_is_searched_for(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    series = Series(SHOP, Needs(), Deadline(None))
    series.at(8)
    monkeypatch.setattr(series, "again", lambda *_: None)
    assert total(series.at(7)) == 30000
    series._known[8] = replace(series._known[8], room=12)
    assert total(series.at(9)) == 50600


def test_an_instrument_in_a_box_takes_a_lead_that_may_begin_a_pack() -> None:
    """8 microphones and an instrument: the box is a ninth on a second pack of 8 leads, at 5.00.

    With a box: 300 + 1 + 5 = 306 for 7, and 311 for 8. With a socket: 304 + 5 = 309 for both.
    """
    plain = replace(DESK, id="plain", price=30000, mic_line=12)
    socket = replace(DESK, id="socket", price=30400, mic_line=12, inst=1)
    box = Device("box", "DI", "di", 100, inst=1)
    lead = Extra("lead", "Lead", "mic", 500, 8)
    small = replace(catalogue(plain, socket, box), extras={"lead": lead})
    found = curve(small, Needs(instrument=1), (7, 8), Deadline(None))
    assert [total(point.outcome) for point in found.points] == [30600, 30900]
    assert mix(found.points[1].outcome) == ["socket"]


def test_leads_that_bring_an_order_to_free_delivery_are_no_leads_alone() -> None:
    """7 leads at 1.00 pay delivery or 3 leads more, unless an interface is in their order.

    With it: 302 + 7 = 309 for 7, and 312 for 10. Without: 300 + 10 = 310 for both.
    """
    there = replace(DESK, id="there", price=30000, mic_line=12)
    here = replace(DESK, id="here", price=None, mic_line=12)
    offers = (Offer("here", "shop", 30200), Offer("lead", "shop", 100))
    small = replace(
        catalogue(there, here),
        extras={"lead": Extra("lead", "Lead", "mic")},
        sellers={"shop": Seller("shop", "GBP", 400, 1000)},
        offers=offers,
    )
    found = curve(small, Needs(), (7, 10), Deadline(None))
    assert [total(point.outcome) for point in found.points] == [30900, 31000]


def test_offers_of_units_alone_let_a_rig_be_handed_on(monkeypatch: pytest.MonkeyPatch) -> None:
    seen = counting(monkeypatch)
    small = replace(
        SHOP,
        extras={"shelf": Extra("shelf", "Shelf", "unit")},
        sellers={"shop": Seller("shop", "GBP")},
        offers=(Offer("desk-8", "shop", 29000), Offer("shelf", "shop", 100)),
    )
    found = curve(small, Needs(), (3, 8), Deadline(None))
    assert [total(point.outcome) for point in found.points] == [29100, 29100]
    assert seen == [3]


LEADS = replace(SHOP, extras={"lead": Extra("lead", "Lead", "mic", 1000)})
"""A lead for each microphone, at 10.00."""


def test_a_rig_that_is_handed_on_is_proven_at_its_own_money() -> None:
    found = curve(LEADS, Needs(), (3, 4), Deadline(None))
    assert points(found) == [(3, 33000, 33000, True), (4, 34000, 34000, True)]


def test_a_budget_may_end_within_the_inputs_of_a_rig() -> None:
    """8 inputs at 300.00, and 3 leads; the fourth is beyond the budget."""
    found = stretch(LEADS, Needs(), 33500, Deadline(None))
    assert found.proven
    assert found.best is not None
    assert found.step is not None
    assert (found.best.mic, found.step.mic) == (3, 4)


def test_columns_of_more_microphones_are_not_those_of_fewer() -> None:
    """What serves 7 for 833.21 has no part in a rig for 15."""
    shop, needs = instance(28, extras=True)
    needs = open_needs(needs)
    series = Series(shop, needs, Deadline(None))
    series.at(15)
    assert total(series.at(7)) == total(solve(shop, replace(needs, mic=7))) == 83321


def test_it_is_asked_along_a_line_and_every_fourth_time_by_halves(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """n microphones cost n x n x n, the budget is 8001, and 32 are the most.

    From (1, 1): the line says far beyond, so 32. From (1, 1) to (32, 32768): 1 + 8000 x 31 /
    32767 = 8. To (32, 32768) from (8, 512): 13. The half of 13 and 32 is 22. From (13, 2197)
    to (22, 10648): 19. From (19, 6859): 19 + 0, so 20, and 21 is all that is left.
    """
    asked = costing(monkeypatch, lambda mic: mic**3, lambda mic: mic)
    found = stretch(SHOP, Needs(), 8001, Deadline(None))
    assert asked == [1, 32, 8, 13, 22, 19, 20, 21]
    assert found.proven
    assert found.best is not None
    assert found.best.mic == 20


def test_inputs_beyond_the_budget_are_no_step(monkeypatch: pytest.MonkeyPatch) -> None:
    """At 10.00 each, in one rig of 5 inputs, 35.00 is enough for 3.

    5 are too many; the line from (1, 10) to (5, 50) says 3, and then 4 is left.
    """
    asked = costing(monkeypatch, lambda mic: 1000 * mic, lambda _: 5)
    found = stretch(SHOP, Needs(), 3500, Deadline(None))
    assert asked == [1, 5, 3, 4]
    assert found.best is not None
    assert found.best.mic == 3


def costing(
    monkeypatch: pytest.MonkeyPatch, price: Callable[[int], int], room: Callable[[int], int]
) -> list[int]:
    """The counts that are asked for, where they cost that, with inputs for so many."""
    asked: list[int] = []
    answer = solve(SHOP, Needs(mic=1))

    def at(_: Series, mic: int, parts: int) -> Outcome:
        del parts
        asked.append(mic)
        assert isinstance(answer, Answered)
        return replace(answer, rig=replace(answer.rig, total=price(mic)), bound=price(mic))

    monkeypatch.setattr(Series, "at", at)
    monkeypatch.setattr(Series, "room", lambda _, mic: room(mic))
    return asked


def test_the_most_of_all_is_not_proven_before_one_more_is_asked_for(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    at = Series.at

    def stops(self: Series, mic: int, parts: int) -> Outcome:
        found = at(self, mic, parts)
        self.deadline.watch.stopped = mic == 32
        return found

    monkeypatch.setattr(Series, "at", stops)
    found = stretch(SHOP, Needs(), 10**7, Deadline(None))
    assert found.best is not None
    assert (found.best.mic, found.step, found.proven) == (32, None, False)


@pytest.mark.parametrize(("seconds", "given"), [(None, 3.0), (9.0, 3.0), (1.0, 1.3)])
def test_a_rig_that_is_there_is_asked_for_at_most_so_long(
    seconds: float | None, given: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    """3 s, or what is left and 0.3 s more."""
    series = Series(SHOP, Needs(), Deadline(None))
    series.at(3)
    series.deadline = Deadline(seconds)
    asked: list[float | None] = []
    best = module.Search.best_exact

    def noted(self: Search, deadline: Deadline) -> Best | Result:
        asked.append(deadline.seconds)
        return best(self, deadline)

    monkeypatch.setattr(module.Search, "best_exact", noted)
    assert series.again(3, 4, 0) is not None
    assert asked == [pytest.approx(given, abs=0.2)]


@pytest.mark.parametrize(
    ("budget", "best", "step"),
    [
        (7999, None, (1, 8000)),
        (8000, (2, 8000), (3, 30000)),
        (29999, (2, 8000), (3, 30000)),
        (30000, (8, 30000), (9, 50600)),
        (60000, (16, 50600), (17, 88000)),
        (10**7, (32, 109200), (33, None)),
    ],
)
def test_a_stretch_by_hand(
    budget: int, best: tuple[int, int] | None, step: tuple[int, int | None]
) -> None:
    found = ask_stretch(SHOP, Needs(budget=5), budget)
    assert found.proven
    assert (found.best is None) == (best is None)
    if found.best is not None and best is not None:
        assert found.best.mic == best[0]
        assert best[1] == total(found.best.outcome)
    assert found.step is not None
    assert (found.step.mic, total(found.step.outcome)) == step


def test_what_is_owned_costs_nothing_for_as_many_as_it_has_inputs() -> None:
    """A ninth microphone takes an expander, at 200.00, and a cable, at 6.00."""
    found = stretch(SHOP, Needs(owned={"desk-8": 1}), 100, Deadline(None))
    assert found.best is not None
    assert found.step is not None
    assert (found.best.mic, total(found.best.outcome)) == (8, 0)
    assert (found.step.mic, total(found.step.outcome)) == (9, 20600)


@pytest.mark.parametrize("stopped", [True, False])
def test_a_stretch_that_is_interrupted(stopped: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    """A stop at the fourth question leaves counts between that nobody knows of: no proof.

    Who interrupts without a stop wants no answer.
    """
    at, asked = Series.at, list[tuple[int, str]]()

    def interrupted(self: Series, mic: int, parts: int = 1) -> Outcome:
        watch = self.deadline.watch
        asked.append((mic, watch.about))
        if len(asked) > 3:
            watch.stopped = stopped
            raise KeyboardInterrupt
        return at(self, mic, parts)

    monkeypatch.setattr(Series, "at", interrupted)
    if not stopped:
        with pytest.raises(KeyboardInterrupt):
            stretch(SHOP, Needs(), 29999, Deadline(None))
        return
    found = stretch(SHOP, Needs(), 29999, Deadline(None))
    assert all(about == f"{mic} microphones" for mic, about in asked)
    assert found.best is not None
    assert found.step is not None
    assert found.best.mic + 1 < found.step.mic
    assert total(found.step.outcome) is not None
    assert not found.proven


def test_the_fewest_are_those_with_a_wish_for_48_volts() -> None:
    assert fewest(Needs()) == 1
    assert fewest(Needs(phantom=3, no_phantom=2)) == 5
    found = ask_stretch(SHOP, Needs(phantom=3), 30000)
    assert found.best is not None
    assert found.best.mic == 8


def test_no_hosts_no_microphones() -> None:
    assert most(SHOP, Needs(ports=("pcie",))) == 0
    found = ask_stretch(SHOP, Needs(ports=("pcie",)), 10**6)
    assert (found.best, found.proven) == (None, True)
    assert found.step is not None
    assert isinstance(found.step.outcome, Impossible)


def test_few_questions_find_the_most(monkeypatch: pytest.MonkeyPatch) -> None:
    seen = counting(monkeypatch)
    ask_stretch(SHOP, Needs(), 100_000)
    assert len(seen) <= 7


# --- at random -------------------------------------------------------------------------


def open_needs(needs: Needs) -> Needs:
    return replace(needs, mic=0, sources=(), stages=(), budget=None)


SEEDS = st.integers(0, 10_000)
SLOW = settings(max_examples=5, deadline=None, suppress_health_check=list(HealthCheck))


def test_outputs_are_fed_by_the_host_that_feeds_most_of_them() -> None:
    catalogue, needs = instance(276, extras=True)
    needs = replace(open_needs(needs), mic=7)
    answer = solve(catalogue, needs)
    assert isinstance(answer, Answered)
    assert audit(answer.rig, catalogue, needs) == ()


@SLOW
@given(seed=SEEDS, extras=st.booleans())
def test_a_curve_never_falls_and_each_point_is_the_plan(seed: int, extras: bool) -> None:
    catalogue, needs = instance(seed, extras=extras)
    needs = open_needs(needs)
    first = fewest(needs)
    found = curve(catalogue, needs, range(first, first + 9, 2), Deadline(None))
    totals = [total(point.outcome) for point in found.points if point.answer]
    assert totals == sorted(totals, key=lambda money: money or 0)
    for point in found.points:
        alone = solve(catalogue, replace(needs, mic=point.mic))
        assert total(alone) == total(point.outcome)
        if isinstance(alone, Answered):
            assert mix(alone) == mix(point.outcome)
            assert point.answer == alone
            assert audit(alone.rig, catalogue, replace(needs, mic=point.mic)) == ()


@SLOW
@given(seed=SEEDS, budget=st.integers(0, 150_000), extras=st.booleans())
def test_a_stretch_agrees_with_the_curve(seed: int, budget: int, extras: bool) -> None:
    catalogue, needs = instance(seed, extras=extras)
    needs = open_needs(needs)
    first = fewest(needs)
    assume(most(catalogue, needs) < first + 40)
    found = stretch(catalogue, needs, budget, Deadline(None))
    assert found.proven
    counts = range(first, max(first, most(catalogue, needs)) + 2)
    known = curve(catalogue, needs, counts, Deadline(None))
    points = {point.mic: total(point.outcome) for point in known.points}
    within = [mic for mic, money in points.items() if money is not None and money <= budget]
    assert (found.best.mic if found.best else None) == max(within, default=None)
    assert found.step is not None
    assert found.step.mic == max(within, default=first - 1) + 1
    assert total(found.step.outcome) == points.get(found.step.mic)
    if found.best is not None:
        assert total(found.best.outcome) == points[found.best.mic]


# --- without a proof, and stopped ------------------------------------------------------


def unproven(monkeypatch: pytest.MonkeyPatch, ends: dict[int, tuple[int, int] | str]) -> None:
    """Series whose answers are as `ends` says: bound and (a larger rig's) count, or how."""
    real = Series._search

    def search(self: Series, mic: int, deadline: Deadline) -> Outcome:
        end = ends[mic]
        if end == "late":
            return OutOfTime(1.0)
        if end == "stop":
            self.deadline.watch.stopped = True
            raise KeyboardInterrupt
        assert not isinstance(end, str)
        bound, larger = end
        real(self, larger, deadline)
        found = self.again(larger, mic, bound)
        assert found is not None
        known = self._known[mic]
        answer = replace(found, proven=False, bound=bound)
        self._known[mic] = replace(known, answer=answer, room=mic)
        return answer

    monkeypatch.setattr(Series, "_search", search)


def points(found: Curve) -> list[tuple[int, int | None, int | None, bool | None]]:
    return [
        (
            p.mic,
            total(p.outcome),
            *((p.answer.bound, p.answer.proven) if p.answer else (None,) * 2),
        )
        for p in found.points
    ]


def test_a_larger_rig_that_costs_less_serves_fewer_as_well(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    unproven(monkeypatch, {4: (20000, 16), 6: (25000, 8)})
    found = curve(SHOP, Needs(), (4, 6), Deadline(None))
    assert points(found) == [(4, 30000, 20000, False), (6, 30000, 25000, False)]


def test_a_larger_rig_serves_a_count_for_which_time_was_short(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    unproven(monkeypatch, {4: "late", 6: (10000, 8), 9: "late"})
    found = curve(SHOP, Needs(), (4, 6, 9), Deadline(None))
    assert points(found) == [
        (4, 30000, 0, False),
        (6, 30000, 10000, False),
        (9, None, None, None),
    ]


def test_bounds_grow_with_the_count(monkeypatch: pytest.MonkeyPatch) -> None:
    unproven(monkeypatch, {4: (25000, 8), 6: (10000, 8), 7: (30000, 8)})
    found = curve(SHOP, Needs(), (4, 6, 7), Deadline(None))
    assert [bound for _, _, bound, _ in points(found)] == [25000, 25000, 30000]
    assert [proven for *_, proven in points(found)] == [False, False, True]


def test_a_larger_rig_that_does_not_serve_leaves_the_point_as_it_is(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    unproven(monkeypatch, {4: "late", 6: (10000, 8)})
    again = Series.again
    monkeypatch.setattr(
        Series,
        "again",
        lambda self, count, mic, bound: None if mic == 4 else again(self, count, mic, bound),
    )
    found = curve(SHOP, Needs(), (4, 6), Deadline(None))
    assert points(found)[0] == (4, None, None, None)


def test_what_was_answered_before_a_stop_is_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    unproven(monkeypatch, {4: (10000, 8), 6: "stop"})
    found = curve(SHOP, Needs(), (4, 6, 8), Deadline(None))
    assert [point.mic for point in found.points] == [4]
    assert found.unasked == (6, 8)


def test_a_stop_before_any_answer_is_no_outcome(monkeypatch: pytest.MonkeyPatch) -> None:
    unproven(monkeypatch, {4: "stop"})
    with pytest.raises(KeyboardInterrupt):
        curve(SHOP, Needs(), (4, 6), Deadline(None))
    unproven(monkeypatch, {1: "stop"})
    with pytest.raises(KeyboardInterrupt):
        stretch(SHOP, Needs(), 10**6, Deadline(None))


@pytest.mark.parametrize("end", ["late", (20000, 8), "stop"])
def test_a_stretch_without_a_proof(
    end: tuple[int, int] | str, monkeypatch: pytest.MonkeyPatch
) -> None:
    ends: dict[int, Any] = dict.fromkeys(range(3, 40), end) | {1: (8000, 2)}
    unproven(monkeypatch, ends)
    found = stretch(SHOP, Needs(), 25000, Deadline(None))
    assert not found.proven
    assert found.best is not None
    assert (found.step is None) == (end == "stop")


def test_a_search_that_is_stopped_ends_the_series() -> None:
    watch = Watch()
    watch.stopped = True
    series = Series(SHOP, Needs(), Deadline(None, watch))
    with pytest.raises(KeyboardInterrupt):
        series.at(24)


def test_a_search_that_is_late_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    late(monkeypatch)
    series = Series(SHOP, Needs(), Deadline(5.0))
    assert series.at(24) == OutOfTime(5.0)


def late(monkeypatch: pytest.MonkeyPatch) -> None:
    nothing = module.Search(state(SHOP, Needs(mic=40))).best(Deadline(None))
    assert isinstance(nothing, Result)
    unknown = replace(nothing, status="unknown")
    monkeypatch.setattr(module.Search, "best", lambda *_: unknown)


# --- scenarios -------------------------------------------------------------------------


def scenarios(*counts: int) -> list[Any]:
    return [Scenario(f"{n}", SHOP, Needs(mic=n)) for n in counts]


def test_each_scenario_gets_its_own_outcome() -> None:
    found = ask_each(scenarios(2, 40, 16), 60)
    assert [total(column.outcome) for column in found.columns] == [
        8000,
        None,
        50600,
    ]


def stopping(monkeypatch: pytest.MonkeyPatch, after: int) -> None:
    """A solver that is told to stop in its question number `after`."""
    asked: list[int] = []

    def stand_in(
        catalogue: Catalogue, needs: Needs, seconds: float | None, watch: Watch
    ) -> Outcome:
        asked.append(needs.mic)
        if len(asked) == after:
            watch.stopped = True
            raise KeyboardInterrupt
        return solve(catalogue, needs, seconds, watch)

    monkeypatch.setattr("rigopt.optimiser.questions.plan.solve", stand_in)


def test_a_stop_leaves_the_columns_before_it(monkeypatch: pytest.MonkeyPatch) -> None:
    stopping(monkeypatch, 2)
    found = ask_each(scenarios(2, 16, 8))
    assert [total(column.outcome) for column in found.columns] == [
        8000,
        None,
        None,
    ]


def test_a_stop_before_any_column_is_no_outcome(monkeypatch: pytest.MonkeyPatch) -> None:
    stopping(monkeypatch, 1)
    with pytest.raises(KeyboardInterrupt):
        ask_each(scenarios(2, 16))


def test_time_is_shared() -> None:
    whole = Deadline(8.0)
    part = whole.share(4)
    assert part.seconds is not None
    assert 1.9 < part.seconds <= 2.0
    assert part.watch is whole.watch
    assert Deadline(None).share(3).seconds is None
    assert Deadline(0.0).share(2).seconds == 0.001
    assert not whole.over
    whole.watch.stopped = True
    assert whole.over
    assert part.over


def test_the_watch_knows_the_question() -> None:
    watch = Watch()
    curve(SHOP, Needs(), (8, 16), Deadline(None, watch))
    assert watch.about == "16 microphones, 1 to go"
    assert watch.best == 50600
    assert watch.kept
