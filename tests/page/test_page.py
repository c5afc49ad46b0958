"""The page as text: its order, what it says, and that no name from a file does harm."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from dataclasses import replace
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rigopt.answers.outcome import Answered
from rigopt.cli.main import run
from rigopt.needs.types import Needs
from rigopt.output.page.page import plan_page
from rigopt.output.page.rows import HEARD_LATE
from rigopt.output.page.templates import tame
from rigopt.output.sheets.steps import steps
from rigopt.output.words.phrases import INVENTED
from rigopt.rig.types import Order
from tests.page.rigs import (
    CLOCK,
    HUB,
    NASTY,
    OPT,
    PRE,
    catalogue,
    listed,
    lone,
    nasty,
    sixteen_units,
)

VOID = {"meta", "link", "br", "path", "line"}
"""Elements that the page writes without an end tag, or closes at once."""


class Reader(HTMLParser):
    """Elements, attributes and texts; `faults` says what is not well formed."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.texts: list[tuple[str, str]] = []
        self.faults: list[str] = []
        self.feed(page)
        self.close()
        self.faults += [f"{name} is not closed" for name in self.open]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        if len(attrs) != len(dict(attrs)):
            self.faults.append(f"{tag} has an attribute twice")
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open.pop() != tag:
            self.faults.append(f"</{tag}> closes nothing")

    def handle_data(self, data: str) -> None:
        if self.open and data.strip():
            self.texts.append((self.open[-1], data.strip()))

    def of(self, *tags: str) -> list[str]:
        return [text for tag, text in self.texts if tag in tags]


def page(answer: Answered | None = None, **changes: object) -> str:
    needs = replace(listed()[1], **changes)  # type: ignore[arg-type]
    return plan_page(answer or listed()[0], catalogue(HUB, PRE, CLOCK), needs)


PAGES = {
    "listed": page(),
    "sixteen": page(sixteen_units(), sources=(), title=" "),
    "lone": plan_page(lone(), catalogue(HUB), Needs()),
    "nasty": plan_page(*nasty()),
}


@pytest.mark.parametrize("name", PAGES)
def test_well_formed(name: str) -> None:
    read = Reader(PAGES[name])
    assert read.faults == []
    assert PAGES[name].startswith('<!doctype html>\n<html lang="en">')
    assert PAGES[name].endswith("</html>\n")
    ids = [attrs["id"] for _, attrs in read.elements if "id" in attrs]
    assert len(ids) == len(set(ids))


@pytest.mark.parametrize("name", PAGES)
def test_headings_are_in_order(name: str) -> None:
    levels = [
        int(tag[1]) for tag, _ in Reader(PAGES[name]).elements if re.fullmatch("h[1-6]", tag)
    ]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))


def test_the_parts_come_in_order() -> None:
    assert Reader(PAGES["listed"]).of("h2") == [
        "Wiring",
        "To buy",
        "Inputs at the computer",
        "Clock and 48 V settings",
        "Set-up, step by step",
        "Figures",
    ]


@pytest.mark.parametrize("name", PAGES)
def test_nothing_is_loaded_and_nothing_runs(name: str) -> None:
    read = Reader(PAGES[name])
    tags = {tag for tag, _ in read.elements}
    assert not tags & {
        "script",
        "iframe",
        "img",
        "object",
        "embed",
        "form",
        "a",
        "image",
        "use",
    }
    for tag, attrs in read.elements:
        assert not [key for key in attrs if key.startswith("on") or key in ("src", "style")]
        assert attrs.get("href", "data:,") == "data:,", tag
    style = read.of("style")[0]
    assert "url(" not in style
    assert "@import" not in style
    policy = next(a["content"] for t, a in read.elements if a.get("http-equiv"))
    assert policy == "default-src 'none'; style-src 'unsafe-inline'; img-src data:"


@pytest.mark.parametrize("name", PAGES)
def test_the_picture_is_named_and_its_lines_are_not_read_aloud(name: str) -> None:
    read = Reader(PAGES[name])
    (picture,) = [attrs for _, attrs in read.elements if attrs.get("role") == "group"]
    assert picture["aria-label"] == "The rig, from its sources to the computer"
    drawn = [attrs for tag, attrs in read.elements if tag == "svg" and "x" not in attrs]
    assert drawn
    assert all(attrs["aria-hidden"] == "true" for attrs in drawn)


def test_the_answer_stands_in_four_lines() -> None:
    read = Reader(PAGES["listed"])
    assert read.of("h1") == ["Choir in the chapel"]
    assert read.of("title")[0] == "Choir in the chapel"
    assert read.of("dt") == ["Asked", "Total", "Proof", "Prices"]
    assert read.of("dd") == [
        "48 kHz, 32 microphones (12 with 48 V)",
        "2107.00 EUR; 65.84 EUR for each of 32 microphone inputs",
        "complete; no rig of this catalogue costs less.",
        "from the catalogue 'Tiny shop'",
    ]


def test_a_blank_title_and_an_open_proof() -> None:
    read = Reader(PAGES["sixteen"])
    assert read.of("h1") == ["The cheapest rig"]
    assert "none yet; this is the best found in the time." in read.of("dd")[2]


def test_invented_prices_are_called_so() -> None:
    answer, needs = listed()
    said = plan_page(answer, catalogue(HUB, PRE, invented=True), needs)
    assert INVENTED in Reader(said).of("p")
    assert "invented" not in PAGES["listed"]


def test_the_cables_are_listed_as_numbered_in_the_picture() -> None:
    read = Reader(PAGES["listed"])
    cells = read.of("td")
    assert cells[:5] == [
        "light-pipe",
        "expander-1 out 1",
        "host-1 in 1",
        "8 ch + clock",
        "opt-1m",
    ]
    said = "Cable 5: light-pipe, from host-1 out 2 to expander-2 in 1, "
    said += "carries 8 channels of audio and clock"
    assert said in [attrs.get("title") for _, attrs in read.elements]
    assert {"8 ch + clock", "host-1", "5"} <= set(read.of("b"))
    assert "clock master" in read.of("span")
    assert "clock only" in Reader(PAGES["sixteen"]).of("b")


def test_the_bill() -> None:
    cells = Reader(PAGES["listed"]).of("td")
    first = cells.index("349.00")
    assert cells[first - 2 : first + 2] == [
        "1",
        "hub-4: USB interface without preamps, four light-pipe pairs",
        "349.00",
        "349.00",
    ]
    assert "2107.00" in cells
    assert "Delivery and tax" not in PAGES["listed"]
    assert "pack of 2" in Reader(PAGES["sixteen"]).of("small")
    assert "Left over from packs: 1 of Word clock cable, 2 m (word-2m)." in PAGES["sixteen"]


def test_sellers_and_fees() -> None:
    read = Reader(PAGES["nasty"])
    assert "From" in read.of("th")
    cells = read.of("td")
    assert cells[cells.index(f"{NASTY[2]}: delivery and tax") + 1] == "5.00"
    assert NASTY[2] in cells


def test_an_order_in_another_currency_is_counted_in_ours() -> None:
    answer, needs = listed()
    foreign = Order("Far shop", "JPY", 4200, 800, 0, 3100)
    near = Order("Near shop", "EUR", 206500, 0, 0, 206500)
    *devices, cable = answer.rig.purchases
    bought = [replace(line, seller="Near shop") for line in devices]
    bought.append(replace(cable, seller="Far shop", unit_price=600))
    rig = replace(answer.rig, purchases=tuple(bought), total=209600, orders=(foreign, near))
    cells = Reader(plan_page(replace(answer, rig=rig), catalogue(HUB, PRE), needs)).of("td")
    assert "600 JPY" in cells
    assert "4200 JPY" in cells
    assert cells[cells.index("Far shop: 5000 JPY with delivery and tax") + 1] == "31.00"
    assert "Near shop: delivery and tax" not in cells
    assert "2096.00" in cells


def test_a_rig_that_is_there_already() -> None:
    read = Reader(PAGES["lone"])
    paragraphs = read.of("p")
    assert "No digital cable is needed." in paragraphs
    assert "Nothing: everything in this rig is owned." in paragraphs
    assert "None: this rig brings no input to the computer." in paragraphs


def test_inputs_and_settings() -> None:
    read = Reader(PAGES["listed"])
    assert "mic: Voice 32, row 1" in read.of("td")
    assert "internal (clock master)" in read.of("td")
    assert "banks 1–2 (ch 1–8)" in read.of("td")
    assert "No input is left over." in read.of("p")
    assert "side by side" not in PAGES["listed"]
    rig = replace(listed()[0].rig, split_pairs=("Overheads",))
    split = "No two free channels in a row would do for Overheads: not side by side."
    assert split in Reader(page(replace(listed()[0], rig=rig))).of("p")
    assert "3–6" in Reader(PAGES["sixteen"]).of("th")


def test_steps_and_cautions() -> None:
    answer, _ = listed()
    read = Reader(PAGES["listed"])
    wanted = steps(answer.rig)
    assert read.of("h3")[1:] == [step.title for step in wanted]
    shown = read.of("li")
    for step in wanted:
        assert set(step.lines) <= set(shown)
        assert set(step.cautions) <= set(read.of("p"))
    cautioned = sum(len(step.cautions) for step in wanted)
    assert read.of("strong") == ["Caution."] * cautioned


def test_figures() -> None:
    read = Reader(PAGES["listed"])
    cells = dict(zip(read.of("th")[-12:], read.of("td")[-12:], strict=True))
    assert cells == {
        "Inputs": "32 reach the computer: 32 in use, 0 spare",
        "Price of a microphone input": "65.84 EUR",
        "Line outputs fed": "26",
        "Headphone outputs": "1",
        "Boxes and cables": "5 units, 7 digital cables",
        "Clock": "2 cables from the master to the farthest unit",
        "Rack": "5 U, 222.25 mm",
        "Power": "152 W, 5 mains plugs",
        "48 V": "24 channels switched on: at most 240 mA, 11.52 W",
        "Recording, 24 bit": "16.6 GB an hour for the inputs in use, 16.6 GB for all",
        "One buffer": "32 samples 0.67 ms, 64 samples 1.33 ms, 128 samples 2.67 ms, "
        "256 samples 5.33 ms",
        "Heard late": HEARD_LATE,
    }
    bare = plan_page(lone(replace(HUB, rack_units=0)), catalogue(HUB), Needs())
    assert not {"Rack", "48 V", "Price of a microphone input"} & set(Reader(bare).of("th")[4:])


def test_names_that_harm_arrive_as_text() -> None:
    read = Reader(PAGES["nasty"])
    text = "\n".join(text for _, text in read.texts)
    for name in (NASTY[0], NASTY[1], NASTY[2], "{{ 7 * 7 }}{% raw %}", "W" * 200):
        assert name in text
    assert "\x1b" not in PAGES["nasty"]
    assert "\u202e" not in PAGES["nasty"]
    assert "␛[31mred" in text


def test_a_pile_of_accents_is_cut_down() -> None:
    assert tame("x" + "\u0334" * 50) == "x\u0334\u0334"
    assert tame("e\u0301 \x1b") == "é ␛"


def test_several_hosts_are_on_one_computer() -> None:
    computers = [text for text in Reader(PAGES["sixteen"]).of("b") if "computer" in text]
    assert computers == ["computer", "same computer", "same computer"]


TEXTS = st.text(max_size=60) | st.lists(st.sampled_from(NASTY), max_size=3).map("".join)


@settings(deadline=None, max_examples=15)
@given(st.lists(TEXTS, min_size=8, max_size=8))
def test_no_text_from_a_file_changes_the_elements(texts: list[str]) -> None:
    """Whatever the names are, the page has the same elements with the same attributes."""
    answer, stock, needs = nasty()

    def told(names: list[str]) -> list[tuple[str, list[str]]]:
        label, seller, note, source, unit, cable, title, other = names
        rig = answer.rig
        host, expander, *rest = rig.units
        host = replace(host, device=replace(host.device, label=label))
        expander = replace(expander, device=replace(PRE, label=other))
        bought = [
            replace(p, label=unit, seller=f"x{seller}", note=f"x{note}") for p in rig.purchases
        ]
        inputs = [replace(i, source=source) if i.source else i for i in rig.inputs]
        links = [replace(link, cable=replace(OPT, label=cable)) for link in rig.links]
        changed = replace(
            rig,
            units=(host, expander, *rest),
            purchases=tuple(bought),
            inputs=tuple(inputs),
            links=tuple(links),
        )
        shown = plan_page(replace(answer, rig=changed), stock, replace(needs, title=title))
        read = Reader(shown)
        assert read.faults == []
        return [(tag, sorted(attrs)) for tag, attrs in read.elements]

    assert told([text or "x" for text in texts]) == told(["x"] * 8)


ASK = ("plan", "--mic", "16", "--rate", "48")


def test_the_option_writes_the_page(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    target = tmp_path / "rig.html"
    assert run([*ASK, "--page", str(target)]) == 0
    assert "The cheapest rig\n====" in capsys.readouterr().out
    assert run([*ASK, "--page", "-"]) == 0
    shown = capsys.readouterr()
    assert shown.out == target.read_text("utf-8")
    assert shown.err.startswith("The cheapest rig\n")
    assert INVENTED in Reader(shown.out).of("p")
    assert str(tmp_path) not in shown.out


def test_without_a_rig_there_is_no_page(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    target = tmp_path / "rig.html"
    assert run([*ASK, "--budget", "1", "--page", str(target)]) == 3
    assert not target.exists()
    assert "there is no rig, so no page is written" in capsys.readouterr().err


def test_a_page_never_overwrites_another_output(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    target = str(tmp_path / "both")
    assert run([*ASK, "--page", target, "--json", target]) == 2
    assert "would overwrite" in capsys.readouterr().err


@pytest.mark.full
def test_the_same_question_gives_the_same_bytes_in_every_process() -> None:
    pages = {
        subprocess.run(
            [sys.executable, "-m", "rigopt", *ASK, "--page", "-"],
            capture_output=True,
            check=True,
            cwd=Path(__file__).parents[2],
            env={**os.environ, "PYTHONHASHSEED": seed},
        ).stdout
        for seed in ("1", "2")
    }
    assert len(pages) == 1
