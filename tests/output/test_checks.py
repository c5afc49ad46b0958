"""Facts to check before anything is paid: each in words, and which of them come first."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rigopt.answers.checks import Check, Checks
from rigopt.output.words.checks import (
    ALL_ELSE,
    NONE,
    check_lines,
    checks_told,
    fact,
    musts,
)
from rigopt.output.words.phrases import NOT_ALL
from tests.output.rigs import CATALOGUE, DESK, sixteen

BASE = Check("desk-8", "mains", "1", "1", "2", None)


@pytest.mark.parametrize(
    ("column", "now", "needed", "tried", "said"),
    [
        ("mic_line", "8", "1", "0", "1 input for microphone or line"),
        ("mic_line", "8", "6", "5", "6 inputs for microphone or line"),
        ("optical_stereo", "2", "2", "1", "2 optical sockets that carry stereo"),
        ("phantom_bank", "4", "4", "0", "48 V on microphone inputs"),
        ("phantom_bank", "1", "1", "2", "a 48 V switch for each microphone input"),
        ("phantom_bank", "4;2", "4;2", "6", "48 V in banks of 4 and 2 at most"),
        ("optical_1x", "2/1", "1/1", "0/1", "light-pipe on 1 optical input at 44.1 and 48 kHz"),
        (
            "optical_1x",
            "2/1",
            "2/1",
            "1/1",
            "light-pipe on 2 optical inputs at 44.1 and 48 kHz",
        ),
        (
            "optical_2x",
            "2/2",
            "2/2",
            "2/1",
            "light-pipe on 2 optical outputs at 88.2 and 96 kHz",
        ),
        ("coax_4x", "2", "2", "1", "coax on 2 sockets at 176.4 and 192 kHz"),
        ("coax_2x", "2", "1", "0", "coax on 1 socket at 88.2 and 96 kHz"),
        ("analogue_2x", "8", "1", "0", "1 analogue input converted at 88.2 and 96 kHz"),
        ("max_in_1x", "all", "9", "8", "9 inputs that the computer sees at 44.1 and 48 kHz"),
        ("max_in_1x", "all", "1", "0", "1 input that the computer sees at 44.1 and 48 kHz"),
        ("clock_in", "word 1", "word 1", "none", "that it can lock to word 1"),
        ("rate_converter", "coax", "coax", "none", "a rate converter on coax"),
        ("internal_clock", "yes", "yes", "no", "a clock of its own"),
        ("word_end", "fixed", "fixed", "none", "a 75-ohm end that is always on"),
        ("rates_khz", "96", "96", "not that", "96 kHz"),
        ("role", "either", "either", "host", "that it works as an expander too"),
        ("role", "either", "either", "expander", "that it works as a host too"),
        ("computer", "usb", "usb", "pcie", "a usb connection to the computer"),
        ("direct_plug", "xlr", "xlr", "jack", "direct outs on xlr"),
        ("line_plug", "jack", "jack", "dsub", "line inputs on jack"),
        ("line_in", "2", "1", "3", "at most 1 line output to feed it"),
        ("line_in", "2", "2", "3", "at most 2 line outputs to feed it"),
        ("di_phantom", "no", "no", "yes", "that it works without 48 V"),
        ("rack_units", "1", "1", "2", "at most 1 U"),
        ("mains", "1", "1", "2", "at most 1 mains plug"),
        ("mains", "2", "2", "3", "at most 2 mains plugs"),
        (
            "either",
            "none",
            "none",
            "coax in 1/word in 1",
            "coax in 1 and word in 1, both at once",
        ),
    ],
)
def test_a_fact_in_words(column: str, now: str, needed: str, tried: str, said: str) -> None:
    assert fact(Check("desk-8", column, now, needed, tried, None)) == said


LESS, MORE = (("desk-8", 1),), (("rack-8", 2),)


@pytest.mark.parametrize(
    ("total", "less", "more", "said"),
    [
        (None, (), (), "there is no rig"),
        (20600, (), (), "another rig for the same money, with other cables or settings"),
        (20700, LESS, MORE, "1.00 GBP more: 2 rack-8 instead of 1 desk-8"),
        (20500, LESS, (), "1.00 GBP less: nothing instead of 1 desk-8"),
        (20700, (), MORE, "1.00 GBP more: 2 rack-8 instead of nothing"),
    ],
)
def test_what_comes_of_it(
    total: int | None,
    less: tuple[tuple[str, int], ...],
    more: tuple[tuple[str, int], ...],
    said: str,
) -> None:
    check = replace(BASE, total=total, less=less, more=more)
    (must,) = musts(Checks((check,)), 20600, "GBP")
    assert must.otherwise == said


def test_what_cannot_be_mended_comes_first_then_what_costs_most() -> None:
    """Of each type; what has the same consequence is one line, and each fact is said once."""
    found = (
        replace(BASE, total=20700),
        replace(BASE, column="rack_units", total=30000),
        replace(BASE, column="phones", needed="2"),
        replace(BASE, column="line", needed="3"),
        replace(BASE, column="line", needed="3", now="4"),
        replace(BASE, column="line_in", device="a-box", total=0),
        replace(BASE, column="line_out", device="a-box", total=1),
    )
    assert [(must.device, must.facts) for must in musts(Checks(found), 20600, "GBP")] == [
        ("a-box", ("1 line output",)),
        ("a-box", ("at most 1 line output to feed it",)),
        ("desk-8", ("2 headphone outputs", "3 line inputs")),
        ("desk-8", ("at most 1 U",)),
        ("desk-8", ("at most 1 mains plug",)),
    ]


def test_all_lines() -> None:
    checks = Checks((BASE,))
    first = f"{DESK.label} (desk-8) must have: at most 1 mains plug. Else there is no rig."
    assert checks_told(checks, sixteen(), CATALOGUE) == [first, ALL_ELSE]
    late = replace(checks, complete=False)
    assert check_lines(late, sixteen(), "GBP", {}) == [
        "desk-8 must have: at most 1 mains plug. Else there is no rig.",
        NOT_ALL,
    ]
    cables = tuple(line for line in sixteen().purchases if line.kind == "cable")
    assert check_lines(checks, replace(sixteen(), purchases=cables), "GBP", {}) == [NONE]
    assert checks_told(None, sixteen(), CATALOGUE) == []
