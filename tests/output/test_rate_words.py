"""A rig at every rate, a row of a bill, and needs as a statement: in words, by hand."""

from __future__ import annotations

import datetime
from dataclasses import replace
from typing import Any

import pytest

from rigopt.answers.rates import AtRate, Dead
from rigopt.answers.verdict import examine
from rigopt.facts import FORMATS
from rigopt.needs.types import Needs
from rigopt.output.words import findings
from rigopt.output.words.audit import headline, needs_told, rate_told
from rigopt.output.words.audit_rules import change, rule, sentence
from rigopt.output.words.bill import condition, line_total, remarks, unit_price
from rigopt.output.words.needs import as_json
from rigopt.output.words.rates import alike, dead_told, sum_rows, unit_rows
from rigopt.rig.audit.finding import Finding, Remedy
from rigopt.rig.types import Purchase, Sale
from rigopt.rig.wired import WiredRig
from tests.output.rigs import sixteen
from tests.rig.link_worlds import BOTH

RIG = sixteen()
WIRED = WiredRig(48_000, RIG.units, RIG.links)


def column(**changes: Any) -> AtRate:
    """The rig at 48 kHz, where all is well."""
    return replace(AtRate(48_000, examine(WIRED, None), (), (), (), True), **changes)


@pytest.mark.parametrize(
    ("dead", "said"),
    [
        (
            Dead("host-1", "optical", "input", 2, 4, 3),
            "Optical inputs 2–4 of host-1 die, 3 cables on them.",
        ),
        (
            Dead("host-1", "coax", "output", 1, 1, 1),
            "Coax output 1 of host-1 dies, 1 cable on it.",
        ),
        (Dead("host-1", "trunk", "socket", 1, 2, 0), "Trunk sockets 1–2 of host-1 die."),
    ],
)
def test_sockets_that_die(dead: Dead, said: str) -> None:
    assert dead_told(dead) == said


def test_the_rows_of_a_rig_at_two_rates() -> None:
    fewer = column(missing=("expander-1",), works=False)
    assert unit_rows(WIRED, (column(), fewer)) == [
        ["host-1", "8", "8"],
        ["expander-1", "8", "–"],
    ]
    assert sum_rows((column(), fewer)) == [
        ["All", "16", "16"],
        ["Clock holds", "yes", "yes"],
        ["Rig works", "yes", "no"],
    ]


def test_what_is_said_of_neighbouring_rates() -> None:
    """Of two rates that lack the same it is said once; of one that works, nothing."""
    one, both = ("expander-1",), ("host-1", "expander-1")
    low, high = column(missing=one), column(missing=one, rate_hz=96_000)
    last = column(missing=both, dead=(Dead("host-1", "coax", "input", 1, 1, 0),))
    assert alike((column(), low, high, last)) == [
        ([low, high], ["expander-1 does not run at this rate."]),
        (
            [last],
            [
                "host-1 and expander-1 do not run at this rate.",
                "Coax input 1 of host-1 dies.",
            ],
        ),
    ]


def test_a_clock_that_does_not_hold_is_told_as_that() -> None:
    """The host is locked to a socket that has no cable; a dead socket is told above."""
    cut = replace(WIRED, links=())
    verdict = examine(cut, None)
    clock = tuple(found for found in verdict.findings if found.rule.startswith("clock-"))
    assert clock
    (found,) = alike((column(verdict=verdict, clock=clock),))
    (unheld,) = alike((column(verdict=verdict),))
    held = [line for line in found[1] if line.startswith("The clock does not hold: ")]
    assert len(held) == len(clock)
    assert not [line for line in unheld[1] if line.startswith("The clock does not hold: ")]
    assert sum_rows((column(clock=clock),))[1] == ["Clock holds", "no"]


LINE = Purchase("lead", "Lead", "cable", 2, 300)
DAY = datetime.date(2025, 1, 2)


@pytest.mark.parametrize(
    ("line", "said", "noted"),
    [
        (LINE, [], []),
        (replace(LINE, pack=2), ["pack of 2"], ["pack of 2"]),
        (replace(LINE, note="used", as_of=DAY), ["used"], ["used", "price of 2025-01-02"]),
    ],
)
def test_what_a_buyer_has_to_know(line: Purchase, said: list[str], noted: list[str]) -> None:
    assert condition(line) == said
    assert remarks(line) == noted


@pytest.mark.parametrize(
    ("line", "each", "total"),
    [
        (LINE, "3.00", "6.00"),
        (replace(LINE, least=200), "2.00–3.00", "4.00–6.00"),
        (Sale("lead", "Lead", "cable", 2, 300), "3.00", "6.00"),
    ],
)
def test_the_price_of_a_line(line: Purchase | Sale, each: str, total: str) -> None:
    assert unit_price(line, "GBP") == each
    assert line_total(line, "GBP") == total


@pytest.mark.parametrize(
    ("name", "value", "wanted"),
    [
        ("budget", 12345, "123.45"),
        ("budget", None, None),
        ("rate_hz", 48_000, 48),
        ("rate_hz", 44_100, 44.1),
        ("host_to_rack_mm", 2_500, 2.5),
        ("mic", 1000, 1000),
        ("master", "host", "host"),
        ("sellers", ("a", "b"), ["a", "b"]),
    ],
)
def test_a_need_as_its_statement_has_it(name: Any, value: Any, wanted: object) -> None:
    found = as_json(name, value, "GBP")
    assert found == wanted
    assert type(found) is type(wanted)


def test_a_fault_and_its_change_are_sentences() -> None:
    """A name that one begins with stays as it is; a verb gets a capital."""
    facts = (("link", "x -> y"), ("said", "clock"), ("count", 8), ("cure", "leave out"))
    carried = Finding("carries-audio", "", facts)
    assert sentence(carried) == "The cable x -> y is said to carry clock; 8 channels do."
    assert change(carried) == "Leave out 'audio' in what it carries."
    more = (("rate", "96 kHz"), ("device", "desk"), ("listed", "48 kHz"))
    slow = Finding("rate", "", (("unit", "host-1"), *more))
    assert sentence(slow) == "host-1 does not run at 96 kHz; desk runs at 48 kHz."
    assert change(slow) == "Run the rig at a rate that every unit lists, or replace host-1."
    assert rule(carried) == rule(Finding("carries-clock", "", facts)) != rule(slow)


def test_the_verdict_in_a_line() -> None:
    assert headline(examine(WIRED, None)) == "The rig works"
    assert headline(examine(replace(WIRED, links=()), None)).startswith(
        "The rig does not work: "
    )
    lead = replace(RIG.links[0], format=FORMATS["analogue"], piece=1)
    both = replace(WIRED, links=(*RIG.links, *RIG.links, lead))
    assert rate_told(both) == "48 kHz, 2 units, 2 digital cables, 1 analogue cable"
    works = examine(WIRED, None)
    assert needs_told(works, Needs()) == "met"
    assert needs_told(works, Needs(title=" ")) == "met"
    assert needs_told(works, Needs(title="Band")) == "Band: met"
    broken = examine(replace(WIRED, links=()), None)
    assert needs_told(broken, Needs()) == "not met, or not by a rig that works"


@pytest.mark.parametrize(
    ("row", "how", "said"),
    [
        ("light-pipe", "lock", "lock box to optical in 2, where the cable from host-1 is"),
        (
            "word",
            "plug",
            "plug the word cable that is missing from host-1 out 3 into box in 2",
        ),
        (
            "light-pipe",
            "plug and lock",
            "plug an optical cable from host-1 out 3 into box in 2, and lock box to it",
        ),
        (
            "coax",
            "plug and lock",
            "plug a coax cable from host-1 out 3 into box in 2, and lock box to it",
        ),
        (
            "both",
            "plug and lock",
            "plug a trunk both-12 cable from host-1 3 into box 2, and lock box to it",
        ),
    ],
)
def test_how_a_unit_gets_its_clock(row: str, how: Any, said: str) -> None:
    step = Remedy(how, "box", (FORMATS | {"both": BOTH})[row], 2, "host-1", 3)
    inner = Remedy("internal", "host-1")
    found = Finding("clock-link", "", (("unit", "box"), ("way", (inner, step))))
    assert findings.change(found) == f"set host-1 to its internal clock and {said}"
    assert findings.facts(found)["way"] == f"set host-1 to its internal clock and {said}"
    unknown = Finding("clock-link", "", (("unit", "box"), ("way", ())))
    assert findings.facts(unknown) == {"unit": "box", "way": findings.change(unknown)}


def test_what_cannot_be_printed_is_spelt_out() -> None:
    more = (("rate", "96 kHz"), ("device", "desk"), ("listed", "48 kHz"))
    found = Finding("rate", "", (("unit", "a\x1bb"), *more))
    assert findings.says(found) == "a\\x1bb does not run at 96 kHz; desk runs at 48 kHz"
    staged = Finding("rate", "", (("stage", "One"), ("unit", "box"), *more))
    assert findings.says(staged) == "One: box does not run at 96 kHz; desk runs at 48 kHz"
