"""Prices as ranges, from the cell to what is told of them."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest

from rigopt.answers.outcome import Answered
from rigopt.api.ask import ask_plan
from rigopt.catalogue.read import read_folder
from rigopt.cli.main import run
from rigopt.files.amounts import Span, span
from rigopt.files.values import BadValueError
from rigopt.needs.types import Needs
from rigopt.optimiser.questions.plan import solve
from tests.regret.brute import at, ends, paid

SMALL = Path(__file__).parents[1] / "golden" / "catalogues" / "small"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The small catalogue: three devices and a cable with ranges."""
    shutil.copytree(SMALL, tmp_path / "shop")
    edit(tmp_path / "shop" / "devices.csv", "240.00", "£180 - 320")
    edit(tmp_path / "shop" / "devices.csv", "480.00", "390..480")
    edit(tmp_path / "shop" / "devices.csv", "190.00", "150 to 230")
    edit(tmp_path / "shop" / "cables.csv", ",6.00,", ",5–7,")
    return tmp_path / "shop"


def edit(file: Path, old: str, new: str) -> None:
    text = file.read_text()
    assert old in text
    file.write_text(text.replace(old, new, 1))


@pytest.mark.parametrize(
    ("text", "least", "most"),
    [
        ("180-240", 18000, 24000),
        ("180 - 240", 18000, 24000),
        ("180..240", 18000, 24000),
        ("180 to 240", 18000, 24000),
        ("180–240", 18000, 24000),
        ("£180-£240", 18000, 24000),
        ("179.50-240,5 GBP", 17950, 24050),
        ("1 180-1 240", 118000, 124000),
        ("0-5", 0, 500),
        ("7-7", 700, 700),
        ("180", 18000, 18000),
    ],
)
def test_a_range_as_people_write_it(text: str, least: int, most: int) -> None:
    assert span(text, "GBP") == Span(least, most)


def test_a_price_that_nobody_knows() -> None:
    assert span(" ? ", "GBP") == Span(0, None)


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("240-180", "ends before it begins"),
        ("-5", "must not be negative"),
        ("5-", "is not"),
        ("1e-5", "power of ten"),
        ("180-240-300", "is not"),
        ("180-240 EUR", "says 'EUR', but the currency is GBP"),
        ("??", "is not"),
    ],
)
def test_what_is_no_price(text: str, problem: str) -> None:
    with pytest.raises(BadValueError, match=problem):
        span(text, "GBP")


def test_the_ends_are_kept(folder: Path) -> None:
    shop = read_folder(folder)
    assert (shop.devices["desk-8"].least, shop.devices["desk-8"].price) == (18000, 32000)
    assert (shop.cables["opt-1m"].least, shop.cables["opt-1m"].price) == (500, 700)
    assert shop.devices["desk-2"].least is None


def told(folder: Path, capsys: pytest.CaptureFixture[str], *more: str) -> dict[str, Any]:
    assert run(["plan", "--catalog", str(folder), "--mic", "16", "--json", "-", *more]) == 0
    found: dict[str, Any] = json.loads(capsys.readouterr().out)
    return found


def test_the_bill_is_from_to(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["plan", "--catalog", str(folder), "--mic", "16"]) == 0
    shown = capsys.readouterr().out
    assert "Total:  335.00–557.00 GBP; up to " in shown
    assert "180.00–320.00" in shown
    assert "no rig of this\n        catalogue costs less" in shown
    said = told(folder, capsys)
    assert (said["total_from"], said["total"], said["bound"]) == ("335.00", "557.00", "335.00")
    assert (said["regret"], said["status"]) == ("0.00", "proven cheapest")
    assert said["purchases"][0]["unit_price"] == "180.00-320.00"


def test_prices_that_decide_are_named(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """At these prices, and whatever the others are, it is that much more than the best rig."""
    edit(folder / "devices.csv", "390..480", "150..480")
    assert run(["plan", "--catalog", str(folder), "--mic", "16"]) == 0
    shown = capsys.readouterr().out
    assert shown.startswith("The rig with the least regret\n")
    said = told(folder, capsys)
    assert said["status"] == "least regret"
    assert said["regret"] in shown
    shop = read_folder(folder)
    worst = {item: int(price.replace(".", "")) for item, price in said["worst"].items()}
    outcome = ask_plan(shop, Needs(mic=16)).outcome
    assert isinstance(outcome, Answered)
    for end in (0, 1):
        prices = {item: both[end] for item, both in ends(shop).items()} | worst
        best = solve(at(shop, prices), Needs(mic=16))
        assert isinstance(best, Answered)
        regret = paid(outcome.rig, prices) - best.rig.total
        assert f"{regret // 100}.{regret % 100:02}" == said["regret"]


def test_an_answer_with_ranges_can_be_audited(folder: Path, tmp_path: Path) -> None:
    written = str(tmp_path / "rig.json")
    ask = ["plan", "--catalog", str(folder), "--mic", "16", "--json", written]
    assert run([*ask, "--page", str(tmp_path / "rig.html")]) == 0
    assert run(["audit", written, "--catalog", str(folder)]) == 0
    page = (tmp_path / "rig.html").read_text()
    assert "335.00–557.00" in page
    chart = page[page.index("What prices that are ranges may come to") :]
    assert chart.index("desk-8") < chart.index("Total") < chart.index("</ul>")


def test_other_questions_take_the_upper_ends(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    upper = tmp_path / "upper"
    shutil.copytree(SMALL, upper)
    edit(upper / "devices.csv", "240.00", "320")
    edit(upper / "devices.csv", "190.00", "230")
    edit(upper / "cables.csv", ",6.00,", ",7,")
    note = "Prices that are ranges count at their upper ends here."
    for ask in (
        ["curve", "--from", "8", "--to", "16"],
        ["stretch", "--budget", "600"],
        ["compare", "--mic", "16", "--rate", "44.1", "--rate", "48"],
    ):
        assert run([*ask, "--catalog", str(folder)]) == 0
        shown = " ".join(capsys.readouterr().out.split())
        assert note in shown
        assert run([*ask, "--catalog", str(upper)]) == 0
        plain = " ".join(capsys.readouterr().out.split())
        assert "557.00" in shown
        assert "557.00" in plain


def test_a_price_that_is_not_known_is_refused_with_its_cell(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    edit(folder / "devices.csv", "390..480", "?")
    ask = ["plan", "--catalog", str(folder), "--mic", "16"]
    assert run(ask) == 2
    said = capsys.readouterr().err
    assert "devices.csv, row 4, price: nobody knows" in said
    assert "rigopt prices" in said
    assert run([*ask, "--avoid", "rack-16"]) == 0
