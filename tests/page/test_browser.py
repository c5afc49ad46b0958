"""The page in a real browser: nothing asked for, nothing cut off, nothing overlapping."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from rigopt.needs.types import Needs
from rigopt.output.page.page import plan_page
from rigopt.output.page.picture.figure import picture
from rigopt.output.page.picture.marks import Mark, Marks
from rigopt.output.page.templates import template
from rigopt.rig.types import ClockSetting, Rig, Unit
from tests.page.browser import Browser, find, running
from tests.page.rigs import (
    CLOCK,
    HUB,
    OPT,
    PRE,
    WORD,
    catalogue,
    listed,
    locked,
    lone,
    nasty,
    rig,
    sixteen_units,
)
from tests.wires import wire

PROGRAM = find()
pytestmark = [
    pytest.mark.full,
    pytest.mark.skipif(PROGRAM is None, reason="no Chromium on this machine"),
]

WIDTHS = (360, 800, 1400)
A4, LETTER = (210 / 25.4, 297 / 25.4), (8.5, 11.0)
PRINTED_PX = {A4: (702, 1031), LETTER: (725, 965)}
"""The sheet without its margins of 12 mm, in CSS pixels (96 to the inch), rounded down."""

MARKS = Marks(
    {"host-1": [Mark("new")], "expander-2": [Mark("fault", "it is locked to no clock")]},
    {2: [Mark("fault", "the socket is not there")], 3: [Mark("changed")], 4: [Mark("new")]},
)


def hung(chained: bool) -> Rig:
    """One host, six expanders on it, and word clock from the third: a star, or a chain."""
    names = [f"expander-{i}" for i in range(1, 7)]
    device = replace(PRE, word_out=6, mic_line_inst=0)
    host = replace(HUB, optical_in=6, optical_out=6)
    units = [locked("host-1", host, "host", "optical", names[2])]
    for name in names:
        own = name == names[2]
        units.append(
            Unit(name, device, "expander", ClockSetting("internal"))
            if own
            else locked(name, device, "expander", "word", names[2])
        )
    wires = [wire("optical", name, 1, "host-1", i, OPT) for i, name in enumerate(names, 1)]
    before = names[2]
    for i, name in enumerate([n for n in names if n != names[2]], 1):
        sender, out = (before, 1) if chained else (names[2], i)
        wires.append(wire("word", sender, out, name, 1, WORD))
        before = name
    return rig(units, wires, dict.fromkeys(range(1, 30), ("mic", None)), 1)


def tangled() -> Rig:
    """Every unit has a cable to every other one."""
    names = [f"expander-{i}" for i in range(1, 10)]
    units = [locked(name, PRE, "expander", "word", names[0]) for name in names]
    wires = [
        wire("word", sender, i, receiver, i, WORD)
        for i, sender in enumerate(names, 1)
        for receiver in names
        if receiver != sender
    ]
    return rig(units, wires, {}, 1)


PAGES = {
    "listed": (listed()[0], catalogue(HUB, PRE), listed()[1]),
    "sixteen": (sixteen_units(), catalogue(HUB, PRE, CLOCK, invented=True), Needs(mic=79)),
    "nasty": nasty(),
    "lone": (lone(), catalogue(HUB), Needs()),
}
FIGURES = {
    "hung": picture(hung(False)),
    "ringed": picture(hung(True)),
    "tangled": picture(tangled()),
    "marked": picture(listed()[0].rig, MARKS),
}
"""Pictures by themselves, each in a page with nothing else."""

CUT_OFF = """
[...document.querySelectorAll('html, body, body *:not(svg):not(svg *)')]
  .filter(e => e.clientWidth > 0 && getComputedStyle(e).display != 'inline')
  .filter(e => !['auto', 'scroll'].includes(getComputedStyle(e).overflowX))
  .filter(e => e.scrollWidth > e.clientWidth
    || (e.closest('body *') && e.scrollHeight > e.clientHeight + 2))
  .map(e => e.tagName + '.' + e.className + ': ' + e.scrollWidth + ' > ' + e.clientWidth
    + ' or ' + e.scrollHeight + ' > ' + e.clientHeight)
"""
"""What is larger than the room it has; two pixels of height are for accents in a line."""

OUTSIDE = """
[...document.querySelectorAll('body *:not(.pan *)')]
  .map(e => [e, e.getBoundingClientRect()])
  .filter(([e, r]) => r.width && (r.left < 0 || r.right > document.documentElement.clientWidth))
  .map(([e, r]) => e.tagName + '.' + e.className + ' at ' + r.left + ' to ' + r.right)
"""
TEXTS = """
(() => {
  const found = [];
  const walk = document.createTreeWalker(document.querySelector('.picture'), 4);
  while (walk.nextNode()) {
    const node = walk.currentNode, text = node.textContent.trim();
    if (!text || node.parentElement.closest('svg')) continue;
    let box = node.parentElement;
    while (['inline', 'contents'].includes(getComputedStyle(box).display))
      box = box.parentElement;
    const range = document.createRange();
    range.selectNodeContents(node);
    const rects = [...range.getClientRects()].filter(r => r.width);
    const whole = box.getBoundingClientRect();
    for (const r of rects)
      found.push([text, [r.left, r.top, r.right, r.bottom],
        [whole.left, whole.top, whole.right, whole.bottom]]);
  }
  return found;
})()
"""
"""Each line of text in the picture: what it is, where it is, and where its box is."""

LINES = """
[...document.querySelectorAll('.picture .pan .line .base')]
  .filter(e => e.getClientRects().length && !e.closest('.runs'))
  .map(e => e.getBoundingClientRect()).filter(r => r.width || r.height)
  .map(r => [r.left, r.top, r.right, r.bottom])
"""
"""Each level or upright line by its ends; the one in a lane, its branches, cables, sources."""

CARDS = """
[...document.querySelectorAll('.picture .unit .side, .picture .unit .slot')]
  .filter(e => e.getClientRects().length && getComputedStyle(e).borderLeftWidth != '0px')
  .map(e => e.getBoundingClientRect()).map(r => [r.left, r.top, r.right, r.bottom])
"""
ROOM, TALL = 0.75, 3
"""Pixels that a line of text may be off its box: for rounding, and for glyphs of fonts that
are taller than their line."""

UNITS = "document.querySelectorAll('.picture .stack.unit, .picture .top').length"


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
    style = template("plan.css").render()
    for name, figure in FIGURES.items():
        whole = f"<!doctype html><html><style>{style}</style><main>{figure}</main></html>"
        (folder / f"{name}.html").write_text(whole, "utf-8")
    return {name: folder / f"{name}.html" for name in (*PAGES, *FIGURES)}


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("name", PAGES)
def test_on_a_screen(browser: Browser, pages: dict[str, Path], name: str, width: int) -> None:
    browser.open(pages[name], width)
    assert browser.evaluate("document.documentElement.clientWidth") == width
    assert browser.evaluate(CUT_OFF) == []
    assert browser.evaluate(OUTSIDE) == []
    _check_picture(browser)
    assert browser.complaints() == []
    asked = [url for url in browser.requests() if not url.startswith("data:")]
    assert asked == [pages[name].as_uri()]


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("name", PAGES)
def test_the_picture_can_be_read(
    browser: Browser, pages: dict[str, Path], name: str, width: int
) -> None:
    """A line of text is 11 pixels and more, and the picture fills the width that it has."""
    browser.open(pages[name], width)
    size = "[...document.querySelectorAll('.picture *')].map(e => getComputedStyle(e).fontSize)"
    assert min(float(s.removesuffix("px")) for s in browser.evaluate(size)) >= 11
    least = "Math.min(...[...document.querySelectorAll('.section')].map(e => e.offsetWidth))"
    room = "document.querySelector('main').clientWidth"
    assert browser.evaluate(least) >= browser.evaluate(room) - 6


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("name", ["listed", "ringed", "hung"])
def test_nothing_crosses_in_a_rig_of_one_host(
    browser: Browser, pages: dict[str, Path], name: str, width: int
) -> None:
    browser.open(pages[name], width)
    lines = browser.evaluate(LINES)
    assert len(lines) >= 14
    for i, (left, top, right, bottom) in enumerate(lines):
        for other in lines[:i]:
            across = left + 1 < other[2] and other[0] + 1 < right
            upright = top + 1 < other[3] and other[1] + 1 < bottom
            level = right - left > 1 and other[2] - other[0] > 1
            if level:  # Two level lines that lie on one another.
                assert not (across and abs(top - other[1]) < 1)
            else:
                inside = left + 1 < other[0] < right - 1 or other[0] + 1 < left < other[2] - 1
                assert not (inside and upright), (lines[i], other)
        for card in browser.evaluate(CARDS) if i == 0 else ():
            for line in lines:
                assert not _overlap(line, [card[0] + 2, card[1] + 2, card[2] - 2, card[3] - 2])


def test_what_is_drawn_is_what_stands_there(browser: Browser, pages: dict[str, Path]) -> None:
    for name, expected in (("listed", 5), ("sixteen", 16), ("lone", 1)):
        browser.open(pages[name], 800)
        assert browser.evaluate(UNITS) == expected


def test_one_box_is_a_strip(browser: Browser, pages: dict[str, Path]) -> None:
    browser.open(pages["lone"], 1400)
    height = "document.querySelector('.picture .pan').offsetHeight"
    assert browser.evaluate(height) < 160


def test_what_is_wider_than_the_screen_scrolls_and_can_be_reached_by_keyboard(
    browser: Browser, pages: dict[str, Path]
) -> None:
    browser.open(pages["tangled"], 360)
    pan = "document.querySelector('.picture .pan')"
    assert browser.evaluate(f"{pan}.scrollWidth > {pan}.clientWidth")
    assert browser.evaluate(f"{pan}.focus(); document.activeElement === {pan}")
    assert browser.evaluate(OUTSIDE) == []


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
  const parts = c => c.match(/[\\d.]+/g).map(Number);
  const light = c => { const v = c.slice(0, 3).map(x => x / 255)
    .map(x => x <= 0.04045 ? x / 12.92 : ((x + 0.055) / 1.055) ** 2.4);
    return 0.2126 * v[0] + 0.7152 * v[1] + 0.0722 * v[2] };
  const behind = e => { for (; e; e = e.parentElement) {
    const c = parts(getComputedStyle(e).backgroundColor);
    if (c.length < 4 || c[3] > 0) return c; } };
  const low = (e, colour, what) => {
    const [x, y] = [light(parts(colour)), light(behind(e))].sort((p, q) => q - p);
    const ratio = (x + 0.05) / (y + 0.05), name = what + ' ' + e.getAttribute('class');
    return ratio < 4.5 ? [name + ': ' + ratio.toFixed(2)] : [] };
  const all = [...document.querySelectorAll('body *')].filter(e => e.getClientRects().length);
  return all.flatMap(e => {
    const style = getComputedStyle(e);
    if (e.closest('svg')) {
      if (e.matches('.core')) return [];
      const on = e.closest('svg').parentElement;
      return [style.stroke, style.fill].filter(c => c.startsWith('rgb'))
        .filter(c => e.matches('line, path')).filter(c => c != 'rgb(0, 0, 0)')
        .flatMap(c => low(on, c, e.tagName + ' in ' + e.closest('svg').getAttribute('class')));
    }
    const text = [...e.childNodes].some(n => n.nodeType == 3 && n.textContent.trim());
    return text ? low(e, style.color, e.tagName) : [];
  });
})()
"""


@pytest.mark.parametrize("dark", [False, True])
@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("name", ["sixteen", "marked"])
def test_contrast(
    browser: Browser, pages: dict[str, Path], name: str, width: int, dark: bool
) -> None:
    """At least 4.5 to 1 for all text and all lines (WCAG 2.2, 1.4.3 and 1.4.11; memory)."""
    browser.open(pages[name], width, dark=dark)
    assert browser.evaluate(CONTRAST) == []


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
    _check_picture(browser)
    whole = browser.evaluate(
        "[...document.querySelectorAll('.stack, .after, table:not(.links, .settings, .bill),"
        " tr, .steps ul li, p')]"
        ".map(e => [e.offsetHeight ?? 0, getComputedStyle(e).breakInside,"
        " !!e.closest('.two, figcaption')])"
    )
    for tall, inside, in_whole_parent in whole:
        assert tall <= height
        assert inside == "avoid" or in_whole_parent


@pytest.mark.parametrize("paper", PRINTED_PX)
@pytest.mark.parametrize(("name", "most"), [("listed", 4), ("sixteen", 9), ("lone", 3)])
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


def _check_picture(browser: Browser) -> None:
    """Every line of text within its box, and none on another."""
    texts = browser.evaluate(TEXTS)
    assert texts
    for text, (left, top, right, bottom), box in texts:
        assert box[0] - ROOM <= left, text
        assert right <= box[2] + ROOM, text
        assert box[1] - TALL <= top, text
        assert bottom <= box[3] + TALL, text
    for i, (text, rect, _) in enumerate(texts):
        inner = [rect[0] + ROOM, rect[1] + TALL, rect[2] - ROOM, rect[3] - TALL]
        for other, taken, _ in texts[:i]:
            assert not _overlap(inner, taken), (text, other)


def _overlap(one: list[Any], other: list[Any]) -> bool:
    return bool(
        one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]
    )
