"""Pages of a rig that is there: its faults and repair, its rates; and of one that grows."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from rigopt.answers.rates import by_rate
from rigopt.answers.verdict import examine
from rigopt.api.repair import ask_repair
from rigopt.catalogue.types import Catalogue
from rigopt.cli.main import run
from rigopt.needs.types import Needs
from rigopt.output.facts.changes import changes
from rigopt.output.page.audit_page import audit_page
from rigopt.output.page.grow_page import grow_page
from rigopt.output.page.marking import (
    fault_marks,
    growth_marks,
    rate_marks,
    removal_marks,
    repair_marks,
)
from rigopt.output.page.picture.marks import Mark
from rigopt.output.page.rates_page import rates_page
from rigopt.rig.links import derive_links
from rigopt.rig.types import ClockSetting, Unit
from rigopt.rig.wired import WiredRig
from tests.growth.world import DESK, PRE, grown, shop, stage
from tests.page import rigs
from tests.page.browser import Browser, find, running
from tests.page.test_browser import CUT_OFF, OUTSIDE
from tests.page.test_page import Reader
from tests.wires import wire

PROGRAM = find()
TWO = replace(DESK, optical_in=2, optical_out=2, optical_2x=2)
LATE = replace(PRE, id="z-pre")
SHOP = rigs.catalogue(rigs.HUB, rigs.PRE, rigs.CLOCK)


def broken() -> WiredRig:
    """The host is locked to nothing; the cable of an expander ends in a socket of its host
    that another has; a 48 V bank is on."""
    units = [
        Unit("host-1", rigs.HUB, "host", ClockSetting("word", 1, None)),
        rigs.locked("expander-1", rigs.PRE, "expander", "optical", "host-1"),
        rigs.locked("Box B", rigs.PRE, "expander", "optical", "host-1", phantom_banks_on=(1,)),
    ]
    wires = [
        wire("optical", "expander-1", 1, "host-1", 1, rigs.OPT),
        wire("optical", "Box B", 1, "host-1", 1, rigs.OPT),
        wire("optical", "host-1", 1, "expander-1", 1, rigs.OPT),
        wire("optical", "host-1", 2, "Box B", 1, rigs.LONG),
    ]
    return WiredRig(48000, tuple(units), derive_links(units, wires, 48000), (), "Our rack")


def test_each_fault_is_marked_where_it_is() -> None:
    verdict = examine(broken(), None)
    marks = fault_marks(verdict.as_rig(), verdict.findings)
    told = [mark.text for found in marks.units.values() for mark in found]
    told += [mark.text for found in marks.cables.values() for mark in found]
    numbers = {int(number) for text in told for number in re.findall(r"no\. (\d+)", text)}
    # That there is no clock master at all is a fault of no unit.
    nowhere = {n for n, found in enumerate(verdict.findings, 1) if found.rule == "clock-master"}
    assert numbers == set(range(1, len(verdict.findings) + 1)) - nowhere
    assert any("locked to word input 1" in mark.text for mark in marks.units["host-1"])


def test_a_fault_of_a_cable_is_on_that_cable() -> None:
    rig = broken()
    short = replace(rigs.LONG, length_mm=9000)
    links = tuple(replace(x, cable=short) if x.cable == rigs.LONG else x for x in rig.links)
    verdict = examine(replace(rig, links=links), Needs(mic=1, host_to_rack_mm=9500))
    long_ones = [
        n for n, found in enumerate(verdict.findings, 1) if "link" in dict(found.facts)
    ]
    marks = fault_marks(verdict.as_rig(), verdict.findings)
    assert long_ones
    told = {mark.text for of_one in marks.cables.values() for mark in of_one}
    assert told == {f"no. {number}" for number in long_ones}


def test_a_name_within_a_name_is_not_meant() -> None:
    rig = rigs.sixteen_units().rig
    units = [
        replace(u, clock=ClockSetting("optical", 2, "host-1")) if u.name == "expander-1" else u
        for u in rig.units
    ]
    verdict = examine(WiredRig(48000, tuple(units), rig.links), None)
    assert verdict.findings
    assert "expander-1" in (marked := fault_marks(verdict.as_rig(), verdict.findings).units)
    assert not {"expander-10", "expander-11", "expander-12"} & marked.keys()


def test_a_repair_is_marked_on_what_is_left() -> None:
    rig = broken()
    repair = ask_repair(rig, SHOP, None)
    assert not hasattr(repair, "causes")
    marks = repair_marks(rig, repair)
    told = [mark for found in [*marks.units.values(), *marks.cables.values()] for mark in found]
    assert {mark.kind for mark in told} <= {"new", "changed"}
    assert any(mark.kind == "changed" and "set the clock of" in mark.text for mark in told)
    assert marks.cables


def test_what_a_repair_takes_from_its_place_is_marked_before_it() -> None:
    rig = broken()
    repair = ask_repair(rig, SHOP, None)
    gone = removal_marks(rig, repair)  # type: ignore[arg-type]
    left = {(link.start, link.end) for link in repair.rig.links}  # type: ignore[union-attr]
    moved = {n for n, link in enumerate(rig.links, 1) if (link.start, link.end) not in left}
    assert set(gone) == moved
    assert moved
    assert "Removed" in page()


def page(fix: bool = True, needs: Needs | None = None) -> str:
    verdict = examine(broken(), needs)
    repair = ask_repair(broken(), SHOP, needs) if fix else None
    return audit_page(verdict, SHOP, needs, repair)


def test_the_page_of_a_broken_rig() -> None:
    read = Reader(page())
    assert read.faults == []
    assert re.fullmatch(r"The rig does not work: \d faults", read.of("h1")[0])
    titles = read.of("h2")
    assert titles[:2] == ["Faults", "Before the repair"]
    assert re.match(r"Repair: ", titles[2])
    assert titles[3] == "After the repair"
    assert "Our rack" in read.of("dd")
    assert "None" not in read.of("td")
    before = Reader(page(fix=False))
    assert before.of("h2") == ["Faults", "As it is"]


def test_the_page_of_a_rig_that_works() -> None:
    rig = rigs.listed()[0].rig
    verdict = examine(WiredRig(48000, rig.units, rig.links), None)
    read = Reader(audit_page(verdict, SHOP, None))
    assert read.of("h1") == ["The rig works"]
    assert read.of("h2") == ["Wiring", "Inputs at the computer", "Clock and 48 V settings"]


def test_the_page_says_why_there_is_no_repair() -> None:
    deaf = replace(rigs.PRE, optical_in=0, word_in=0, optical_out=0, clock_in=())
    units = [
        Unit("host-1", rigs.HUB, "host", ClockSetting("internal")),
        Unit("expander-1", deaf, "expander", ClockSetting("internal")),
    ]
    rig = WiredRig(48000, tuple(units), ())
    verdict = examine(rig, Needs(mic=8))
    repair = ask_repair(rig, SHOP, Needs(mic=8))
    read = Reader(audit_page(verdict, SHOP, Needs("Choir", mic=8), repair))
    assert read.of("h2")[-1] == "No repair that keeps the units was found"
    assert "Choir: not met, or not by a rig that works" in read.of("dd")


def test_the_page_of_rates() -> None:
    rig = rigs.listed()[0].rig
    rates = (48000, 88200, 96000)
    slow = replace(rigs.HUB, optical_2x=1, rates_hz=rates)
    quick = replace(rigs.PRE, rates_hz=rates)
    units = [replace(u, device=slow if u.role == "host" else quick) for u in rig.units]
    found = by_rate(WiredRig(48000, tuple(units), rig.links, (), "Our rack"))
    read = Reader(rates_page(found))
    assert read.faults == []
    assert "Rig works" in read.of("th")
    assert "At 96 kHz" in read.of("h2")
    at_96 = next(column for column in found.rates if column.rate_hz == 96000)
    marks = rate_marks(at_96).units["host-1"]
    assert Mark("fault", "Optical inputs 2–4 of host-1 die, 3 cables on them.") in marks
    assert any("Optical inputs 2–4" in text for _, text in read.texts)


def growth() -> tuple[Catalogue, object]:
    catalogue = shop(devices=(TWO, PRE))
    return catalogue, grown(catalogue, stage(8), stage(16), stage(24, phantom=4))


def test_a_stage_marks_what_is_new_and_what_is_set_otherwise() -> None:
    _, found = growth()
    first, second, third = (step.rig for step in found.together.steps)  # type: ignore[attr-defined]
    marks = growth_marks(first, second)
    assert marks.units["expander-1"] == [Mark("new")]
    assert {mark.kind for found in marks.cables.values() for mark in found} == {"new"}
    later = growth_marks(second, third)
    assert later.units["expander-2"] == [Mark("new")]
    assert "expander-1" not in later.units or later.units["expander-1"][0].kind == "changed"
    assert growth_marks(third, third) == growth_marks(first, first)
    assert not growth_marks(third, third).units


def test_a_cable_that_goes_elsewhere_is_changed_and_another_is_new() -> None:
    rig = rigs.listed()[0].rig
    one, other, *rest = rig.links
    assert one.cable == other.cable
    moved = replace(one, from_socket=2)
    assert changes(rig, replace(rig, links=(moved, other, *rest))).cables == {1: "changed"}
    fresh = replace(moved, cable=rigs.LONG)
    assert changes(rig, replace(rig, links=(fresh, other, *rest))).cables == {1: "new"}
    # That its number is another says nothing.
    assert changes(rig, replace(rig, links=(other, one, *rest))).cables == {}
    assert changes(replace(rig, links=rig.links[1:]), rig).cables == {1: "new"}


def test_what_is_set_otherwise_is_said() -> None:
    rig = rigs.listed()[0].rig
    units = tuple(
        replace(u, phantom_banks_on=(2,), clock=ClockSetting("word", 1, "host-1"))
        if u.name == "expander-2"
        else u
        for u in rig.units
    )
    (mark,) = growth_marks(rig, replace(rig, units=units)).units["expander-2"]
    assert mark.told == (
        "Changed: 48 V: bank 2 (ch 5–8); clock: locked to word in 1, from host-1"
    )


def test_the_page_of_a_growth() -> None:
    catalogue, found = growth()
    stages = (stage(8), stage(16), stage(24, phantom=4))
    read = Reader(grow_page(found, catalogue, Needs("Bit by bit", stages=stages)))  # type: ignore[arg-type]
    assert read.faults == []
    assert read.of("h1") == ["Bit by bit"]
    titles = read.of("h2")
    assert titles[0] == "The stages"
    assert len(titles) == 4
    assert read.of("h3").count("To buy then") == 3


ROOT = Path(__file__).parents[1]
GOLDEN = str(ROOT / "golden" / "catalogues" / "small")


def test_every_command_writes_its_page(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    shop_ = ["--catalog", GOLDEN]
    assert run(["plan", "--mic", "16", *shop_, "--json", "rig.json"]) == 0
    rig = json.loads(Path("rig.json").read_text("utf-8"))
    rig["units"][0]["clock"] = {"source": "internal"}
    rig["units"][1]["clock"] = {"source": "internal"}
    Path("bad.json").write_text(json.dumps(rig), "utf-8")
    capsys.readouterr()
    for line, start, ends in (
        ("audit bad.json --fix", "The rig does not work", (0, 3)),
        ("audit rig.json", "The rig works", (0,)),
        ("rates rig.json", "Inputs at the computer, by sample rate", (0,)),
        ("stretch --budget 900", "What 900.00", (0,)),
    ):
        assert run([*line.split(), *shop_, "--page", "-"]) in ends
        shown = capsys.readouterr()
        assert Reader(shown.out).of("h1")[0].startswith(start)
        assert shown.err.startswith(start)
    assert run(["stretch", "--budget", "1", *shop_, "--page", "-"]) == 3
    assert "no page is written" in capsys.readouterr().err
    assert run(["rates", "rig.json", *shop_, "--page", "rig.json"]) == 2
    assert "would overwrite an input file" in capsys.readouterr().err


@pytest.mark.full
@pytest.mark.parametrize("more", [[], ["--budget-per-stage", "600"]])
def test_grow_writes_its_page(more: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["grow", "8 mics, then 16 mics", "--catalog", GOLDEN, *more, "--page", "-"]) == 0
    read = Reader(capsys.readouterr().out)
    assert [title for title in read.of("h2") if title.startswith("Stage")] == [
        "Stage 1",
        "Stage 2",
    ]


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    assert PROGRAM is not None
    with running(PROGRAM) as started:
        yield started


@pytest.mark.full
@pytest.mark.skipif(PROGRAM is None, reason="no Chromium on this machine")
def test_nothing_is_cut_on_these_pages(browser: Browser, tmp_path: Path) -> None:
    catalogue, found = growth()
    needs = Needs("Bit by bit", stages=(stage(8), stage(16), stage(24)))
    pages = {
        "audit": page(),
        "rates": rates_page(by_rate(broken())),
        "grow": grow_page(found, catalogue, needs),  # type: ignore[arg-type]
    }
    for name, text in pages.items():
        file = tmp_path / f"{name}.html"
        file.write_text(text, "utf-8")
        for width, media in ((360, ""), (1400, ""), (702, "print")):
            browser.open(file, width, media=media)
            assert browser.evaluate(CUT_OFF) == []
            assert browser.evaluate(OUTSIDE) == []
            assert browser.complaints() == []
