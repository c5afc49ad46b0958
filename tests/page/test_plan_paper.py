"""What a printed page says of its day, its prices, its number and what to look at first."""

from __future__ import annotations

import datetime
import re
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigopt.cli.main import run
from rigopt.needs.types import Needs
from rigopt.output.page.page import plan_page
from rigopt.output.page.templates import FOOT, css
from rigopt.output.words.prices import CHECK
from rigopt.output.words.ribbon import ribbon_line
from tests.page.browser import find, running
from tests.page.rigs import HUB, NASTY, PRE, catalogue, listed, lone
from tests.page.test_page import Reader

PROGRAM = find()
SHOP = catalogue(HUB, PRE)
DAY = datetime.date(2026, 7, 1)


def test_the_day_is_the_one_that_was_asked_for() -> None:
    answer, needs = listed()
    assert "Date" not in Reader(plan_page(answer, SHOP, needs)).of("dt")
    read = Reader(plan_page(answer, SHOP, needs, DAY))
    assert dict(zip(read.of("dt"), read.of("dd"), strict=True))["Date"] == "2026-07-01"


@pytest.mark.full
def test_the_command_writes_a_day_only_where_one_was_typed(
    capsys: pytest.CaptureFixture[str],
) -> None:
    ask = ["plan", "--mic", "8", "--page", "-"]
    assert run([*ask, "--today", "2026-07-01"]) == 0
    assert "2026-07-01" in capsys.readouterr().out
    assert run(ask) == 0
    assert "<dt>Date" not in capsys.readouterr().out


def test_prices_are_as_old_as_the_oldest_that_is_paid() -> None:
    answer, needs = listed()
    first, second, *rest = answer.rig.purchases
    dated = (replace(first, as_of=DAY), replace(second, as_of=DAY.replace(month=2)), *rest)
    read = Reader(
        plan_page(replace(answer, rig=replace(answer.rig, purchases=dated)), SHOP, needs)
    )
    said = "from the catalogue 'Tiny shop'; the oldest dated price is of 2026-02-01"
    assert said in read.of("dd")


def test_before_anything_is_paid() -> None:
    answer, needs = listed()
    read = Reader(plan_page(answer, SHOP, needs, checks=["Look at its 48 V."]))
    told = read.of("li")
    assert told.index(CHECK) + 1 == told.index("Look at its 48 V.")
    assert "Before you pay" not in Reader(plan_page(lone(), SHOP, Needs())).of("h3")


def test_where_a_ribbon_microphone_may_be() -> None:
    rig = listed()[0].rig
    assert ribbon_line(rig.inputs) == (
        "A ribbon microphone may be on inputs 3–10 alone, where 48 V is off."
    )
    all_on = [replace(item, phantom=True) for item in rig.inputs]
    assert ribbon_line(all_on).startswith("No microphone may be a ribbon one")
    all_off = [replace(item, phantom=False) for item in rig.inputs]
    assert ribbon_line(all_off).startswith("Any microphone may be a ribbon one")
    one = [all_off[0], *all_on[1:]]
    assert "on input 3 alone" in ribbon_line(one)
    lines = [replace(item, use="line", source=None) for item in rig.inputs]
    assert ribbon_line(lines) == ""
    spare = [replace(item, use=None, accepts=("mic", "line")) for item in all_off]
    assert ribbon_line(spare).startswith("Any")


@given(st.text() | st.sampled_from(NASTY))
def test_no_title_gets_out_of_its_string_in_the_style_sheet(text: str) -> None:
    said = str(css(text))
    assert re.fullmatch(r'"(?:[0-9A-Za-z]|\\[0-9a-f]{6})*"', said)
    assert len(re.findall(r"\\[0-9a-f]{6}|[0-9A-Za-z]", said)) <= FOOT


@pytest.mark.full
@pytest.mark.skipif(PROGRAM is None, reason="no Chromium on this machine")
def test_the_foot_of_a_sheet_is_the_title(tmp_path: Path) -> None:
    answer, needs = listed()
    page = tmp_path / "page.html"
    page.write_text(
        plan_page(answer, SHOP, replace(needs, title='A "b" \\ </style> é')), "utf-8"
    )
    assert PROGRAM is not None
    with running(PROGRAM) as browser:
        browser.open(page, 800)
        found = browser.evaluate(
            "[...document.styleSheets[0].cssRules].filter(r => r instanceof CSSPageRule)"
            ".map(r => r.cssText).join()"
        )
        assert browser.evaluate("document.styleSheets.length") == 1
    assert "counter(page)" in found
    assert '"A \\"b\\" \\\\ </style> é"' in found
