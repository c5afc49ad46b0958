"""The facts on which a rig hangs: each is true, and none that matters is left out."""

from __future__ import annotations

import json
from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest

from rigopt.answers.checks import Checks
from rigopt.answers.outcome import Answered, Impossible
from rigopt.catalogue.types import Cable, Catalogue, Device
from rigopt.cli.main import run
from rigopt.facts import RATE_MULTIPLIER
from rigopt.needs.types import Needs
from rigopt.optimiser.questions.checks.checks import checks
from rigopt.optimiser.questions.plan import solve
from rigopt.optimiser.search.pooled import Search
from rigopt.optimiser.solver.run import Deadline, Result
from rigopt.optimiser.solver.watch import Watch
from rigopt.output.words.checks import musts
from tests.choice.editing import edited, weaker, with_row
from tests.oracle.instances import Seeded, some_catalogue, some_needs
from tests.world import DESK, HUB, PRE, catalogue

SHOP = catalogue(DESK, PRE, HUB)
ASKED = Needs(mic=16)
SMALL = Path(__file__).parents[1] / "golden" / "catalogues" / "small"


def told(shop: Catalogue, needs: Needs) -> tuple[Answered, Checks]:
    answer = solve(shop, needs)
    assert isinstance(answer, Answered)
    return answer, checks(shop, needs, answer.rig, Deadline(None))


def untrue(shop: Catalogue, needs: Needs, found: Checks, total: int) -> list[str]:
    """Checks that are not what comes out if the row is edited and the question asked anew."""
    wrong = []
    for check in found.found:
        device = shop.devices[check.device]
        outcome = solve(
            with_row(shop, edited(device, check.column, check.now, check.tried)), needs
        )
        total_then = outcome.rig.total if isinstance(outcome, Answered) else None
        if total_then != check.total or (total_then is not None and total_then < total):
            wrong.append(f"{check}, not {total_then}")
        if check.needed != check.now:
            same = solve(
                with_row(shop, edited(device, check.column, check.now, check.needed)), needs
            )
            if not (isinstance(same, Answered) and same.rig.total == total):
                wrong.append(f"{check}: not even with {check.needed}")
    return wrong


def left_out(shop: Catalogue, needs: Needs, answer: Answered, found: Checks) -> set[str]:
    """Columns of which a weaker cell makes the answer dearer, and no check says so."""
    named = {(check.device, check.column) for check in found.found}
    missing = set()
    for item in {line.item for line in answer.rig.purchases if line.kind == "device"}:
        for column, row in weaker(shop.devices[item], RATE_MULTIPLIER[needs.rate_hz]):
            if (item, column) in named:
                continue
            outcome = solve(with_row(shop, row), needs)
            if isinstance(outcome, Impossible) or outcome.rig.total != answer.rig.total:  # type: ignore[union-attr]
                missing.add(f"{item} {column}")
    return missing


def test_each_fact_of_a_small_shop_is_true() -> None:
    answer, found = told(SHOP, ASKED)
    assert found.complete
    assert not untrue(SHOP, ASKED, found, answer.rig.total)


@pytest.mark.full
def test_no_fact_of_a_small_shop_is_left_out() -> None:
    answer, found = told(SHOP, ASKED)
    assert not left_out(SHOP, ASKED, answer, found)


@pytest.mark.parametrize("seed", [pytest.param(n, marks=pytest.mark.long) for n in range(60)])
def test_facts_of_any_shop(seed: int) -> None:
    choose = Seeded(seed)
    shop = some_catalogue(choose)
    needs = some_needs(choose, shop, most_units=3)
    answer = solve(shop, needs)
    if not isinstance(answer, Answered):
        return
    found = checks(shop, needs, answer.rig, Deadline(None))
    assert not untrue(shop, needs, found, answer.rig.total)
    assert not left_out(shop, needs, answer, found)


def test_what_is_needed_is_the_least_that_will_do() -> None:
    """One light-pipe in is in use; the outputs of the interface are not."""
    _, found = told(SHOP, ASKED)
    needed = {(check.device, check.column): check.needed for check in found.found}
    assert needed["desk-8", "optical_in"] == "1"
    assert ("desk-8", "optical_out") not in needed
    assert ("desk-8", "phones") not in needed
    assert needed["pre-8", "optical_out"] == "1"


def test_two_inputs_that_are_in_use_must_work_at_a_time() -> None:
    """24 microphones: eight of its own, and two light-pipes that both have to work."""
    desk = replace(DESK, optical_in=2, optical_2x=2)
    answer, found = told(catalogue(desk, PRE), Needs(mic=24))
    said = {(check.device, check.tried): check for check in found.found if check.total is None}
    assert ("desk-8", "optical in 1/optical in 2") in said
    assert said["desk-8", "optical in 1/optical in 2"].column == "either"
    assert answer.rig.total == 30_000 + 2 * 20_000 + 3 * 600


def test_lines_share_no_receiver() -> None:
    """Four leads of a preamp: only digital sockets may work one at a time."""
    preamp = Device("pre-4", "preamp", "preamp", 10_000, mic=4, direct_out=4, phantom_bank=4)
    lead = Cable("lead", "lead", "analogue", 1000, 500, ends=("jack", "jack"))
    shop = catalogue(replace(DESK, line=4), preamp, cables=(lead,))
    answer, found = told(shop, Needs(mic=12))
    assert answer.rig.total == 30_000 + 10_000 + 4 * 500
    assert found.complete
    assert "either" not in {check.column for check in found.found}
    assert {("pre-4", "direct_out"), ("desk-8", "line")} <= {
        (check.device, check.column) for check in found.found
    }


def test_an_interface_that_shows_no_inputs_may_feed_outputs() -> None:
    _, found = told(catalogue(replace(DESK, max_in_1x=0)), Needs(out_line=4))
    assert found.complete
    columns = {check.column for check in found.found}
    assert "line_out" in columns
    assert "max_in_1x" not in columns


def test_facts_of_one_consequence_are_one_line() -> None:
    answer, found = told(SHOP, ASKED)
    lines = musts(found, answer.rig.total, "GBP")
    assert len(lines) < len(found.found)
    assert Counter(line.device for line in lines).keys() == {"desk-8", "pre-8"}


def test_it_is_told_in_text_and_json(capsys: pytest.CaptureFixture[str]) -> None:
    asked = ["plan", "--mic", "8", "--checks", "--catalog", str(SMALL)]
    assert run(asked) == 0
    assert "\nBEFORE YOU PAY\n- " in capsys.readouterr().out
    assert run([*asked, "--json", "-"]) == 0
    said = json.loads(capsys.readouterr().out)["checks"]
    assert said["complete"]
    assert {"device", "column", "now", "needed", "tried", "total", "difference"} <= set(
        said["facts"][0]
    )


def test_time_that_is_up_is_said() -> None:
    answer = solve(SHOP, ASKED)
    assert isinstance(answer, Answered)
    found = checks(SHOP, ASKED, answer.rig, Deadline(0.0))
    assert found == Checks((), complete=False)


def test_what_is_not_known_is_not_told(monkeypatch: pytest.MonkeyPatch) -> None:
    answer = solve(SHOP, ASKED)
    assert isinstance(answer, Answered)
    watch = Watch()
    late = Result("unknown", 0, lambda _: 0)
    monkeypatch.setattr(Search, "possible", lambda *_: late)
    found = checks(SHOP, ASKED, answer.rig, Deadline(None, watch))
    assert found == Checks((), complete=False)
    assert watch.about == "facts of desk-8"


def test_nothing_bought_is_nothing_to_check() -> None:
    needs = Needs(mic=8, owned={"desk-8": 1})
    _, found = told(SHOP, needs)
    assert found == Checks(())


def test_a_page_always_has_them(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    page = tmp_path / "rig.html"
    ask = ["plan", "--mic", "8", "--catalog", str(SMALL), "--page", str(page)]
    assert run(ask) == 0
    assert "BEFORE YOU PAY" not in capsys.readouterr().out
    shown = page.read_text()
    assert "<h3>Before you pay</h3>" in shown
    assert "(desk-8) must have: " in shown
