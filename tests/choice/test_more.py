"""What a little more money buys: each line is the plan that its option asks for."""

from __future__ import annotations

import json
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from rigopt.answers.choice import Setting
from rigopt.answers.more import More
from rigopt.answers.outcome import Answered, Impossible, OutOfTime
from rigopt.catalogue.types import Catalogue, Offer, Seller
from rigopt.cli.main import run
from rigopt.needs.types import Needs
from rigopt.optimiser.questions import more as module
from rigopt.optimiser.questions.more import more
from rigopt.optimiser.questions.plan import solve
from rigopt.optimiser.solver.run import Deadline
from rigopt.optimiser.solver.watch import Watch
from rigopt.rig.figures import figures
from rigopt.rig.types import Rig
from tests.oracle.instances import Seeded, some_catalogue, some_needs
from tests.world import DESK, HUB, PRE, catalogue

SHOP = catalogue(DESK, PRE, HUB)
SMALL = Path(__file__).parents[1] / "golden" / "catalogues" / "small"


def cheapest(shop: Catalogue, needs: Needs) -> Rig:
    answer = solve(shop, needs)
    assert isinstance(answer, Answered)
    return answer.rig


def told(shop: Catalogue, needs: Needs, percent: int) -> tuple[Rig, More]:
    rig = cheapest(shop, needs)
    return rig, more(shop, needs, rig, Decimal(percent), Deadline(None))


def test_inputs_go_on_step_by_step() -> None:
    """8 microphones cost 300; 16 take an expander and a cable.

    From 24 on it is the other host, 250, with an expander, 200, and a cable, 6, for each 8;
    one expander is master, and each of the others takes a cable back.
    """
    rig, found = told(SHOP, Needs(mic=8), 300)
    assert rig.total == 30000
    assert found.limit == 120000
    lines = [line for line in found.found if line.gain == "inputs"]
    assert [line.answer.rig.total for line in lines] == [50600, 88000, 109200]
    inputs = [figures(line.answer.rig).kinds[0] for line in lines]
    assert [kind.used + kind.spare for kind in inputs] == [16, 24, 32]


def test_nothing_beyond_the_limit() -> None:
    _, found = told(SHOP, Needs(mic=8), 60)
    assert not [line for line in found.found if line.answer.rig.total > 48000]
    assert [line.gain for line in found.found] == ["rate"]


def test_the_highest_rate_for_the_money() -> None:
    _, found = told(SHOP, Needs(mic=8), 0)
    assert [line.answer.rig.rate_hz for line in found.found] == [96000]


BIG = replace(DESK, id="big-16", price=60000, mic_line=16)


def lines(found: More) -> dict[str, list[tuple[object, int]]]:
    """By gain, what is set and what it costs."""
    by_gain: dict[str, list[tuple[object, int]]] = {}
    for line in found.found:
        by_gain.setdefault(line.gain, []).append((line.setting.now, line.answer.rig.total))
    return by_gain


def test_one_input_more_is_the_least_step() -> None:
    nine = replace(DESK, id="nine", price=30100, mic_line=9)
    _, found = told(catalogue(DESK, nine), Needs(mic=8), 1)
    assert lines(found)["inputs"] == [(1, 30100)]


def test_fewer_units_and_a_host_as_master() -> None:
    """Desk, expander and a cable are 506, the expander master. A cable back is 6 more; one
    box alone is 600."""
    rig, found = told(catalogue(DESK, PRE, BIG), Needs(mic=16), 20)
    assert (rig.total, rig.master.role) == (50600, "expander")
    assert lines(found)["units"] == [(1, 60000)]
    assert lines(found)["master"] == [("host", 51200)]


def test_without_the_used_one_and_without_its_order() -> None:
    """The desk is used, at 200; all else is new and of nobody named."""
    shop = replace(
        SHOP,
        sellers={"shop": Seller("shop", "GBP")},
        offers=(Offer("desk-8", "shop", 20000, condition="used"),),
    )
    rig, found = told(shop, Needs(mic=16), 30)
    assert rig.total == 40600
    assert lines(found)["new"] == [(True, 50600)]
    assert lines(found)["orders"] == [(0, 50600)]


def test_who_asks_for_an_expander_as_master_is_told_of_no_host() -> None:
    """A host as master would be 512.00, for a cable back."""
    _, found = told(catalogue(DESK, PRE), Needs(mic=16, master="expander"), 20)
    assert "master" not in lines(found)


def test_one_box_of_nobody_named_has_no_fewer_units_nor_orders() -> None:
    """Nor is it asked for none."""
    needs = Needs(mic=8)
    rig = cheapest(SHOP, needs)
    for step in (module.STEPS["units"], module.STEPS["orders"]):
        assert step
        assert step(rig, needs) is None


def test_each_higher_rate_that_costs_more_than_the_last() -> None:
    fast = replace(DESK, id="fast", price=31000, rates_hz=(192000,))
    _, found = told(catalogue(DESK, fast), Needs(mic=8), 10)
    assert lines(found)["rate"] == [(96000, 30000), (192000, 31000)]


def test_rates_that_a_host_has_are_asked_for_and_the_watch_knows(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The expander's own are of no use."""
    asked: list[tuple[int, str]] = []

    def stand_in(_: Catalogue, needs: Needs, __: object, watch: Watch) -> Impossible:
        asked.append((needs.rate_hz, watch.about))
        return Impossible()

    shop = catalogue(DESK, replace(PRE, rates_hz=(48000, 192000)))
    rig = cheapest(shop, Needs(mic=16))
    monkeypatch.setattr(module, "solve", stand_in)
    more(shop, Needs(mic=16), rig, Decimal(1), Deadline(None))
    assert [(rate, about) for rate, about in asked if about.endswith("rate")] == [
        (96000, "more for the money: rate"),
        (88200, "more for the money: rate"),
    ]


def test_inputs_are_those_for_microphones() -> None:
    """All eight are in use; four more take line alone."""
    rig = cheapest(catalogue(replace(DESK, line=4)), Needs(mic=8))
    step = module.STEPS["inputs"]
    assert step
    assert step(rig, Needs(mic=8)) == Setting("spare", 1)


def test_no_rate_that_is_lower_or_there_already() -> None:
    slow = replace(DESK, id="slow", price=10000, rates_hz=(48000,))
    _, found = told(catalogue(DESK, slow), Needs(mic=8, rate_hz=96000), 50)
    assert "rate" not in lines(found)


@pytest.mark.parametrize("late", [True, False])
def test_what_is_not_proven_is_not_told(late: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    answer = solve(SHOP, Needs(mic=8))
    assert isinstance(answer, Answered)
    rest = OutOfTime(1.0) if late else replace(answer, proven=False)
    monkeypatch.setattr(module, "solve", lambda *_: rest)
    found = more(SHOP, Needs(mic=8), answer.rig, Decimal(10), Deadline(None))
    assert (found.found, found.complete) == ((), False)


@pytest.mark.parametrize("seed", [pytest.param(n, marks=pytest.mark.long) for n in range(60)])
def test_every_line_is_a_plan(seed: int) -> None:
    choose = Seeded(seed)
    shop = some_catalogue(choose)
    needs = some_needs(choose, shop, most_units=3)
    answer = solve(shop, needs)
    if isinstance(answer, Impossible):
        return
    assert isinstance(answer, Answered)
    found = more(shop, needs, answer.rig, Decimal(30), Deadline(None))
    for line in found.found:
        asked = solve(shop, line.needs)
        assert isinstance(asked, Answered)
        assert asked.rig == line.answer.rig
        assert line.answer.rig.total <= found.limit


def test_a_page_has_a_bar_for_each_gain(tmp_path: Path) -> None:
    page = tmp_path / "rig.html"
    ask = ["plan", "--mic", "8", "--catalog", str(SMALL), "--page", str(page)]
    assert run([*ask, "--more", "100"]) == 0
    chart = page.read_text().partition("What each costs more, ")[2]
    bars = chart.partition("</ul>")[0].count("<rect")
    assert run([*ask[:-2], "--more", "100", "--json", str(tmp_path / "rig.json")]) == 0
    told = json.loads((tmp_path / "rig.json").read_text())["more"]["rigs"]
    assert bars == len(told) > 0
    assert run(ask) == 0
    assert "What each costs more, " not in page.read_text()


@pytest.mark.full
def test_it_is_told_in_text_and_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["plan", "--mic", "24", "--more", "10"]) == 0
    shown = capsys.readouterr().out
    assert "\nWHAT UP TO 10 % MORE BUYS, UP TO 882.75 GBP\n" in shown
    assert "--master host" in shown
    assert run(["plan", "--mic", "24", "--more", "10 %", "--json", "-"]) == 0
    said = json.loads(capsys.readouterr().out)["more"]
    assert said["limit"] == "882.75"
    assert said["rigs"][0]["set"] == {"clock.master": "host"}


def test_what_is_no_percentage(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["plan", "--mic", "8", "--more", "much"]) == 2
    assert "--more" in capsys.readouterr().err


def test_time_that_is_up_is_said() -> None:
    rig = cheapest(SHOP, Needs(mic=8))
    found = more(SHOP, Needs(mic=8), rig, Decimal(10), Deadline(0.0))
    assert not found.complete
