"""Columns side by side, and points of a curve, in words: the whole of what is said."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal

import pytest

from rigopt.answers.outcome import Answered, Impossible, NotAsked, OutOfTime
from rigopt.answers.series import Column, Curve, Point, Scenario, Stretch
from rigopt.needs.types import Needs
from rigopt.output.facts.compare import values
from rigopt.output.facts.curve import marks
from rigopt.output.words.compare import Row, rows
from rigopt.output.words.compare_notes import column_names, device_legend, notes
from rigopt.output.words.curve import curve_asked, told
from rigopt.output.words.regret import UPPER_ENDS
from rigopt.output.words.stretch import answer, heading
from tests.output.rigs import CATALOGUE, DESK, RACK, answered, lone, sixteen

ASKED = Needs(mic=10, phantom=2, no_phantom=1, line=3, instrument=4, out_line=2, out_phones=1)
BAND = Column(Scenario("Band", CATALOGUE, ASKED), replace(answered(), second="agrees"))
FAR = replace(CATALOGUE, currency="EUR", name="other")
EUROS = Column(
    Scenario("", FAR, Needs(rate_hz=96_000, master="host")),
    Answered(replace(lone(), total=1000), 500, False),
)
NONE = Column(Scenario("Band", CATALOGUE, ASKED), OutOfTime(1.0))


def shown(*columns: Column, **rates: Decimal) -> Mapping[str, tuple[str | None, ...]]:
    return {row.name: row.cells for row in rows(values(columns, rates))}


def test_the_rows_of_two_columns_that_ask_the_same() -> None:
    """16 inputs, 8 of each unit; 10 tracks of 24 bits at 48 kHz are 5.184 GB an hour."""
    band = replace(BAND, outcome=answered())
    assert rows(values([band, NONE], {})) == [
        Row("Rate, kHz", ("48", "48")),
        Row("Microphones", ("10", "10")),
        Row("with 48 V", ("2", "2")),
        Row("kept off 48 V", ("1", "1")),
        Row("Line sources", ("3", "3")),
        Row("Instruments", ("4", "4")),
        Row("Line outputs", ("2", "2")),
        Row("Phones outputs", ("1", "1")),
        Row("Result", ("proven cheapest", "out of time")),
        Row("Total", ("206.00 GBP", None)),
        Row("Difference", (None, None)),
        Row("For each input", ("12.88 GBP", None)),
        Row("Units"),
        Row("desk-8", ("1", None), DESK.label),
        Row("rack-8", ("1", None), RACK.label),
        Row("Cables"),
        Row("optical", ("1", None)),
        Row("Clock"),
        Row("Master", ("rack-8", None)),
        Row("Hops", ("1", None)),
        Row("Inputs"),
        Row("Mic used", ("10", None)),
        Row("Mic spare", ("6", None)),
        Row("Line used", ("0", None)),
        Row("Line spare", ("6", None)),
        Row("Size"),
        Row("Rack units", ("1", None)),
        Row("Mains plugs", ("2", None)),
        Row("Watts", ("32.5", None)),
        Row("GB an hour", ("5.2", None)),
    ]
    assert Row("x", ("1", None)).texts == ["1", "-"]


def test_what_differs_between_columns_has_rows_of_its_own() -> None:
    """1 pound is 1.25 euros."""
    found = shown(BAND, EUROS, EUR=Decimal("1.25"))
    assert list(found)[:3] == ["Question", "Catalogue", "Rate, kHz"]
    assert found["Question"] == ("Band", None)
    assert found["Catalogue"] == ("small", "other")
    assert found["Rate, kHz"] == ("48", "96")
    assert found["Line sources"] == ("3", "0")
    assert found["Master wanted"] == ("any", "host")
    assert found["Result"] == ("proven cheapest", "best found")
    assert found["Total"] == ("206.00 GBP", "10.00 EUR")
    assert found["In GBP"] == ("206.00 GBP", "8.00 GBP")
    assert found["At least"] == ("206.00 GBP", "5.00 EUR")
    assert found["Second opinion"] == ("agrees", None)
    assert found["Difference"] == (None, "-198.00")
    assert found["For each input"] == ("12.88 GBP", "1.25 EUR")
    assert found["rack-8"] == ("1", None)
    assert found["Hops"] == ("1", "0")
    assert found["Rack units"] == ("1", "0")
    titled = replace(EUROS, scenario=replace(EUROS.scenario, catalogue=replace(FAR, title="T")))
    assert shown(BAND, titled)["Catalogue"] == ("Small catalogue", "T")


def test_an_amount_that_cannot_be_exchanged_has_no_row() -> None:
    """Nor is there a heading of what no column has."""
    assert "In GBP" not in shown(BAND, EUROS)
    assert not {"Units", "Inputs", "Size"} & set(shown(NONE, NONE))
    assert not {"Microphones", "Line sources", "Phones outputs"} & set(shown(EUROS, EUROS))


def test_inputs_that_are_all_in_use_have_rows_too() -> None:
    rig = sixteen()
    full = replace(rig, inputs=tuple(replace(one, use="instrument") for one in rig.inputs))
    found = shown(replace(BAND, outcome=answered(full)))
    assert (found["Instrument used"], found["Instrument spare"]) == (("16",), ("0",))
    assert "Mic used" not in found


@pytest.mark.parametrize(
    ("columns", "wanted"),
    [
        (
            [BAND, EUROS],
            ["1: Band, small, 48 kHz, any master", "2: other, 96 kHz, host as master"],
        ),
        ([BAND, NONE], ["1", "2"]),
        (
            [BAND, replace(BAND, scenario=Scenario("Band", CATALOGUE, Needs(mic=1)))],
            ["1: 10 microphones", "2: 1 microphone"],
        ),
    ],
)
def test_a_column_is_called_what_sets_it_apart(
    columns: list[Column], wanted: list[str]
) -> None:
    assert column_names(columns) == wanted


def test_what_is_said_beside_columns() -> None:
    late = "no rig was found in the time, and it is not proven that there is none."
    assert notes(values([BAND, NONE], {})) == [f"Column 2: {late}"]
    assert notes(values([BAND, EUROS], {})) == [
        "Amounts in EUR are not compared with those in GBP. Say how much EUR one GBP buys with "
        "--exchange EUR=RATE."
    ]
    assert notes(values([BAND, EUROS], {"EUR": Decimal(1)})) == [
        "Differences are in GBP, at the exchange rates given."
    ]
    ranged = replace(DESK, least=100)
    ends = replace(CATALOGUE, devices={"desk-8": ranged, "rack-8": RACK})
    assert notes(values([replace(BAND, scenario=Scenario("", ends, ASKED))], {})) == [
        UPPER_ENDS
    ]
    assert device_legend(values([NONE, EUROS], {})) == [f"desk-8: {DESK.label}"]


def test_what_is_said_beside_a_curve() -> None:
    end = replace(answered(), second="agrees")
    other = replace(DESK, id="other", label="Other")
    host = replace(sixteen().units[0], device=other)
    moved = replace(sixteen(), units=(host, sixteen().units[1]))
    points = (
        Point(4, end),
        Point(5, end),
        Point(6, OutOfTime(1.0)),
        Point(7, replace(answered(moved), proven=False)),
        Point(8, Impossible(second="disagrees")),
    )
    curve = Curve((4, 5, 6, 7, 8, 9), points)
    assert told(curve, marks(curve), CATALOGUE, Needs()) == [
        "5 and 7 cost the same as 4.",
        "The host changes at 7: 1 other instead of 1 desk-8.",
        "6: no rig was found in the time, and it is not proven that there is none.",
        "Where 'At least' is below the total, the cheapest is not proven.",
        "4 and 5: a solver of another kind agrees.",
        "8: a solver of another kind disagrees: please report it, with these files.",
        "8 and more: No unit of this catalogue works as a host.",
        f"desk-8: {DESK.label}",
        "other: Other",
        f"rack-8: {RACK.label}",
    ]
    short = Curve((4, 5, 6, 7), points[:2])
    assert told(short, marks(short), CATALOGUE, Needs()) == [
        "5 costs the same as 4.",
        "4 and 5: a solver of another kind agrees.",
        "6 and 7: not asked, because it was stopped.",
        f"desk-8: {DESK.label}",
        f"rack-8: {RACK.label}",
    ]
    assert curve_asked(curve, Needs(mic=99), "GBP") == "48 kHz, 4 to 9 microphones"


@pytest.mark.parametrize(
    ("best", "step", "proven", "wanted"),
    [
        (
            Point(10, answered()),
            Point(12, answered(replace(sixteen(), total=40000))),
            True,
            [
                ("Most", "10 microphones for 206.00 GBP; 94.00 GBP are left."),
                (
                    "Next",
                    "12 microphones for 400.00 GBP, 100.00 GBP beyond the budget: "
                    "1 desk-8 + 1 rack-8.",
                ),
            ],
        ),
        (
            None,
            Point(1, Impossible()),
            True,
            [
                (
                    "Most",
                    "no rig of this catalogue that meets the other needs costs that little.",
                ),
                ("Next", "1 microphone: No unit of this catalogue works as a host."),
            ],
        ),
        (
            None,
            None,
            False,
            [
                ("Most", "no rig within the budget was found in the time."),
                ("Proof", "none yet; more microphones may be within the budget."),
            ],
        ),
    ],
)
def test_what_a_budget_stretches_to(
    best: Point | None, step: Point | None, proven: bool, wanted: list[tuple[str, str]]
) -> None:
    found = Stretch(30000, best, step, proven)
    assert answer(found, CATALOGUE, Needs()) == wanted
    assert heading(found, CATALOGUE) == "What 300.00 GBP stretch to"


def test_a_column_whose_turn_did_not_come() -> None:
    assert notes(values([BAND, replace(NONE, outcome=NotAsked())], {})) == [
        "Column 2: not asked, because it was stopped."
    ]
