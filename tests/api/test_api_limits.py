"""What is handed on to each question, and up to where: nothing is solved here."""

from __future__ import annotations

import inspect
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

import rigopt
from rigopt.answers import growth as growths
from rigopt.answers.choice import Setting
from rigopt.answers.more import Better, More
from rigopt.answers.outcome import Alternatives, Answered, Choice, Impossible, OutOfTime
from rigopt.answers.prices import Prices
from rigopt.answers.series import Curve, Point, Scenario, Stretch
from rigopt.api import ask, audited, face, growth, prices, series, telling
from rigopt.api.ask import LateAlternativeError, NoAlternativeError, ask_alternative
from rigopt.api.audited import AuditFailedError
from rigopt.needs import types
from rigopt.optimiser.solver.run import Deadline, Result
from rigopt.optimiser.solver.watch import Watch
from tests.api.api_world import small
from tests.output.rigs import CATALOGUE, answered

Patch = pytest.MonkeyPatch
SHOP = small()
QUESTIONS = "rigopt.optimiser.questions."
END = answered()


def handed(patch: Patch, asked: str, told: str) -> list[Any]:
    """What `face` hands on in its own place, and what is told as it was asked."""
    seen: list[Any] = []

    def stand_in(*args: Any, **named: Any) -> Any:
        seen.append((args, named))
        return END

    patch.setattr(face, asked, stand_in)
    patch.setattr(face.telling, told, lambda *args: args)
    return seen


# --- the face --------------------------------------------------------------------------------


@pytest.mark.parametrize("more", [0, 1000, "7.5"])
def test_percent_from_nothing_to_tenfold(more: Any, monkeypatch: Patch) -> None:
    seen = handed(monkeypatch, "ask_plan", "planned")
    rigopt.plan(rigopt.Needs(mic=8), SHOP, more=more)
    assert seen[0][1]["more"] == Decimal(more)


@pytest.mark.parametrize("more", [-1, "1000.01"])
def test_no_other_percent(more: Any) -> None:
    with pytest.raises(rigopt.RigoptError, match="more: must be from 0 to 1000"):
        rigopt.plan(rigopt.Needs(mic=8), SHOP, more=more)


@pytest.mark.parametrize("on", [True, False])
def test_what_is_wanted_of_a_plan_is_asked(on: bool, monkeypatch: Patch) -> None:
    seen = handed(monkeypatch, "ask_plan", "planned")
    rigopt.plan(rigopt.Needs(mic=8), SHOP, why=on, checks=not on, second_opinion=on)
    wanted = {"alternatives": 0, "why": on, "second": on, "checks": not on, "more": None}
    assert seen[0][1] == wanted


def test_nothing_that_takes_time_is_asked_unless_it_is_wanted() -> None:
    for name in (
        "plan",
        "compare",
        "curve",
        "stretch",
        "grow",
        "audit",
        "repair",
        "prices",
        "rates",
    ):
        told = inspect.signature(getattr(rigopt, name)).parameters.values()
        flags = {one.name: one.default for one in told if isinstance(one.default, bool)}
        assert not any(flags.values()), name


def test_no_prices_make_the_impossible_possible() -> None:
    found = rigopt.prices(rigopt.Needs(mic=999), SHOP)
    assert isinstance(found, rigopt.Impossible)


def test_prices_without_a_rig_are_told_as_such() -> None:
    ends = (Impossible(), rigopt.Impossible, True), (OutOfTime(1.0), rigopt.OutOfTime, False)
    for end, kind, sure in ends:
        found = telling.wanted(end, SHOP, types.Needs(mic=8))
        assert type(found) is kind
        assert found.proven is sure
    for answer, sure in ((None, False), (END, True)):
        going_on = Prices((), 0, 1, answer)
        assert telling.wanted(going_on, CATALOGUE, types.Needs()).proven is sure


def test_a_curve_is_asked_for_each_count_once_and_upwards(monkeypatch: Patch) -> None:
    seen = handed(monkeypatch, "ask_curve", "curved")
    told: Any = rigopt.curve(rigopt.Needs(mic=3), SHOP, [9, 8, 9], second_opinion=True)
    assert seen[0][0][2] == [8, 9]
    assert seen[0][0][1].mic == 0
    assert seen[0][1] == {"second": True}
    told[-1]()
    assert seen[1][1] == {"every": True}


@pytest.mark.parametrize(
    ("counts", "needs"),
    [
        (range(1, 201), rigopt.Needs()),
        ([1_000_000], rigopt.Needs()),
        ([9], rigopt.Needs(phantom=5, no_phantom=4)),
    ],
)
def test_how_far_a_curve_may_go(counts: Any, needs: rigopt.Needs, monkeypatch: Patch) -> None:
    seen = handed(monkeypatch, "ask_curve", "curved")
    rigopt.curve(needs, SHOP, counts)
    assert seen[0][0][2] == list(counts)


@pytest.mark.parametrize(
    ("counts", "needs", "said"),
    [
        (range(1, 202), rigopt.Needs(), "200 counts"),
        ([1_000_001], rigopt.Needs(), "end with 1000000"),
        ([8, 1_000_001], rigopt.Needs(), "end with 1000000"),
        ([0, 8], rigopt.Needs(), "begin with 1 "),
        ([8], rigopt.Needs(phantom=5, no_phantom=4), "begin with 9 "),
    ],
)
def test_and_no_farther(counts: Any, needs: rigopt.Needs, said: str) -> None:
    with pytest.raises(rigopt.RigoptError, match=said):
        rigopt.curve(needs, SHOP, counts)


def test_exchange_is_for_the_currency_of_the_first_column(monkeypatch: Patch) -> None:
    """A catalogue in euros keeps what its needs say of pounds."""
    seen = handed(monkeypatch, "ask_each", "compared")
    needs = rigopt.Needs(title=" a ", mic=2, exchange={"USD": 3})
    shops = [SHOP, replace(SHOP, currency="EUR")]
    rigopt.compare(needs, shops, exchange={"EUR": 2})
    columns: list[Scenario] = seen[0][0][0]
    assert [column.needs.exchange for column in columns] == [
        {"USD": Decimal(3), "EUR": Decimal(2)},
        {"USD": Decimal(3)},
    ]
    assert [column.title for column in columns] == ["a", "a"]
    assert seen[0][1] == {"second": False}


@pytest.mark.parametrize("each", [None, 300])
def test_stages_by_what_each_may_cost(each: int | None, monkeypatch: Patch) -> None:
    way = handed(monkeypatch, "ask_growth", "grown")
    most = handed(monkeypatch, "ask_most_each", "grown")
    stages = [rigopt.Needs(mic=5, phantom=4)]
    rigopt.grow(rigopt.Needs(stages=stages, budget=700), SHOP, budget_per_stage=each)
    assert (len(way), len(most)) == ((1, 0) if each is None else (0, 1))
    if each is not None:
        assert most[0][0][2] == 30000
        assert most[0][0][1][0].needs.mic == 1_000_000


def test_a_stretch_asks_for_its_budget_and_any_number(monkeypatch: Patch) -> None:
    seen = handed(monkeypatch, "ask_stretch", "stretched")
    rigopt.stretch(rigopt.Needs(mic=3, phantom=4, budget=12), SHOP, time_limit=9)
    assert seen[0][0][2:] == (1200, 9)
    assert (seen[0][0][1].mic, seen[0][0][1].phantom) == (0, 4)


@pytest.mark.parametrize(
    ("known", "within", "said"),
    [
        ({"desk-9": "1"}, 0, "desk-9: there is no such device, cable or extra"),
        ({"desk-8": "much"}, 0, "desk-8: is not a number"),
        ({}, -1, "within: must not be negative"),
    ],
)
def test_prices_that_cannot_be(known: dict[str, str], within: Any, said: str) -> None:
    with pytest.raises(rigopt.RigoptError, match=said):
        rigopt.prices(rigopt.Needs(mic=8), SHOP, known=known, within=within)


@pytest.mark.parametrize("done", [True, False])
def test_prices_are_told_beside_what_is_known(done: bool, monkeypatch: Patch) -> None:
    """While it goes on the catalogue is the asker's, with the price that is given."""
    found = Prices((), 0, 0, END if done else None)
    monkeypatch.setattr(face, "ask_prices", lambda *args: (found, args))
    monkeypatch.setattr(face.telling, "wanted", lambda *args: args)
    told: Any = rigopt.prices(rigopt.Needs(mic=8), SHOP, known={"desk-8": "7"}, within=2)
    shop = told[1][0] if done else told[1]
    assert shop.devices["desk-8"].price == 700
    if done:
        assert told[1][2] == 200


def test_a_rate_that_is_given_is_that_of_the_needs_too(shop: rigopt.Catalogue) -> None:
    """44.1 kHz in place of 96, at which the needs would have no rig."""
    needs = rigopt.Needs(mic=16, rate_khz=96)
    found = rigopt.audit("works.toml", shop, needs, 44.1)
    assert isinstance(found, rigopt.Works)
    assert found.to_dict()["rate_khz"] == 44.1


def test_a_rig_that_works_is_not_repaired(shop: rigopt.Catalogue, monkeypatch: Patch) -> None:
    monkeypatch.setattr(face, "ask_repair", None)
    assert isinstance(rigopt.repair("works.toml", shop), rigopt.Works)


# --- the gate --------------------------------------------------------------------------------


def unsound(*_: object) -> Any:
    return ("a finding",)


def test_every_rig_of_a_choice_is_audited(monkeypatch: Patch) -> None:
    seen: list[Any] = []
    monkeypatch.setattr(QUESTIONS + "plan.solve", lambda *_: END)
    monkeypatch.setattr(ask, "finished", lambda end, *_: end)
    monkeypatch.setattr(ask, "audited", lambda *args: seen.append(args))
    others = Alternatives((END, END), "asked")
    richer = types.Needs(mic=9)
    better = Better("inputs", Setting("spare", 1), richer, END)
    choice = Choice(END, others, more=More(Decimal(0), 0, (better,)))
    monkeypatch.setattr(QUESTIONS + "behind.behind", lambda *_: choice)
    for wanted in ({"alternatives": 2}, {"why": True}, {"checks": True}, {"more": Decimal(0)}):
        assert ask.ask_plan(SHOP, types.Needs(mic=8), **wanted) is choice
    assert [args[2].mic for args in seen] == [8, 8, 9] * 4
    assert ask.ask_plan(SHOP, types.Needs(mic=8)) == Choice(END)


@pytest.mark.parametrize(
    ("others", "fault", "said"),
    [
        (Alternatives((), "no more"), NoAlternativeError, "no other mix of devices would do"),
        (Alternatives((END,), "no more"), NoAlternativeError, "only 1 other mix of"),
        (Alternatives((END, END), "time"), LateAlternativeError, "only 2 other mixes of"),
        (None, LateAlternativeError, "no other mix of devices found in the time"),
    ],
)
def test_an_alternative_that_is_not_there(
    others: Alternatives | None, fault: type[Exception], said: str, monkeypatch: Patch
) -> None:
    monkeypatch.setattr(ask, "ask_plan", lambda *_, **__: Choice(END, others))
    with pytest.raises(NoAlternativeError, match=said) as error:
        ask_alternative(SHOP, types.Needs(), 3)
    assert type(error.value) is fault


def test_an_alternative_and_its_place(monkeypatch: Patch) -> None:
    second = replace(END, rig=replace(END.rig, total=END.rig.total + 5))
    others = Alternatives((END, second), "time")
    monkeypatch.setattr(ask, "ask_plan", lambda *_, **__: Choice(END, others))
    found = ask_alternative(SHOP, types.Needs(), 2)
    assert isinstance(found, Answered)
    assert found.rig is second.rig
    assert found.alternative is not None
    assert found.alternative.number == 2
    none = Impossible()
    monkeypatch.setattr(ask, "ask_plan", lambda *_, **__: Choice(none))
    assert ask_alternative(SHOP, types.Needs(), 2) is none


def test_no_rig_is_explained_and_keeps_its_second_opinion(monkeypatch: Patch) -> None:
    """But not after a stop: then nobody waits for either."""
    told = Impossible(minimal=False)
    monkeypatch.setattr(QUESTIONS + "conflict.explain.explained", lambda *_: told)
    monkeypatch.setattr(
        QUESTIONS + "second.second_opinion", lambda end, *_: replace(end, second="agrees")
    )
    watch = Watch()
    deadline = Deadline(None, watch)
    needs = types.Needs(mic=8)
    assert audited.finished(Impossible(), SHOP, needs, deadline) == told
    second = audited.finished(Impossible(), SHOP, needs, deadline, second=True)
    assert second == replace(told, second="agrees")
    watch.stopped = True
    stopped = audited.finished(Impossible(), SHOP, needs, deadline, second=True)
    assert stopped == Impossible()


def test_an_unsound_rig_does_not_pass(monkeypatch: Patch) -> None:
    monkeypatch.setattr("rigopt.rig.audit.audit", unsound)
    with pytest.raises(AuditFailedError):
        audited.audited(END, CATALOGUE, types.Needs())
    late = OutOfTime(1.0)
    assert audited.audited(late, CATALOGUE, types.Needs()) is late


# --- series ----------------------------------------------------------------------------------


@pytest.mark.parametrize(("last", "drawn"), [(200, True), (201, False)])
def test_counts_between_are_asked_if_they_can_be_seen(
    last: int, drawn: bool, monkeypatch: Patch
) -> None:
    seen: list[Any] = []

    def stand_in(*args: Any) -> Curve:
        seen.append(args[-1])
        return Curve((1, last), (Point(1, END),), (Point(2, END),))

    checked: list[int] = []

    def passed(end: Any, _: Any, needs: types.Needs, *__: Any) -> Any:
        checked.append(needs.mic)
        return end

    monkeypatch.setattr(QUESTIONS + "curve.curve", stand_in)
    monkeypatch.setattr(series, "finished", passed)
    monkeypatch.setattr(series, "audited", lambda _, __, needs: checked.append(needs.mic))
    series.ask_curve(SHOP, types.Needs(), [1, last], every=True)
    series.ask_curve(SHOP, types.Needs(), [1, last])
    assert seen == [drawn, False]
    assert checked == [1, 2] * 2


def test_a_stretch_is_audited_within_its_budget_and_its_step_without(
    monkeypatch: Patch,
) -> None:
    found = Stretch(500, Point(3, END), Point(4, END), True)
    monkeypatch.setattr(QUESTIONS + "stretch.stretch", lambda *_: found)
    checked: list[Any] = []

    def stand_in(end: Any, _: Any, needs: types.Needs, *__: Any) -> Any:
        checked.append((needs.mic, needs.budget))
        return end

    monkeypatch.setattr(series, "finished", stand_in)
    series.ask_stretch(SHOP, types.Needs(budget=9), 500)
    assert checked == [(3, 500), (4, None)]
    nothing = replace(found, best=None, step=None)
    monkeypatch.setattr(QUESTIONS + "stretch.stretch", lambda *_: nothing)
    assert series.ask_stretch(SHOP, types.Needs(), 500) == nothing


def test_each_column_is_named_and_gets_its_share_of_the_time(monkeypatch: Patch) -> None:
    asked: list[tuple[str, float]] = []
    watch = Watch()

    def stand_in(_: Any, __: Any, seconds: float, seen: Watch) -> Answered:
        asked.append((seen.about, round(seconds)))
        return END

    monkeypatch.setattr(QUESTIONS + "plan.solve", stand_in)
    monkeypatch.setattr(series, "finished", lambda end, *_: end)
    scenarios = [Scenario("", SHOP, types.Needs())] * 3
    series.ask_each(scenarios, 60.0, watch)
    assert asked == [("column 1 of 3", 20), ("column 2 of 3", 30), ("column 3 of 3", 60)]


@pytest.mark.parametrize("stopped", [True, False])
def test_only_a_stop_is_the_end_of_one_column_alone(stopped: bool, monkeypatch: Patch) -> None:
    """Who presses Ctrl-C without a watch that hears it wants to leave."""
    watch = Watch()
    asked: list[str] = []

    def stand_in(*_: Any) -> Answered:
        asked.append(watch.about)
        if len(asked) == 1:
            return END
        watch.stopped = stopped
        raise KeyboardInterrupt

    monkeypatch.setattr(QUESTIONS + "plan.solve", stand_in)
    monkeypatch.setattr(series, "finished", lambda end, *_: end)
    scenarios = [Scenario("", SHOP, types.Needs())] * 3
    if not stopped:
        with pytest.raises(KeyboardInterrupt):
            series.ask_each(scenarios, None, watch)
        return
    found = series.ask_each(scenarios, None, watch)
    assert [type(column.outcome).__name__ for column in found.columns] == [
        *("Answered", "NotAsked", "NotAsked")
    ]
    assert asked == ["column 1 of 3", "column 2 of 3"]


# --- growth and prices -----------------------------------------------------------------------


def test_both_ways_of_growth_are_audited(monkeypatch: Patch) -> None:
    way, other = growths.Growth((), 1, True), growths.Growth((), 2, True)
    seen: list[int] = []
    monkeypatch.setattr(growth, "audited_growth", lambda one, *_: seen.append(one.bound))
    found = growths.Grown(way, other)
    monkeypatch.setattr(QUESTIONS + "growth.grow.grow", lambda *_: found)
    monkeypatch.setattr(
        QUESTIONS + "second.second_on_growth", lambda one, *_: replace(one, second="agrees")
    )
    assert growth.ask_growth(SHOP, ()) == found
    assert growth.ask_growth(SHOP, (), second=True) == replace(found, second="agrees")
    assert seen == [1, 2, 1, 2]
    monkeypatch.setattr(
        QUESTIONS + "growth.grow.grow", lambda *_: replace(found, one_by_one=None)
    )
    growth.ask_growth(SHOP, ())
    assert seen == [1, 2, 1, 2, 1]


@pytest.mark.parametrize("stopped", [True, False])
@pytest.mark.parametrize("status", ["infeasible", "unknown"])
def test_a_growth_without_a_way(status: Any, stopped: bool, monkeypatch: Patch) -> None:
    watch = Watch()
    watch.stopped = stopped
    end = Result(status, 0, lambda _: 0)
    monkeypatch.setattr(QUESTIONS + "growth.grow.grow", lambda *_: end)
    monkeypatch.setattr(QUESTIONS + "growth.obstacle.obstacle", lambda *_: None)
    if stopped:
        with pytest.raises(KeyboardInterrupt):
            growth.ask_growth(SHOP, (), 7.0, watch)
        return
    found = growth.ask_growth(SHOP, (), 7.0, watch)
    assert found == (growths.OutOfReach(None) if status == "infeasible" else OutOfTime(7.0))


def test_most_of_no_stage_after_a_stop_is_no_answer(monkeypatch: Patch) -> None:
    none = growths.Most(growths.Growth((), 0, True), (), "time")
    monkeypatch.setattr(QUESTIONS + "growth.most.most_each", lambda *_: none)
    watch = Watch()
    assert growth.ask_most_each(SHOP, (), 1, None, watch) == none
    watch.stopped = True
    with pytest.raises(KeyboardInterrupt):
        growth.ask_most_each(SHOP, (), 1, None, watch)


def test_prices_that_are_not_known_are_nothing_where_there_is_no_rig(
    monkeypatch: Patch,
) -> None:
    """It is explained as if they cost nothing: not even so is there one."""
    shop = replace(
        CATALOGUE,
        devices={
            **CATALOGUE.devices,
            "desk-8": replace(CATALOGUE.devices["desk-8"], price=None),
        },
    )
    monkeypatch.setattr(QUESTIONS + "prices.prices.prices", lambda *_: Impossible())
    monkeypatch.setattr(prices, "finished", lambda end, *_: end)
    found, free = prices.ask_prices(shop, types.Needs(mic=8))
    assert isinstance(found, Impossible)
    assert free.devices["desk-8"].price == 0
    late, within = OutOfTime(1.0), list[int]()

    def stand_in(*args: Any) -> OutOfTime:
        within.append(args[2])
        return late

    monkeypatch.setattr(QUESTIONS + "prices.prices.prices", stand_in)
    assert prices.ask_prices(shop, types.Needs(mic=8)) == (late, shop)
    assert within == [0]


@pytest.mark.parametrize("done", [True, False])
def test_a_rig_is_audited_where_what_every_rig_buys_costs_nothing(
    done: bool, monkeypatch: Patch
) -> None:
    blank = {key: replace(one, price=None) for key, one in CATALOGUE.devices.items()}
    found = Prices((), 0, 2, END if done else None, ("desk-8",))
    monkeypatch.setattr(QUESTIONS + "prices.prices.prices", lambda *_: found)
    checked: list[Any] = []
    monkeypatch.setattr(prices, "audited", lambda *args: checked.append(args[1]))
    _, shop = prices.ask_prices(replace(CATALOGUE, devices=blank), types.Needs(mic=8))
    assert (shop.devices["desk-8"].price, shop.devices["rack-8"].price) == (0, None)
    assert checked == ([shop] if done else [])
