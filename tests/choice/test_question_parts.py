"""The parts of questions about a choice, each asked by itself, with what is right by hand."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from rigopt.answers.outcome import (
    Alternatives,
    Answered,
    Impossible,
    Opinion,
    Outcome,
    OutOfTime,
    Regret,
)
from rigopt.answers.series import Point
from rigopt.catalogue.types import Cable
from rigopt.needs.types import Needs
from rigopt.optimiser.problem.problem import state
from rigopt.optimiser.questions import alternatives as others
from rigopt.optimiser.questions import curve, plan, second
from rigopt.optimiser.search.pooled import NOTHING_YET, Best, Search
from rigopt.optimiser.search.ties import Mix
from rigopt.optimiser.solver.run import Deadline, Result, TimeIsUpError
from rigopt.optimiser.solver.watch import Watch
from rigopt.rig.types import Rig
from tests.output.rigs import answered
from tests.world import CABLES, DESK, HUB, PRE, catalogue

END = answered()
NO_END = Deadline(None)


def mix(**units: int) -> Mix:
    return Mix(Counter(units), {})


# --- alternatives ----------------------------------------------------------------------------


def fewer(limits: dict[str, tuple[int, int]], found: Mix) -> list[dict[str, tuple[int, int]]]:
    """The parts, of rigs of at most nine units; `host` is one."""
    problem: Any = SimpleNamespace(hosts=[SimpleNamespace(id="host")], max_units=9)
    return [dict(part) for part in others._fewer(limits, found, problem)]


def test_each_rig_that_lacks_some_of_a_mix_is_in_one_part() -> None:
    assert fewer({}, mix(b=1, a=2, host=1)) == [
        {"host": (0, 0)},
        {"host": (1, 9), "a": (0, 1)},
        {"host": (1, 9), "a": (2, 9), "b": (0, 0)},
    ]
    assert fewer({"a": (2, 3), "b": (0, 1)}, mix(a=2, b=2)) == [{"a": (2, 3), "b": (0, 1)}]
    assert fewer({"a": (0, 1)}, mix(a=1)) == [{"a": (0, 0)}]
    assert fewer({"a": (1, 4)}, mix(a=1)) == []


@pytest.mark.parametrize(
    ("units", "held"),
    [
        ({"a": 1}, None),
        ({"a": 2}, {"a": 2}),
        ({"a": 3, "c": 1}, {"a": 2}),
        ({"b": 1, "c": 1}, None),
        ({"b": 2, "c": 1, "d": 1}, {"b": 2, "c": 1}),
    ],
)
def test_a_mix_that_holds_all_of_another(
    units: dict[str, int], held: dict[str, int] | None
) -> None:
    found = others._held(mix(**units), [mix(a=2), mix(b=2, c=1)])
    assert (found and dict(found.units)) == held


def test_none_are_looked_for_where_none_are_asked_for() -> None:
    question = catalogue(DESK, PRE, HUB), Needs(mic=16)
    found = plan.solve(*question)
    assert isinstance(found, Answered)
    told = others.alternatives(*question, found.rig, 0, NO_END)
    assert told == Alternatives((), "asked")


def test_the_watch_knows_which_alternative_is_looked_for() -> None:
    watch = Watch()
    after: Any = SimpleNamespace(
        found=["one", "two"], _deadline=Deadline(None, watch), _currency="GBP"
    )
    others._After._question(after)
    assert (watch.about, watch.currency) == ("alternative 3", "GBP")


@pytest.mark.parametrize(
    ("split", "may", "taken"), [(True, False, False), (True, True, True), (False, False, True)]
)
def test_a_mix_that_parts_a_pair_is_taken_only_where_the_rig_does(
    split: bool, may: bool, taken: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    cuts: list[str] = []
    whole = SimpleNamespace(
        problem=None,
        cuts=cuts,
        forbid=lambda _: cuts.append("holds it"),
        other_than=lambda _: cuts.append("is it"),
    )
    rig = replace(END.rig, split_pairs=("a",) if split else ())
    monkeypatch.setattr(others, "answered", lambda *_: replace(END, rig=rig))
    after: Any = SimpleNamespace(
        _whole=whole, _deadline=NO_END, _may_split=may, _split=0, found=[]
    )
    best: Any = SimpleNamespace(mix=mix(a=1))
    assert others._After._take(after, best) is taken
    assert (after._split, len(after.found)) == ((0, 1) if taken else (1, 0))
    assert cuts == (["holds it"] if taken else ["is it"])
    assert [other.cuts for other in after.found] == ([0] if taken else [])


def first_after(monkeypatch: pytest.MonkeyPatch, best: Best) -> Any:
    """What comes after one interface, where every search finds `best`, which parts a pair."""
    question = catalogue(DESK), Needs(mic=8)
    split = replace(END, rig=replace(END.rig, split_pairs=("a",)))
    monkeypatch.setattr(Search, "best", lambda *_: best)
    monkeypatch.setattr(Search, "other_than", lambda *_: None)
    monkeypatch.setattr(others, "answered", lambda *_: split)
    return others._After(state(*question), END.rig, 2, Deadline(None, Watch()))


def one_desk() -> Best:
    best = Search(state(catalogue(DESK), Needs(mic=8))).best_exact(NO_END)
    assert isinstance(best, Best)
    return best


def test_eight_mixes_that_part_a_pair_are_passed_over(monkeypatch: pytest.MonkeyPatch) -> None:
    after = first_after(monkeypatch, one_desk())
    assert [after.step_by_ids(0) for _ in range(9)] == [True] * 8 + [False]
    assert after._deadline.watch.about == "alternative 1"
    assert after.ended == "time"


def test_what_is_not_proven_settles_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    unsure = replace(one_desk(), proven=False)
    after = first_after(monkeypatch, unsure)
    part = others.Part(0, 1, after._whole, unsure)
    assert after._settle(part, unsure) is False


# --- a curve ---------------------------------------------------------------------------------


def point(mic: int, total: int, bound: int | None = None) -> Point:
    """Proven, unless a bound is given."""
    rig = replace(END.rig, total=total)
    return Point(mic, Answered(rig, total if bound is None else bound, bound is None))


def known(points: Iterable[Point]) -> list[tuple[int, int, int, bool]]:
    return [
        (one.mic, one.answer.rig.total, one.answer.bound, one.answer.proven)
        for one in points
        if one.answer is not None
    ]


def test_no_bound_lies_below_that_of_a_smaller_count() -> None:
    late = Point(5, OutOfTime(1.0))
    points = [point(1, 50, 10), point(2, 90, 40), point(3, 70, 30), late, point(6, 40, 20)]
    raised = curve._raised(points)
    assert known(raised) == [
        (1, 50, 10, False),
        (2, 90, 40, False),
        (3, 70, 40, False),
        (6, 40, 40, True),
    ]
    assert raised[3] is late
    assert known(curve._raised([point(1, 50), point(2, 60, 20)])) == [
        (1, 50, 50, True),
        (2, 60, 50, False),
    ]
    assert known(curve._raised([point(1, 50, 45), point(2, 40, 5), point(3, 80, 60)])) == [
        (1, 50, 45, False),
        (2, 40, 40, True),
        (3, 80, 60, False),
    ]


def test_a_larger_count_that_costs_less_takes_the_place_of_one_without_a_proof() -> None:
    asked: list[tuple[int, int, int]] = []

    def again(count: int, mic: int, bound: int) -> Answered | None:
        asked.append((count, mic, bound))
        return None if mic == 3 else replace(END, bound=bound)

    series: Any = SimpleNamespace(again=again, needs=SimpleNamespace(sale=7))
    points = [
        point(1, 90, 50),
        Point(2, OutOfTime(1.0)),
        point(3, 95, 60),
        point(4, 80),
        point(5, 99, 70),
        Point(6, Impossible()),
    ]
    lowered = curve._lowered(series, points)
    assert asked == [(4, 3, 60), (3, 2, -7)]
    assert [one.mic for one in lowered] == [1, 2, 3, 4, 5, 6]
    assert lowered[2] == points[2]
    assert lowered[1].answer == replace(END, bound=-7)
    assert lowered[0] == points[0], "which costs less than what stands at 2 now"


def test_between_counts_what_is_proven_is_told_up_to_the_first_that_cannot_be() -> None:
    asked: list[tuple[int, int]] = []
    outcomes: dict[int, Outcome] = {
        2: OutOfTime(1.0),
        3: replace(END, proven=False),
        4: END,
        6: Impossible(),
        7: END,
    }

    def at(mic: int, parts: int) -> Outcome:
        asked.append((mic, parts))
        return outcomes[mic]

    series: Any = SimpleNamespace(
        stopped=False, deadline=NO_END, catalogue=SimpleNamespace(currency="GBP"), at=at
    )
    found = list(curve._between(series, (1, 5, 8)))
    assert found == [Point(4, END), Point(6, Impossible())]
    assert asked == [(2, 5), (3, 4), (4, 3), (6, 2)]


# --- a second opinion ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("outcome", "claims"),
    [
        (Impossible(), True),
        (END, True),
        (replace(END, proven=False), False),
        (replace(END, regret=Regret(0, 0)), True),
        (replace(END, regret=Regret(5, 5)), False),
        (replace(END, proven=False, regret=Regret(0, 0)), False),
    ],
)
def test_there_is_an_opinion_on_proven_money(
    outcome: Answered | Impossible, claims: bool
) -> None:
    assert second._claims(outcome) is claims


LEAD = Cable("lead", "", "analogue", 1000, 300, ends=("jack", "jack"))


@pytest.mark.parametrize(
    ("hosts", "lead", "opinions", "beaten", "said"),
    [
        (1, False, ("agrees", None), False, "agrees"),
        (1, False, ("disagrees", None), True, "disagrees"),
        (1, False, ("no opinion", None), True, "no opinion"),
        (2, False, ("agrees", None), False, "agrees"),
        (2, False, ("disagrees", None), True, "disagrees"),
        (2, False, ("disagrees", "agrees"), False, "agrees"),
        (2, False, ("no opinion", "disagrees"), True, "disagrees"),
        (1, True, ("disagrees", "agrees"), False, "agrees"),
    ],
)
def test_what_pooled_hosts_promise_is_asked_once_more_by_name(
    hosts: int,
    lead: bool,
    opinions: tuple[Opinion, Opinion | None],
    beaten: bool,
    said: Opinion,
) -> None:
    """Opinions: of the pooled model, and by name; None where that is not asked."""
    preamp = replace(PRE, id="lined", direct_out=8)
    cables = (*CABLES, LEAD) if lead else CABLES
    problem = state(
        catalogue(replace(DESK, line=8), preamp, cables=cables), Needs(mic=8, max_hosts=hosts)
    )
    answers = iter(opinions)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(second, "_of", lambda *_: next(answers))
        patch.setattr(second, "_beaten", lambda *_: beaten)
        assert second.said_of(problem, 7, NO_END) == said
    assert list(answers) == ([None] if opinions[1] is None else [])


def test_the_first_model_that_agrees_is_enough(monkeypatch: pytest.MonkeyPatch) -> None:
    def said(*opinions: Opinion | None) -> tuple[Opinion, int]:
        asked: list[object] = []

        def opinion(model: Any, *_: object) -> Opinion:
            asked.append(model)
            if model is None:
                raise TimeIsUpError
            told: Opinion = model
            return told

        monkeypatch.setattr(second, "opinion", opinion)
        models: Any = [(one, []) for one in opinions]
        return second._of(models, 7, NO_END), len(asked)

    assert said("agrees", "disagrees") == ("agrees", 1)
    assert said("disagrees", "agrees") == ("agrees", 2)
    assert said("disagrees", "no opinion") == ("no opinion", 2)
    assert said("no opinion", "disagrees") == ("disagrees", 2)
    assert said("disagrees", None) == ("no opinion", 2)


@pytest.mark.parametrize(("claimed", "most"), [(None, None), (5, 8)])
def test_what_could_be_sold_is_added_to_what_all_stages_are_said_to_cost(
    claimed: int | None, most: int | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    trip: Any = SimpleNamespace(most_sold=3, apart=lambda: None)
    asked: list[int | None] = []

    def said(_: object, money: int | None, __: Deadline) -> Opinion:
        asked.append(money)
        return "agrees"

    monkeypatch.setattr(second, "_of", said)
    assert second.said_of_trip(trip, claimed, NO_END) == "agrees"
    assert asked == [most]


@pytest.mark.parametrize(("limit", "given"), [(None, 60.0), (5.0, 5.0)])
def test_a_second_opinion_takes_a_minute_where_nobody_says(
    limit: float | None, given: float
) -> None:
    assert second._limit(Deadline(limit)).seconds == given


# --- a plan ----------------------------------------------------------------------------------


def test_how_a_search_without_a_rig_ended() -> None:
    late = Deadline(3.0)
    assert plan.unanswered(Result("infeasible", 0, lambda _: 0), late) == Impossible(
        minimal=False
    )
    assert plan.unanswered(NOTHING_YET, late) == OutOfTime(3.0)
    assert plan.unanswered(NOTHING_YET, NO_END) == OutOfTime(0.0)
    stopped = Deadline(None)
    stopped.watch.stopped = True
    with pytest.raises(KeyboardInterrupt):
        plan.unanswered(NOTHING_YET, stopped)


@pytest.mark.parametrize(
    ("splits", "last", "told"),
    [
        ([False], True, 0),
        ([True, False], True, 1),
        ([True] * 8 + [False], True, 0),
        ([True] * 7 + [False], True, 7),
        ([True, True], True, 0),
        ([True, True, False], False, 2),
    ],
)
def test_the_first_of_the_next_mixes_that_seats_all_pairs(
    splits: list[bool], last: bool, told: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whether each mix splits a pair, and whether the last of them is proven."""
    best = Search(state(catalogue(DESK), Needs(mic=8))).best_exact(NO_END)
    assert isinstance(best, Best)
    mixes = [replace(best, bound=n) for n in range(len(splits))]
    given: list[Answered] = []

    def answer(_: object, found: Best, __: object) -> Answered:
        rig: Rig = replace(END.rig, split_pairs=("a",) if splits[found.bound] else ())
        proven = last or found.bound < len(splits) - 1
        given.append(Answered(rig, found.bound, proven))
        return given[-1]

    rest: list[Best | Result] = [*mixes[1:], NOTHING_YET]
    monkeypatch.setattr(plan, "answered", answer)
    search: Any = SimpleNamespace(
        problem=None, other_than=lambda _: None, best=lambda _: rest.pop(0)
    )
    found: Outcome = plan.with_pairs(search, mixes[0], NO_END)
    assert isinstance(found, Answered)
    assert found.bound == told
