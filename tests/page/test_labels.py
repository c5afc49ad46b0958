"""Labels for cables and units: what is on each, as CSV and on sheets of 24."""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path

import pytest

from rigopt.cli.main import run
from rigopt.output.data.labels_csv import labels_csv
from rigopt.output.page.labels_page import labels_page
from rigopt.output.words.labels import labels
from rigopt.rig.types import Rig
from tests.page.browser import find, running
from tests.page.rigs import listed, nasty, sixteen_units
from tests.page.test_page import Reader
from tests.sheets.analogue import fanned

PROGRAM = find()
LISTED = listed()[0].rig
SMALL = str(Path(__file__).parents[1] / "golden" / "catalogues" / "small")


def test_both_ends_of_a_cable_have_its_number_and_name_each_other() -> None:
    one, other = labels(LISTED)[:2]
    assert one.lines == (
        "expander-1 optical out 1",
        "to host-1 optical in 1",
        "light-pipe, 8 ch + clock",
        "opt-1m: Optical cable, 1 m",
    )
    assert other.lines[:2] == ("host-1 optical in 1", "from expander-1 optical out 1")
    assert (one.kind, one.name) == (other.kind, other.name) == ("cable", "1")


def test_a_unit_has_its_settings_and_where_it_arrives() -> None:
    found = {label.name: label.lines for label in labels(LISTED) if label.kind == "unit"}
    assert list(found) == [unit.name for unit in LISTED.units]
    assert found["expander-2"] == (
        "pre-8: 8-preamp expander, two light-pipe pairs, word clock in and out",
        "clock: locked to optical in 1, from host-1",
        "48 V: banks 1–2 (ch 1–8)",
        "computer inputs 11–18",
    )
    # It has no preamp and brings no input of its own.
    assert len(found["host-1"]) == 2


def numbers(rig: Rig) -> list[str]:
    return [label.name for label in labels(rig) if label.kind == "cable"]


def test_a_piece_with_many_ways_has_two_labels() -> None:
    rig = fanned()
    found = numbers(rig)
    assert found == sorted(found, key=int)
    assert all(found.count(number) == 2 for number in found)
    assert len(found) < 2 * len(rig.links)
    line = next(label for label in labels(rig) if "direct out" in label.lines[0])
    assert "line in" in line.lines[1]
    assert any("no clock to set" in label.lines for label in labels(rig))


def test_as_csv() -> None:
    rows = list(csv.DictReader(io.StringIO(labels_csv(LISTED))))
    assert len(rows) == 2 * len(LISTED.links) + len(LISTED.units)
    assert rows[0]["line_1"] == "expander-1 optical out 1"
    assert rows[-1]["name"] == "expander-4"
    assert {row["kind"] for row in rows} == {"cable", "unit"}


def test_on_sheets_of_24() -> None:
    sheets = labels_page(sixteen_units().rig).split('<ol class="sheet">')[1:]
    counts = [sheet.count('class="label ') for sheet in sheets]
    assert counts == [24, 24, 24, 2]
    read = Reader(labels_page(nasty()[0].rig))
    assert read.faults == []
    assert not {"script", "img"} & {tag for tag, _ in read.elements}


def test_the_ending_says_in_which_form(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    ask = ["plan", "--mic", "8", "--catalog", SMALL]
    for name, start in (("a.CSV", "kind,name,"), ("a.html", "<!doctype html>")):
        assert run([*ask, "--labels", str(tmp_path / name)]) == 0
        assert (tmp_path / name).read_text("utf-8").startswith(start)
    capsys.readouterr()
    assert run([*ask, "--labels", "-"]) == 0
    assert capsys.readouterr().out == (tmp_path / "a.html").read_text("utf-8")
    assert run([*ask, "--budget", "1", "--labels", "-"]) == 3
    assert "there is no rig, so no labels are written" in capsys.readouterr().err


@pytest.mark.full
@pytest.mark.skipif(PROGRAM is None, reason="no Chromium on this machine")
def test_on_paper_nothing_is_cut_and_nothing_moves(tmp_path: Path) -> None:
    page = tmp_path / "labels.html"
    page.write_text(labels_page(sixteen_units().rig), "utf-8")
    assert PROGRAM is not None
    with running(PROGRAM) as browser:
        browser.open(page, 794, media="print")
        cut = "e.scrollHeight > e.clientHeight || e.scrollWidth > e.clientWidth"
        for what in (".sheet > li", ".lines li"):
            found = f"[...document.querySelectorAll('{what}')].filter(e => {cut}).length"
            assert browser.evaluate(found) == 0
        size = "getBoundingClientRect()"
        label = browser.evaluate(
            f"(r => [r.width, r.height])(document.querySelector('li').{size})"
        )
        assert [round(side / 96 * 25.4, 1) for side in label] == [70, 37]
        printed = browser.pdf(210 / 25.4, 297 / 25.4)
    assert len(re.findall(rb"/Type\s*/Page\b(?!s)", printed)) == 4
