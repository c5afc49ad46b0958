"""Charts of prices: steps that tell the truth of every count, and bars with their worth."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rigopt.answers.outcome import Answered, Impossible, OutOfTime
from rigopt.answers.series import Column, Curve, Point, Scenario
from rigopt.api.ask import ask_plan
from rigopt.api.series import ask_curve
from rigopt.catalogue.read import read_folder
from rigopt.catalogue.shipped import demo_catalogue
from rigopt.needs.types import Needs
from rigopt.optimiser.questions.plan import solve
from rigopt.optimiser.solver.watch import Watch
from rigopt.output.facts.steps import flats, none_from
from rigopt.output.page.chart import Bar, bars, stairs
from rigopt.output.page.compare_page import compare_page
from rigopt.output.page.curve_page import curve_page
from rigopt.output.page.page import plan_page
from rigopt.output.page.scale import MOST_MARKS, scale
from rigopt.output.words.compare_notes import column_names
from tests.choice_commands.shop import shop
from tests.page.browser import Browser, find, running
from tests.page.test_browser import CUT_OFF, OUTSIDE
from tests.page.test_page import Reader

PROGRAM = find()
SHOP = shop()
NEEDS = Needs()


def curve(every: bool = True, last: int = 40) -> Curve:
    return ask_curve(SHOP, NEEDS, [8, 24, last], every=every)


def plan(mic: int) -> Answered:
    found = solve(SHOP, Needs(mic=mic))
    assert isinstance(found, Answered)
    return found


# --- scales ----------------------------------------------------------------------------


@given(st.lists(st.integers(-(10**9), 10**12), min_size=1))
def test_a_scale_holds_all_amounts_and_nought(amounts: list[int]) -> None:
    marks = scale(amounts).marks
    assert 2 <= len(marks) <= MOST_MARKS + 1
    assert marks[0] <= min(0, *amounts)
    assert marks[-1] >= max(0, *amounts)
    assert 0 in marks
    assert len({after - before for before, after in pairwise(marks)}) == 1
    assert re.fullmatch("[125]0*", str(marks[1] - marks[0]))


def test_a_scale_is_written_without_needless_decimals() -> None:
    assert scale([120000]).texts("GBP") == ["0", "200", "400", "600", "800", "1000", "1200"]
    assert scale([120]).texts("GBP")[1] == "0.20"
    assert scale([-50, 120]).texts("JPY")[:2] == ["-50", "0"]


# --- steps -----------------------------------------------------------------------------


def test_every_count_has_its_price() -> None:
    found = curve()
    drawn = {
        mic: flat.total for flat in flats(found) for mic in range(flat.first, flat.last + 1)
    }
    assert sorted(drawn) == list(range(8, none_from(found) or 0))
    for mic in (9, 17, 25):
        assert drawn[mic] == plan(mic).rig.total
    assert [flat.moved for flat in flats(found)].count(True) >= 1


def test_what_was_asked_for_is_answered_as_without_the_picture() -> None:
    one, other = curve(every=False), curve()
    assert other.between
    assert replace(other, between=()) == one


def test_a_count_that_is_not_known_is_a_gap() -> None:
    late = Point(16, OutOfTime(1.0))
    found = Curve((8, 16, 24), (Point(8, plan(8)), late, Point(24, plan(24))))
    assert [(flat.first, flat.last) for flat in flats(found)] == [(8, 8), (24, 24)]
    told = stairs(flats(found), found.counts, None, "GBP")
    assert told.count('class="step"') == 3  # two flats and the legend, no rise between
    assert "no rig" not in told


def test_neighbours_with_other_units_at_the_same_price_are_told_apart() -> None:
    one, other = plan(8), plan(24)
    other = replace(other, rig=replace(other.rig, total=one.rig.total))
    found = flats(Curve((8, 9), (Point(8, one), Point(9, other))))
    assert [flat.first for flat in found] == [8, 9]
    assert found[1].moved


def test_where_there_is_no_rig_it_is_said_from_which_count_on() -> None:
    ends = (Point(8, plan(8)), Point(24, Impossible()))
    found = Curve((8, 24), ends, (Point(20, Impossible()),))
    assert none_from(found) == 20
    told = stairs(flats(found), found.counts, none_from(found), "GBP")
    assert "no rig: 20 and more" in told
    assert 'class="none" x="70.59%"' in told  # 12 of 17 counts


def test_a_stop_leaves_the_rest_out(monkeypatch: pytest.MonkeyPatch) -> None:
    question = Watch.question

    def stop(self: Watch, about: str, currency: str) -> None:
        question(self, about, currency)
        self.stopped = "picture" in about

    monkeypatch.setattr(Watch, "question", stop)
    watch = Watch()
    found = ask_curve(SHOP, NEEDS, [8, 24], None, watch, every=True)
    assert len(found.points) == 2
    assert len(found.between) <= 1


def test_the_picture_is_told_in_words_too() -> None:
    read = Reader(curve_page(curve(), SHOP, NEEDS))
    assert read.faults == []
    (label,) = [attrs["aria-label"] for _, attrs in read.elements if attrs.get("role") == "img"]
    assert label is not None
    assert label.startswith("Price of the cheapest rig by number of microphones. 8: ")
    assert "a count in the table" in read.of("li")
    assert "another host from here on" in read.of("li")


# --- bars ------------------------------------------------------------------------------


def test_bars_are_as_long_as_they_are_dear() -> None:
    told = bars([Bar("a", 50, "50"), Bar("b", 200, "200"), Bar("c", None, "impossible")], "T")
    assert re.findall(r'rect x="([\d.]+)%" y="1" width="([\d.]+)%"', told) == [
        ("0", "25"),
        ("0", "100"),
    ]
    assert "impossible" in told


def test_a_bar_below_nought_goes_to_the_left() -> None:
    told = bars([Bar("a", -50, "-50"), Bar("b", 150, "150")], "T")
    assert re.findall(r'rect x="([\d.]+)%" y="1" width="([\d.]+)%"', told) == [
        ("0", "25"),
        ("25", "75"),
    ]
    assert bars([Bar("a", 0, "0")], "T").count('width="0%"') == 1


def columns(*asked: Needs, titles: tuple[str, ...] = ("", "")) -> list[Column]:
    return [
        Column(Scenario(title, SHOP, needs), plan(8))
        for needs, title in zip(asked, titles, strict=False)
    ]


@pytest.mark.parametrize(
    ("asked", "titles", "names"),
    [
        ((Needs(), Needs(rate_hz=96000)), ("", ""), ["1: 48 kHz", "2: 96 kHz"]),
        (
            (Needs(rate_hz=96000), Needs(master="host")),
            ("", ""),
            ["1: 96 kHz, any master", "2: 48 kHz, host as master"],
        ),
        ((Needs(mic=8), Needs(mic=9)), ("", ""), ["1: 8 microphones", "2: 9 microphones"]),
        ((Needs(mic=8), Needs(mic=9)), ("Choir", "Band"), ["1: Choir", "2: Band"]),
        ((Needs(), Needs()), ("", ""), ["1", "2"]),
    ],
)
def test_each_column_has_a_name_of_its_own(
    asked: tuple[Needs, ...], titles: tuple[str, ...], names: list[str]
) -> None:
    found = columns(*asked, titles=titles)
    assert column_names(found) == names
    page = Reader(compare_page(found, {}))
    assert page.of("span")[::2] == names
    assert page.of("th")[:3] == ["Column", *names]
    assert page.of("span")[1] == "300.00 GBP"
    assert "desk-8: 8 preamps, one light-pipe pair" in page.of("th")


# --- in a browser ----------------------------------------------------------------------


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    assert PROGRAM is not None
    with running(PROGRAM) as started:
        yield started


LETTERS = """
[...document.querySelectorAll('.chart text')].map(t => t.getBoundingClientRect())
  .map(r => [r.left, r.top, r.right, r.bottom])
"""


@pytest.mark.full
@pytest.mark.skipif(PROGRAM is None, reason="no Chromium on this machine")
@pytest.mark.parametrize("width", [360, 1400])
def test_nothing_is_cut_or_on_another(browser: Browser, tmp_path: Path, width: int) -> None:
    pages = {
        "curve": curve_page(curve(), SHOP, NEEDS),
        "compare": compare_page(
            columns(*[Needs(rate_hz=96000), Needs(master="host")] * 2, titles=("",) * 4), {}
        ),
    }
    for name, text in pages.items():
        page = tmp_path / f"{name}.html"
        page.write_text(text, "utf-8")
        browser.open(page, width, dark=width == 360)
        assert browser.evaluate(CUT_OFF) == []
        assert browser.evaluate(OUTSIDE) == []
        pan = "document.querySelector('.pan')"
        assert browser.evaluate(f"{pan}.scrollWidth <= {pan}.clientWidth")
        letters = browser.evaluate(LETTERS)
        assert all(box[0] >= 0 and box[2] <= width for box in letters)
        for i, one in enumerate(letters):
            assert not [
                other
                for other in letters[:i]
                if one[0] < other[2] - 1
                and other[0] < one[2] - 1
                and one[1] < other[3] - 3
                and other[1] < one[3] - 3
            ]
        assert browser.complaints() == []


BARS = """
[...document.querySelectorAll('.bars li')].map(e => [...e.children]
  .map(c => c.getBoundingClientRect()).map(r => [r.left, r.top, r.right, r.bottom]))
"""
"""Of each: what it is of, the bar, what it is worth."""


@pytest.mark.full
@pytest.mark.skipif(PROGRAM is None, reason="no Chromium on this machine")
@pytest.mark.parametrize(("width", "media"), [(360, ""), (1400, ""), (700, "print")])
def test_what_is_asked_beside_a_plan_fits(
    browser: Browser, tmp_path: Path, width: int, media: str
) -> None:
    page = tmp_path / "plan.html"
    demo, needs = read_folder(demo_catalogue(), invented=True), Needs(mic=24)
    choice = ask_plan(demo, needs, alternatives=3, why=True, more=Decimal(30))
    assert isinstance(choice.outcome, Answered)
    assert choice.more is not None
    page.write_text(plan_page(choice.outcome, demo, needs, choice=choice), "utf-8")
    browser.open(page, width, media=media)
    assert browser.evaluate(OUTSIDE) == []
    assert browser.evaluate("document.querySelectorAll('.grid').length") == 5
    found = browser.evaluate(BARS)
    assert len(found) == len(choice.more.found) > 0
    for of, bar, worth in found:
        assert of[2] <= worth[0]
        if width < 640:
            assert max(of[3], worth[3]) <= bar[1]
        else:
            assert of[2] <= bar[0] < bar[2] <= worth[0]
    fill = "getComputedStyle(document.querySelector('.bars rect')).fill"
    assert browser.evaluate(fill) != "rgb(0, 0, 0)"
    assert browser.complaints() == []


@pytest.mark.full
@pytest.mark.skipif(PROGRAM is None, reason="no Chromium on this machine")
def test_a_sum_comes_once_on_paper_after_all_that_it_sums_up(
    browser: Browser, tmp_path: Path
) -> None:
    """Rows of a foot may be printed on each sheet that a table goes over (CSS 2.2, 17.2)."""
    page = tmp_path / "plan.html"
    page.write_text(plan_page(plan(24), SHOP, Needs(mic=24)), "utf-8")
    browser.open(page, 700, media="print")
    kind = "getComputedStyle(document.querySelector('.bill tfoot')).display"
    assert browser.evaluate(kind) == "table-row-group"
