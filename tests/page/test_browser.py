"""The page in a real browser: nothing asked for, nothing cut off, nothing overlapping."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from rigopt.needs.types import Needs
from rigopt.output.page.page import plan_page
from tests.page.browser import Browser, find, running
from tests.page.rigs import CLOCK, HUB, PRE, catalogue, listed, lone, nasty, sixteen_units

PROGRAM = find()
pytestmark = [
    pytest.mark.full,
    pytest.mark.skipif(PROGRAM is None, reason="no Chromium on this machine"),
]

WIDTHS = (360, 800, 1400)
A4, LETTER = (210 / 25.4, 297 / 25.4), (8.5, 11.0)
PRINTED_PX = {A4: (702, 1031), LETTER: (725, 965)}
"""The sheet without its margins of 12 mm, in CSS pixels (96 to the inch), rounded down."""

PAGES = {
    "listed": (listed()[0], catalogue(HUB, PRE), listed()[1]),
    "sixteen": (sixteen_units(), catalogue(HUB, PRE, CLOCK, invented=True), Needs(mic=79)),
    "nasty": nasty(),
    "lone": (lone(), catalogue(HUB), Needs()),
}

CUT_OFF = """
[...document.querySelectorAll('html, body, body *:not(svg):not(svg *)')]
  .filter(e => getComputedStyle(e).display != 'none' && e.clientWidth > 0)
  .filter(e => !['auto', 'scroll'].includes(getComputedStyle(e).overflowX))
  .filter(e => e.scrollWidth > e.clientWidth)
  .map(e => e.tagName + '.' + e.className + ': ' + e.scrollWidth + ' > ' + e.clientWidth)
"""
OUTSIDE = """
[...document.querySelectorAll('body *:not(.pan *)')]
  .map(e => [e, e.getBoundingClientRect()])
  .filter(([e, r]) => r.width && (r.left < 0 || r.right > document.documentElement.clientWidth))
  .map(([e, r]) => e.tagName + '.' + e.className + ' at ' + r.left + ' to ' + r.right)
"""
BOXES = """
[...picture.querySelectorAll('.unit')].map(g => ({
  box: rect(g.querySelector('.case')),
  texts: [...g.querySelectorAll('text')].map(t => [t.textContent, rect(t)]),
}))
"""
WORDS = """
[...picture.querySelectorAll('.tag text')].map(t => [t.textContent, rect(t)])
"""
RECT = """
var rect = e => {
  const r = e.getBoundingClientRect();
  return [r.left, r.top, r.right, r.bottom];
};
var picture = [...document.querySelectorAll('.picture')].find(p => p.getClientRects().length);
"""
ROOM = 0.75
"""Pixels that a line of lettering may be off, for rounding in the browser."""


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    assert PROGRAM is not None
    with running(PROGRAM) as started:
        yield started


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    folder = tmp_path_factory.mktemp("pages")
    for name, (answer, stock, needs) in PAGES.items():
        (folder / f"{name}.html").write_text(plan_page(answer, stock, needs), "utf-8")
    return {name: folder / f"{name}.html" for name in PAGES}


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("name", PAGES)
def test_on_a_screen(browser: Browser, pages: dict[str, Path], name: str, width: int) -> None:
    browser.open(pages[name], width)
    assert browser.evaluate("document.documentElement.clientWidth") == width
    assert browser.evaluate(CUT_OFF) == []
    assert browser.evaluate(OUTSIDE) == []
    _check_picture(browser, len(PAGES[name][0].rig.units))
    assert browser.complaints() == []
    asked = [url for url in browser.requests() if not url.startswith("data:")]
    assert asked == [pages[name].as_uri()]


@pytest.mark.parametrize(("name", "width"), [("listed", 360), ("sixteen", 800), ("lone", 360)])
def test_the_picture_is_not_too_small_to_read(
    browser: Browser, pages: dict[str, Path], name: str, width: int
) -> None:
    browser.open(pages[name], width)
    heights = (
        browser.evaluate(f"{RECT} {WORDS}") or browser.evaluate(f"{RECT} {BOXES}")[0]["texts"]
    )
    assert min(bottom - top for _, (_, top, _, bottom) in heights) >= 8


def test_exactly_one_of_the_two_pictures_shows(
    browser: Browser, pages: dict[str, Path]
) -> None:
    shown = "[...document.querySelectorAll('.picture')].map(p => p.getClientRects().length)"
    for width, media, expected in (
        (360, "", [0, 1]),
        (1400, "", [1, 0]),
        (360, "print", [1, 0]),
    ):
        browser.open(pages["listed"], width, media=media)
        assert browser.evaluate(shown) == expected


def test_what_is_wider_than_the_screen_scrolls_and_can_be_reached_by_keyboard(
    browser: Browser, pages: dict[str, Path]
) -> None:
    browser.open(pages["sixteen"], 360)
    pan = "document.querySelector('.pan.narrow')"
    assert browser.evaluate(f"{pan}.scrollWidth > {pan}.clientWidth")
    assert browser.evaluate(f"{pan}.focus(); document.activeElement === {pan}")


def test_dark_is_dark_and_paper_is_white(browser: Browser, pages: dict[str, Path]) -> None:
    paper = (
        "getComputedStyle(document.documentElement).backgroundColor.match(/\\d+/g).map(Number)"
    )
    ink = "getComputedStyle(document.body).color.match(/\\d+/g).map(Number)"
    browser.open(pages["listed"], 800, dark=True)
    assert max(browser.evaluate(paper)) < 60
    assert min(browser.evaluate(ink)) > 200
    browser.open(pages["listed"], 800)
    assert max(browser.evaluate(ink)) < 60
    assert min(browser.evaluate(paper)) > 200
    browser.open(pages["listed"], 800, dark=True, media="print")
    assert max(browser.evaluate(ink)) < 60
    assert browser.evaluate(paper)[3:] == [0]


CONTRAST = """
(() => {
  const light = c => { const v = c.match(/[\\d.]+/g).slice(0, 3).map(x => x / 255)
    .map(x => x <= 0.04045 ? x / 12.92 : ((x + 0.055) / 1.055) ** 2.4);
    return 0.2126 * v[0] + 0.7152 * v[1] + 0.0722 * v[2] };
  const ratio = (a, b) => { const [x, y] = [light(a), light(b)].sort((p, q) => q - p);
    return (x + 0.05) / (y + 0.05) };
  const css = (s, p) => getComputedStyle(document.querySelector(s))[p];
  const paper = css('html', 'backgroundColor');
  return { ink: ratio(css('body', 'color'), paper),
    head: ratio(css('thead th', 'color'), paper),
    small: ratio(css('.small', 'fill'), css('.case', 'fill')),
    badge: ratio(css('.badge', 'fill'), css('.plate', 'fill')),
    sound: ratio(css('.cable.audio .line', 'stroke'), paper),
    tick: ratio(css('.cable.clock .line', 'stroke'), paper) };
})()
"""


@pytest.mark.parametrize("dark", [False, True])
def test_contrast(browser: Browser, pages: dict[str, Path], dark: bool) -> None:
    """At least 4.5 to 1, also for lines (WCAG 2.2, 1.4.3 and 1.4.11; from memory)."""
    browser.open(pages["sixteen"], 1400, dark=dark)
    assert {k: v for k, v in browser.evaluate(CONTRAST).items() if v < 4.5} == {}


def test_nothing_of_a_nasty_name_comes_alive(browser: Browser, pages: dict[str, Path]) -> None:
    browser.open(pages["nasty"], 800)
    assert browser.evaluate("document.scripts.length") == 0
    assert browser.evaluate("document.querySelectorAll('style').length") == 1
    assert "<script>alert(1)</script>" in browser.evaluate("document.body.textContent")


@pytest.mark.parametrize("paper", PRINTED_PX)
@pytest.mark.parametrize("name", PAGES)
def test_on_paper_nothing_is_wider_or_taller_than_the_sheet(
    browser: Browser, pages: dict[str, Path], name: str, paper: tuple[float, float]
) -> None:
    width, height = PRINTED_PX[paper]
    browser.open(pages[name], width, media="print")
    assert browser.evaluate(CUT_OFF) == []
    assert browser.evaluate(OUTSIDE) == []
    _check_picture(browser, len(PAGES[name][0].rig.units))
    whole = browser.evaluate(
        "[...document.querySelectorAll('figure, table, tr, .steps ul li, p')]"
        ".map(e => [e.offsetHeight ?? 0, getComputedStyle(e).breakInside,"
        " !!e.closest('.two, figure') && e.tagName != 'FIGURE'])"
    )
    for tall, inside, in_whole_parent in whole:
        assert tall <= height
        assert inside == "avoid" or in_whole_parent


@pytest.mark.parametrize("paper", PRINTED_PX)
@pytest.mark.parametrize(("name", "most"), [("listed", 4), ("sixteen", 8), ("lone", 3)])
def test_pages_on_paper(
    browser: Browser, pages: dict[str, Path], name: str, most: int, paper: tuple[float, float]
) -> None:
    browser.open(pages[name], 800)
    printed = browser.pdf(*paper)
    boxes = re.findall(rb"/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)\s*\]", printed)
    count = len(re.findall(rb"/Type\s*/Page\b(?!s)", printed))
    assert 1 <= count <= most
    assert boxes
    for width, height in boxes:
        assert float(width) == pytest.approx(paper[0] * 72, abs=1)
        assert float(height) == pytest.approx(paper[1] * 72, abs=1)


def _check_picture(browser: Browser, units: int) -> None:
    """Boxes apart; every lettering inside its box; no word of a cable on a box."""
    boxes = browser.evaluate(f"{RECT} {BOXES}")
    assert len(boxes) == units
    cases = [entry["box"] for entry in boxes]
    for i, one in enumerate(cases):
        assert not any(_overlap(one, other) for other in cases[:i])
    for entry in boxes:
        for text, lettering in entry["texts"]:
            assert _sideways(lettering, entry["box"]), text
            assert lettering[1] >= entry["box"][1] - ROOM, text
            assert lettering[3] <= entry["box"][3] + ROOM, text
    for text, lettering in browser.evaluate(f"{RECT} {WORDS}"):
        assert not any(_overlap(lettering, case) for case in cases), text


def _overlap(one: list[Any], other: list[Any]) -> bool:
    return bool(
        one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]
    )


def _sideways(inner: list[Any], outer: list[Any]) -> bool:
    return bool(inner[0] >= outer[0] - ROOM and inner[2] <= outer[2] + ROOM)
